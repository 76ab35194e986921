"""PDF and SVG show the same picture, seen through two renderers that share no code: PDFium and cairo."""

from __future__ import annotations

import io
import os
import subprocess
import sys
from pathlib import Path

import pytest
from msgspec.structs import replace
from pypdf import PdfReader

from guidegen.drawing.pdf import write_pdf
from guidegen.drawing.primitives import Document, Group, Sheet, translate

ALIKE = 0.00006  # share of pixels; rasterisers differ at edges


def test_every_primitive_looks_the_same_in_both(every_primitive, rendered, unlike, from_svg):
    sheet = every_primitive.sheet()
    from_pdf = rendered(write_pdf(Document((sheet,))))
    drawn = from_svg(sheet)
    assert unlike(from_pdf, drawn) < ALIKE
    assert unlike(drawn, from_pdf) < ALIKE


@pytest.mark.parametrize("number", [0, 7, 8, 19, 27])
def test_the_comparison_sees_the_smallest_items_moved_by_a_millimetre(
    number, every_primitive, unlike, from_svg
):
    sheet = every_primitive.sheet()
    items = list(sheet.items)
    items[number] = Group((items[number],), transform=translate(1, 1))
    right = from_svg(sheet)
    wrong = from_svg(replace(sheet, items=tuple(items)))
    assert unlike(wrong, right) > ALIKE
    assert unlike(right, wrong) > ALIKE


def test_pages_have_the_size_of_their_sheets():
    sizes_mm = [(210, 297), (297, 210), (148, 210), (105, 148)]  # ISO 216, A4 to A6
    reader = PdfReader(io.BytesIO(write_pdf(Document(tuple(Sheet(w, h, ()) for w, h in sizes_mm)))))
    for page, size_mm in zip(reader.pages, sizes_mm, strict=True):
        assert page.mediabox.lower_left == (0, 0)
        size = float(page.mediabox.width) / 72 * 25.4, float(page.mediabox.height) / 72 * 25.4
        assert size == pytest.approx(size_mm, abs=0.001)


def test_the_bytes_are_the_same_in_every_process():
    script = Path(__file__).parent / "every_primitive.py"
    digests = {
        subprocess.run(
            [sys.executable, str(script)],
            env={**os.environ, "PYTHONHASHSEED": seed},
            capture_output=True,
            check=True,
            text=True,
        ).stdout
        for seed in ("1", "2")
    }
    assert len(digests) == 1
    assert len(digests.pop().split()) == 3
