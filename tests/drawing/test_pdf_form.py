"""Form fields seen through pypdf and PDFium."""

from __future__ import annotations

import io

import numpy as np
import pypdf
import pypdfium2
import pypdfium2.raw
import pytest
from fontTools.ttLib import TTFont

from guidegen.drawing.fonts import primary_face, text_width_mm
from guidegen.drawing.pdf import write_pdf
from guidegen.drawing.primitives import Document, FormField, Line, Sheet, Style, Text

FIELDS = (
    FormField(20, 20, 80, 8, "owner", value="Zoë Łoś", tooltip="Owner's name"),
    FormField(20, 40, 80, 8, "empty"),
    FormField(20, 60, 80, 30, "notes", value="first\nsecond"),
    FormField(20, 100, 6, 6, "done", "tick", "yes"),
    FormField(40, 100, 6, 6, "not.done", "tick"),
)


@pytest.fixture(scope="module")
def data() -> bytes:
    return write_pdf(Document((Sheet(210, 297, (Text(20, 15, "Sheet", 10), *FIELDS)),)))


def ink(image, field: FormField) -> float:
    """Share of dark pixels in the field's box, at 5 pixels to the millimetre."""
    box = [round(5 * v) for v in (field.x, field.y, field.x + field.width, field.y + field.height)]
    return float((np.asarray(image.crop(box).convert("L")) < 128).mean())


def test_fields_carry_their_names_values_and_tooltips(data):
    fields = pypdf.PdfReader(io.BytesIO(data), strict=True).get_fields()
    assert {name: field.get("/V") for name, field in fields.items()} == {
        "owner": "Zoë Łoś",
        "empty": "",
        "notes": "first\nsecond",
        "done": "/Yes",
        "not-done": "/Off",
    }
    assert fields["owner"]["/TU"] == "Owner's name"
    assert fields["empty"]["/FT"] == "/Tx"
    assert fields["done"]["/FT"] == "/Btn"


def test_values_and_ticks_show(data, rendered):
    image = rendered(data, forms=True)
    owner, empty, notes, done, undone = (ink(image, field) for field in FIELDS)
    assert min(owner, notes, done) > 0.004
    assert empty == undone == 0


def test_what_is_filled_in_shows(data, rendered):
    writer = pypdf.PdfWriter(clone_from=io.BytesIO(data))
    writer.update_page_form_field_values(writer.pages[0], {"empty": "Jane Doe"}, auto_regenerate=False)
    out = io.BytesIO()
    writer.write(out)
    assert ink(rendered(out.getvalue(), forms=True), FIELDS[1]) > 0.01


def test_the_font_of_the_fields_is_embedded(data):
    reader = pypdf.PdfReader(io.BytesIO(data))
    resources = reader.root_object["/AcroForm"]["/DR"]["/Font"]
    for font in resources.values():
        assert "/FontFile2" in font.get_object()["/FontDescriptor"]
        assert font.get_object()["/Encoding"]["/BaseEncoding"] == "/WinAnsiEncoding"
    assert b"Helvetica" not in data
    assert b"ZapfDingbats" not in data


def test_letters_of_the_neighbours_are_in_the_font_of_the_fields(data):
    """design.md §5: Latin with Polish, Czech and Nordic letters. Advance widths as the face has them."""
    reader = pypdf.PdfReader(io.BytesIO(data))
    (font,) = reader.root_object["/AcroForm"]["/DR"]["/Font"].values()
    coded = {}
    for entry in font["/Encoding"]["/Differences"]:
        if isinstance(entry, int):
            code = entry
        else:
            coded[code], code = entry, code + 1
    face = TTFont(primary_face("regular").path)
    letters = {"Ł": "Lslash", "ź": "zacute", "ę": "eogonek", "č": "ccaron", "ů": "uring", "Ň": "Ncaron"}
    for letter, name in letters.items():
        (at,) = [code for code, said in coded.items() if said == f"/{name}"]
        expected, _ = face["hmtx"][face.getBestCmap()[ord(letter)]]
        assert font["/Widths"][at - 32] == pytest.approx(expected, abs=1), letter
    assert not set(coded) & set("Åäöøæß½°²".encode("cp1252"))


def typed_into(file: pypdfium2.PdfDocument, x: float, y: float, text: str) -> None:
    """Click at x, y (points from the lower left of the first page) and type, as one does in a reader."""
    page, form = file[0], file.formenv.raw
    pypdfium2.raw.FORM_OnLButtonDown(form, page.raw, 0, x, y)
    pypdfium2.raw.FORM_OnLButtonUp(form, page.raw, 0, x, y)
    for letter in text:
        pypdfium2.raw.FORM_OnChar(form, page.raw, ord(letter), 0)
    pypdfium2.raw.FORM_ForceToKillFocus(form)


def test_what_is_typed_hides_the_lines_that_are_printed_below_it():
    field = FormField(20, 60, 80, 30, "notes")
    line = Line(((20, 75), (100, 75)), Style(stroke="#000000", width_mm=0.3))
    file = pypdfium2.PdfDocument(write_pdf(Document((Sheet(210, 297, (line, field)),))))
    file.init_forms()

    def line_shows() -> bool:
        image = file[0].render(scale=5 * 25.4 / 72).to_pil()
        return (np.asarray(image.crop((300, 370, 480, 380)).convert("L")) < 128).any()

    assert line_shows(), "empty, it is filled in with a pen"
    typed_into(file, 70, 660, "typed")
    assert not line_shows()


def test_what_would_not_show_on_paper_cannot_be_typed():
    field = FormField(20, 60, 14, 5, "reading")
    file = pypdfium2.PdfDocument(write_pdf(Document((Sheet(210, 297, (field,)),))))
    file.init_forms()
    typed_into(file, 70, 665, "5 after 6 hours in the sun")
    out = io.BytesIO()
    file.save(out)
    value = pypdf.PdfReader(out).get_fields()["reading"].value
    assert "5 after 6 hours in the sun".startswith(value) and len(value) >= 6
    assert text_width_mm(value.rstrip(), 10.0, "regular") <= 14


def test_a_name_is_used_once():
    twice = (FIELDS[0], FIELDS[0])
    with pytest.raises(ValueError, match="owner"):
        write_pdf(Document((Sheet(210, 297, twice),)))
