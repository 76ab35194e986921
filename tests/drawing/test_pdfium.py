"""Pages as pixels."""

from __future__ import annotations

import pytest

from guidegen.drawing.pdf import write_pdf
from guidegen.drawing.pdfium import first_page
from guidegen.drawing.primitives import Document, Rect, Sheet, Style


def test_a_pixel_is_red_green_and_blue_row_by_row():
    below = Rect(0, 10, 40, 10, Style(fill="#ff8000"))
    pixels = first_page(write_pdf(Document((Sheet(40, 20, (below,)),))), 40, 20)
    rows = [bytes(pixels[at : at + 120]) for at in range(0, 2400, 120)]
    assert rows[0] == bytes([255, 255, 255] * 40)
    assert rows[-1] == bytes([255, 128, 0] * 40)
    assert len(pixels) == 2400


@pytest.mark.parametrize("file", [b"", b"%PDF-1.7 and no more"])
def test_a_file_that_is_no_pdf_is_refused(file):
    with pytest.raises(ValueError, match="does not read"):
        first_page(file, 2, 2)
