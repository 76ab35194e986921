"""PNG: size, grey, and the same picture as the other formats."""

from __future__ import annotations

import re
import subprocess
import sys

import pytest

from guidegen.drawing.pdf import write_pdf
from guidegen.drawing.png import MOST_PIXELS, png_of, write_png
from guidegen.drawing.primitives import Document, FormField, Group, Link, Rect, Sheet, Style, translate
from guidegen.errors import GuidegenError

ALIKE = 0.00006  # share of pixels; rasterisers differ at edges
SHEET = Sheet(100, 50, (Rect(0, 0, 50, 50, Style(fill="#ff0000")),))


@pytest.mark.parametrize(("dpi", "size"), [(25.4, (100, 50)), (127, (500, 250)), (150, (591, 295))])
def test_so_many_pixels_to_the_inch(dpi, size, opened_png):
    assert opened_png(write_png(SHEET, dpi)).size == size


def test_paper_is_white_and_colours_are_kept(opened_png):
    image = opened_png(write_png(SHEET, 25.4)).convert("RGB")
    assert image.getpixel((25, 25)) == (255, 0, 0)
    assert image.getpixel((75, 25)) == (255, 255, 255)


def test_grey_is_the_luma_of_the_colour(opened_png):
    image = opened_png(write_png(SHEET, 25.4, grey=True))
    assert image.mode == "L"
    assert image.getpixel((25, 25)) == pytest.approx(0.299 * 255, abs=1)  # ITU-R BT.601
    assert image.getpixel((75, 25)) == 255


def test_the_picture_says_how_many_pixels_to_the_inch(opened_png):
    assert opened_png(write_png(SHEET, 150)).info["dpi"] == pytest.approx((150, 150), abs=0.1)


def test_the_same_picture_as_the_svg(every_primitive, from_svg, opened_png, unlike):
    """The SVG as cairo draws it: neither PDFium nor the PDF has a part in it."""
    sheet = every_primitive.sheet()
    ours, theirs = opened_png(write_png(sheet, 127)), from_svg(sheet)
    assert unlike(ours, theirs) < ALIKE
    assert unlike(theirs, ours) < ALIKE


def test_links_to_other_sheets_and_fields_are_no_part_of_the_picture(opened_png):
    unseen = (Link(0, 0, 9, 9, "#elsewhere"), FormField("name", 60, 10, 30, 8, value="typed"))
    inside = Group((*SHEET.items, *unseen), translate(0, 0))
    drawn = [opened_png(write_png(Sheet(100, 50, items))) for items in (SHEET.items, (*unseen, inside))]
    assert drawn[0].tobytes() == drawn[1].tobytes()


def test_the_picture_of_a_pdf_is_that_of_its_first_sheet(every_primitive):
    first = every_primitive.sheet()
    seen = Sheet(first.width_mm, first.height_mm, (*first.items, Link(0, 0, 9, 9, "https://example.org")))
    pdf = write_pdf(Document((seen, SHEET)))
    assert png_of(pdf, seen.width_mm, seen.height_mm, 127) == write_png(first, 127)


def test_no_library_of_the_system_is_asked_for():
    program = (
        "import sys\n"
        "from guidegen.drawing.png import write_png\n"
        "from guidegen.drawing.primitives import *\n"
        "from guidegen.drawing.svg import write_svg\n"
        "sheet = Sheet(50, 50, (Text(5, 20, 'A', 10),))\n"
        "write_png(sheet), write_svg(sheet)\n"
        "print([m for m in sys.modules if m.split('.')[0] in ('cairosvg', 'cairocffi', 'numpy', 'scipy')])\n"
    )
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def test_more_pixels_than_memory_holds_are_refused_with_what_is_possible():
    poster = Sheet(841, 1189, ())  # ISO 216, A0
    with pytest.raises(GuidegenError, match=r"39732 × 56173 pixels.*(\d+) at most") as refused:
        write_png(poster, 1200)
    most = int(re.search(r"(\d+) at most", str(refused.value))[1])
    assert 841 * 1189 / 25.4**2 * most**2 <= MOST_PIXELS < 841 * 1189 / 25.4**2 * (most + 2) ** 2
