"""What the tests of drawing share: a sheet with everything on it, and eyes to compare pictures with."""

from __future__ import annotations

import importlib.util
import io
from collections.abc import Callable
from pathlib import Path
from types import ModuleType

import cairosvg
import numpy as np
import pypdfium2
import pytest
from PIL import Image, ImageChops, ImageFilter

from guidegen.drawing.primitives import Sheet
from guidegen.drawing.svg import write_svg

DPI = 127  # 5 pixels to the millimetre


@pytest.fixture(scope="session")
def every_primitive() -> ModuleType:
    """The module every_primitive.py beside this file."""
    spec = importlib.util.spec_from_file_location(
        "every_primitive", Path(__file__).parent / "every_primitive.py"
    )
    assert spec and spec.loader
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.fixture(scope="session")
def rendered() -> Callable[..., Image.Image]:
    """A page of a PDF as PDFium draws it."""

    def render(data: bytes, page: int = 0, dpi: float = DPI, forms: bool = False) -> Image.Image:
        file = pypdfium2.PdfDocument(data)
        if forms:
            file.init_forms()
        scale = dpi / 72 * (1 - 1e-6)  # PDFium rounds the size up
        return file[page].render(scale=scale).to_pil().convert("RGB")

    return render


@pytest.fixture(scope="session")
def from_svg() -> Callable[[Sheet], Image.Image]:
    """A sheet's SVG as CairoSVG draws it."""

    def render(sheet: Sheet, dpi: float = DPI) -> Image.Image:
        size = (round(mm / 25.4 * dpi) for mm in (sheet.width_mm, sheet.height_mm))
        sizes = dict(zip(("output_width", "output_height"), size, strict=True))
        data = cairosvg.svg2png(write_svg(sheet).encode(), background_color="white", **sizes)
        return Image.open(io.BytesIO(data)).convert("RGB")

    return render


@pytest.fixture(scope="session")
def unlike() -> Callable[[Image.Image, Image.Image], float]:
    """The share of pixels of one picture that have nothing like them in the other within one pixel."""

    def measure(one: Image.Image, other: Image.Image) -> float:
        assert one.size == other.size
        one, other = one.convert("RGB"), other.convert("RGB")
        low, high = other.filter(ImageFilter.MinFilter(3)), other.filter(ImageFilter.MaxFilter(3))
        outside = ImageChops.lighter(ImageChops.subtract(low, one), ImageChops.subtract(one, high))
        return float((np.asarray(outside).max(axis=2) > 60).mean())

    return measure


@pytest.fixture(scope="session")
def opened_png() -> Callable[[bytes], Image.Image]:
    def read(data: bytes) -> Image.Image:
        image = Image.open(io.BytesIO(data))
        image.load()
        return image

    return read
