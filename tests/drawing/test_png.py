"""PNG: size, grey, and the message when the system's cairo library is missing."""

from __future__ import annotations

import subprocess
import sys

import pytest

from guidegen.drawing.png import write_png
from guidegen.drawing.primitives import Rect, Sheet, Style
from guidegen.errors import GuidegenError

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


def test_a_missing_cairo_library_is_said_plainly(monkeypatch):
    class NoCairo:
        def find_spec(self, name, path=None, target=None):
            if name == "cairosvg":
                raise OSError('no library called "cairo-2" was found')

    for name in [n for n in sys.modules if n.split(".")[0] == "cairosvg"]:
        monkeypatch.delitem(sys.modules, name)
    monkeypatch.setattr(sys, "meta_path", [NoCairo(), *sys.meta_path])
    with pytest.raises(GuidegenError, match="cairo.*install"):
        write_png(SHEET)


def test_pdf_and_svg_need_no_cairo():
    program = (
        "import sys\n"
        "from guidegen.drawing.primitives import *\n"
        "from guidegen.drawing.pdf import write_pdf\n"
        "from guidegen.drawing.svg import write_svg\n"
        "sheet = Sheet(50, 50, (Text(5, 20, 'A', 10),))\n"
        "write_pdf(Document((sheet,))), write_svg(sheet)\n"
        "print([m for m in sys.modules if m.split('.')[0] in ('cairosvg', 'cairocffi', 'numpy', 'scipy')])\n"
    )
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
