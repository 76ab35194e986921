"""Vehicles that are hard to print: no fault on any page, no name lost, every code read, every photo silent."""

from __future__ import annotations

import io
import unicodedata

import pypdf
import pypdfium2
import pytest
import zxingcpp
from PIL import Image

from guidegen.documents import booklet, check_sheet, guide, handover, stickers, survey
from guidegen.drawing.pdf import write_pdf
from guidegen.drawing.primitives import Circle, Document, Group, Picture, Rect, Sheet, Style, Text

FORMS = {"check-sheet": check_sheet, "handover": handover, "stickers": stickers, "survey": survey}


@pytest.fixture(scope="module")
def hardest(larch, edge_vehicles):
    return edge_vehicles.left_hand_drive(edge_vehicles.foreign(edge_vehicles.wordy(larch)))


def pdf_of(module, vehicle, context_of, **options) -> bytes:
    return write_pdf(module.compose(context_of(vehicle, **options)))


@pytest.mark.parametrize("form", FORMS)
def test_forms_with_foreign_names_long_notes_and_steering_at_the_left_have_no_fault(
    form, hardest, context_of, page_judge
):
    assert page_judge.faults(pdf_of(FORMS[form], hardest, context_of)) == []


@pytest.mark.parametrize("form", ["guide", "survey", "stickers"])
def test_five_points_have_no_fault(form, few, larch, edge_vehicles, context_of, page_judge):
    module = FORMS.get(form, guide)
    assert page_judge.faults(pdf_of(module, edge_vehicles.numbered(few, larch.figures), context_of)) == []


def test_foreign_names_are_printed_whole(hardest, edge_vehicles, context_of):
    data = pdf_of(check_sheet, hardest, context_of)
    shown = squeezed("".join(page.get_textpage().get_text_range() for page in pypdfium2.PdfDocument(data)))
    for name in (*edge_vehicles.NAMES, edge_vehicles.OWNERS):
        assert squeezed(name) in shown


def squeezed(text: str) -> str:
    """Letters and figures alone: lines break and hyphenate as they must."""
    text = unicodedata.normalize("NFC", text)
    return "".join(c for c in text if c.isalnum())


# Codes and photos


def codes_of(page) -> list[tuple[str, float]]:
    """What a scanner reads on a page at 300 dpi, with the side of each code in mm, quiet zone left out."""
    found = []
    for code in zxingcpp.read_barcodes(page.render(scale=300 / 72).to_pil()):
        p = code.position
        side = ((p.top_right.x - p.top_left.x) ** 2 + (p.top_right.y - p.top_left.y) ** 2) ** 0.5
        found.append((code.text, side * 25.4 / 300))
    return found


@pytest.fixture(scope="module")
def photographed(larch, edge_vehicles, tmp_path_factory):
    return edge_vehicles.photographed(larch, tmp_path_factory.mktemp("photos"), photos=8)


@pytest.fixture(scope="module")
def pictured(photographed, context_of):
    """Its guide, drawn and as PDF."""
    document = guide.compose(context_of(photographed))
    return document, write_pdf(document)


def addresses(vehicle) -> set[str]:
    return {vehicle.web, *(thing.web for thing in (*vehicle.points, *vehicle.extra_steps) if thing.web)}


def test_every_address_is_a_code_that_is_read_and_large_enough(photographed, pictured):
    """The cover's, those of the points, and long ones: 15 mm and more with the quiet zone of ISO/IEC 18004."""
    document, data = pictured
    drawn = [n for n, sheet in enumerate(document.sheets) if codes_drawn(sheet.items)]
    pdf = pypdfium2.PdfDocument(data)
    read = [code for number in drawn for code in codes_of(pdf[number])]
    assert {text for text, _ in read} == addresses(photographed)
    for text, side_mm in read:
        modules = 17 + 4 * version_of(text)
        assert side_mm * (modules + 8) / modules >= 15.0 - 0.3, text


@pytest.mark.parametrize("duplex", ["short", "long"])
def test_every_code_of_the_booklet_is_read_on_the_printed_sheet(duplex, larch, context_of):
    """Also where the back of a sheet is printed head over."""
    document = booklet.compose(context_of(larch, duplex=duplex))
    drawn = [n for n, sheet in enumerate(document.sheets) if codes_drawn(sheet.items)]
    pdf = pypdfium2.PdfDocument(write_pdf(document))
    read = [code for number in drawn for code, _ in codes_of(pdf[number])]
    assert sorted(read) == sorted(addresses(larch))


def codes_drawn(items) -> int:
    groups = [item for item in items if isinstance(item, Group)]
    return sum((group.css == "code") + codes_drawn(group.items) for group in groups)


def test_photos_are_silent_and_carry_the_numbers_of_what_they_show(photographed, pictured, seen):
    document, data = pictured
    assert silent(data) == 8 + 1  # and the cover's
    everything = seen(document)
    shown = [p for p in photographed.points if p.photo]
    pictures = {s.item.description: s for s in everything if isinstance(s.item, Picture) and s.sheet}
    for point in shown:
        picture = pictures[point.name]
        x0, y0, x1, y1 = picture.box
        inside = {
            s.item.text
            for s in everything
            if isinstance(s.item, Text)
            and s.sheet == picture.sheet
            and x0 < s.box[0] < x1
            and y0 < s.box[1] < y1
        }
        assert inside == {str(point.number)}, point.name


def version_of(text: str) -> int:
    import segno

    return int(segno.make(text, error="m", micro=False).version)


def silent(data: bytes) -> int:
    """How many JPEG pictures the PDF holds; none of them may hold metadata."""
    seen = set()
    for page in pypdf.PdfReader(io.BytesIO(data)).pages:
        for image in page.images:
            picture = Image.open(io.BytesIO(image.data))
            if picture.format != "JPEG":
                continue
            assert not picture.getexif() and b"Exif" not in image.data
            seen.add(image.data)
    return len(seen)


# The judge itself


def test_the_judge_finds_every_kind_of_fault(page_judge):
    words = [
        Text(30, 30, "tiny", 5),
        Text(1, 50, "edge", 10),
        Text(30, 70, "over", 10),
        Text(31, 70, "lapping", 10),
        Text(30, 90, "pale", 10, colour="#bbbbbb"),
        Text(30, 110, "hidden", 10),
        Rect(28, 104, 30, 10, Style(fill="#ffffff")),
        Text(30, 130, "fine", 10),
    ]
    pages = (
        Sheet(210, 297, (*words, Circle(209, 150, 2, Style(fill="#000000")))),
        Sheet(
            200,
            290,
            (Text(30, 30, "odd size, but enough ink " * 3, 10), Rect(30, 50, 40, 40, Style(fill="#000000"))),
        ),
        Sheet(210, 297, ()),
    )
    found = "\n".join(page_judge.faults(write_pdf(Document(pages))))
    for fault in (
        "“tiny” in 5.00 pt",
        "“edge” within",
        "overlap",
        "“pale”",
        "“hidden” is not to be seen",
        "ink within 4.5 mm of the right edge",
        "page 2: 200.0 × 290.0 mm is no sheet",
        "page 3: no ink",
    ):
        assert fault in found, found
    assert "“fine”" not in found
