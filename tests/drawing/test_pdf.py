"""The PDF seen through readers that share no code with the writer: pypdf, pdfplumber, PDFium."""

from __future__ import annotations

import io
import re

import pdfplumber
import pypdf
import pypdfium2
import pytest
from PIL import ImageChops, ImageFont

from guidegen.drawing.fonts import MissingGlyph, text_width_mm
from guidegen.drawing.pdf import write_pdf
from guidegen.drawing.primitives import (
    Destination,
    Document,
    Group,
    Line,
    Link,
    Picture,
    Sheet,
    Style,
    Text,
)
from guidegen.errors import GuidegenError

PT = 72 / 25.4


@pytest.fixture(scope="module")
def data(every_primitive) -> bytes:
    return write_pdf(every_primitive.document())


@pytest.fixture(scope="module")
def reader(data) -> pypdf.PdfReader:
    return pypdf.PdfReader(io.BytesIO(data), strict=True)


def objects(reader: pypdf.PdfReader) -> list:
    numbers = sorted(reader.xref[0])
    return [pypdf.generic.IndirectObject(n, 0, reader).get_object() for n in numbers]


def page_of(*items, width=210, height=297) -> Document:
    return Document((Sheet(width, height, items),))


def test_the_text_can_be_read_back(data, every_primitive):
    with pdfplumber.open(io.BytesIO(data)) as pdf:
        lines = pdf.pages[0].extract_text()
    for text in ("POLISH", "CZECH", "NORDIC", "GREEK", "CYRILLIC"):
        assert getattr(every_primitive, text) in lines
    assert "Cylinder 0123456789" in lines
    assert "<b>&amp; not markup</b>" in lines


def test_text_stands_where_it_was_put():
    text = "Hatch above, pump below"
    at = {"start": 20.0, "middle": 100.0, "end": 190.0}
    items = [Text(x, 50 + 10 * n, text, 11, anchor=anchor) for n, (anchor, x) in enumerate(at.items())]
    with pdfplumber.open(io.BytesIO(write_pdf(page_of(*items)))) as pdf:
        lines = pdf.pages[0].extract_text_lines()
    width = text_width_mm(text, 11)
    lefts = [line["x0"] / PT for line in lines]
    assert lefts == pytest.approx([20, 100 - width / 2, 190 - width], abs=0.01)
    assert [(line["x1"] - line["x0"]) / PT for line in lines] == pytest.approx([width] * 3, abs=0.02)
    assert lines[0]["chars"][0]["size"] == pytest.approx(11, abs=0.01)
    assert lines[0]["chars"][0]["matrix"][4:] == pytest.approx((20 * PT, (297 - 50) * PT), abs=0.01)


def test_every_font_is_embedded_as_a_subset_and_none_is_a_base_font(reader, data):
    fonts = [o for o in objects(reader) if isinstance(o, dict) and o.get("/Type") == "/Font"]
    names = {str(font["/BaseFont"]) for font in fonts}
    assert names == {
        f"/AAAAAA+{name}"
        for name in (
            "AtkinsonHyperlegible-Regular",
            "AtkinsonHyperlegible-Bold",
            "NotoSans-Regular",
            "NotoSans-Bold",
        )
    }
    for font in fonts:
        assert len(font["/FontDescriptor"]["/FontFile2"].get_data()) < 30_000
    assert not re.search(rb"Helvetica|Times|Courier|ZapfDingbats|Symbol\b", data)


def test_a_variable_font_serves_one_document_after_another():
    """Each embeds what it uses itself, drawn bold, with names that FreeType reads."""
    drawn = {}
    for text in ("вода", "газ", "a\N{EN SPACE}b", "вода"):
        reader = pypdf.PdfReader(io.BytesIO(write_pdf(page_of(Text(10, 10, text, 12, "bold")))))
        fonts = [o for o in objects(reader) if isinstance(o, dict) and o.get("/Type") == "/Font"]
        (noto,) = [f for f in fonts if "NotoSans-Bold" in str(f["/BaseFont"])]
        data = noto["/FontDescriptor"]["/FontFile2"].get_data()
        assert ImageFont.truetype(io.BytesIO(data)).getname() == ("Noto Sans", "Bold")
        assert drawn.setdefault(text, data) == data
    sizes = [len(data) for data in drawn.values()]
    assert len(set(drawn.values())) == 3
    assert min(sizes) == len(drawn["a\N{EN SPACE}b"]) < 1000  # which takes nothing but spaces from it


def test_a_sheet_without_text_has_no_font():
    reader = pypdf.PdfReader(io.BytesIO(write_pdf(page_of())))
    assert not [o for o in objects(reader) if isinstance(o, dict) and o.get("/Type") == "/Font"]


def test_a_missing_glyph_is_an_error_that_names_it():
    with pytest.raises(MissingGlyph, match=r"U\+6C34.*'tank 水'"):
        write_pdf(page_of(Text(10, 10, "tank 水", 10)))


def test_many_characters_need_more_than_one_subset():
    """A simple font in PDF has 256 codes (ISO 32000-1, 9.6); all of Latin, Greek and Cyrillic is more."""
    from guidegen.drawing.fonts import undrawable

    every = [chr(c) for c in range(0x21, 0x530) if chr(c).isalpha() and not undrawable(chr(c))]
    rows = ["".join(every[i : i + 40]) for i in range(0, len(every), 40)]
    assert len(every) > 600
    with pdfplumber.open(
        io.BytesIO(write_pdf(page_of(*(Text(10, 10 + 8 * n, row, 8) for n, row in enumerate(rows)))))
    ) as pdf:
        drawn = "".join(c["text"] for c in pdf.pages[0].chars)
    from guidegen.drawing.fonts import normalise

    assert drawn == normalise("".join(rows))


def test_metadata_language_and_viewer(reader):
    info = reader.metadata
    assert (info.title, info.author, info.subject) == ("Prüfung – проба", "An author", "A subject")
    assert info["/Keywords"] == "gas, water"
    assert reader.root_object["/Lang"] == "pl"
    assert reader.root_object["/ViewerPreferences"]["/DisplayDocTitle"] is not None
    assert str(reader.root_object["/ViewerPreferences"]["/DisplayDocTitle"]).lower() == "true"


def test_dates_follow_source_date_epoch(monkeypatch, every_primitive):
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1700000000")
    reader = pypdf.PdfReader(io.BytesIO(write_pdf(every_primitive.document())))
    assert reader.metadata.creation_date.timestamp() == 1_700_000_000


def test_the_outline_has_titles_levels_and_targets(reader):
    first, below = reader.outline[0], reader.outline[1]
    assert first.title == "First – část"
    assert below[0].title == "Second"
    assert below[1][0].title == "Deeper"  # level 3 under level 1 becomes level 2
    assert reader.get_destination_page_number(below[0]) == 1
    assert float(below[0].top) == pytest.approx((148 - 40) * PT, abs=0.01)


def test_links_lead_to_addresses_and_places(reader, every_primitive):
    address, inner = (a.get_object() for a in reader.pages[0]["/Annots"])
    assert address["/A"]["/URI"] == every_primitive.ADDRESS
    expected = [15 * PT, (297 - 22) * PT, 95 * PT, (297 - 12) * PT]
    assert [float(v) for v in address["/Rect"]] == pytest.approx(expected, abs=0.01)
    assert inner["/Dest"][0].get_object() == reader.pages[1].get_object()
    expected = [30 * PT, (297 - 270) * PT, 50 * PT, (297 - 250) * PT]
    assert [float(v) for v in inner["/Rect"]] == pytest.approx(expected, abs=0.01)


@pytest.mark.parametrize(
    "target", ["javascript:alert(1)", "file:///etc/passwd", "mailto:a@example.org", "//x", ""]
)
def test_other_links_are_refused(target):
    with pytest.raises(GuidegenError, match="http"):
        write_pdf(page_of(Link(0, 0, 5, 5, target)))


def test_a_link_to_nowhere_is_a_mistake_in_the_document():
    with pytest.raises(ValueError, match="#nowhere"):
        write_pdf(page_of(Link(0, 0, 5, 5, "#nowhere"), Destination("somewhere")))


def test_a_jpeg_goes_in_as_it_is_and_once(every_primitive):
    jpeg = every_primitive.photograph("JPEG")
    sheet = Sheet(210, 297, (Picture(10, 10, 30, 30, jpeg), Picture(60, 10, 30, 30, jpeg)))
    reader = pypdf.PdfReader(io.BytesIO(write_pdf(Document((sheet, sheet)))))
    images = [o for o in objects(reader) if isinstance(o, dict) and o.get("/Subtype") == "/Image"]
    assert len(images) == 1
    assert images[0]["/Filter"] in ("/DCTDecode", ["/DCTDecode"])
    assert jpeg in images[0]._data or images[0]._data in jpeg


@pytest.mark.parametrize(("lines", "held"), [(60, 1), (6, 0)])
def test_a_drawing_that_comes_again_is_held_once_where_it_is_large_and_looks_the_same(lines, held):
    shapes = tuple(
        Line(((x, 5.0), (x + 3.0, 25.0)), Style(stroke="#203040", width_mm=0.3))
        for x in range(0, 60, 60 // lines)
    )
    transforms = (
        (1.0, 0.0, 0.0, 1.0, 20.0, 30.0),
        (0.5, 0.0, 0.0, 0.5, 40.0, 100.0),
        (0, 1, -1, 0, 120, 150),
    )
    between = Line(((0, 0), (200, 280)), Style(stroke="#c00000", width_mm=1.5))  # in another paint
    shared = write_pdf(page_of(between, *(Group(shapes, transform=t) for t in transforms), between))
    apart = write_pdf(page_of(between, *(Group((*shapes,), transform=t) for t in transforms), between))
    forms = [o for o in objects(pypdf.PdfReader(io.BytesIO(shared))) if _is_form(o)]
    assert len(forms) == held
    assert len(shared) < len(apart)
    one, other = (pypdfium2.PdfDocument(data)[0].render(scale=2).to_pil() for data in (shared, apart))
    difference = ImageChops.difference(one.convert("L"), other.convert("L"))
    assert one.convert("L").getextrema()[0] < 128
    assert difference.getextrema()[1] <= 8


def _is_form(thing) -> bool:
    return isinstance(thing, pypdf.generic.StreamObject) and thing.get("/Subtype") == "/Form"
