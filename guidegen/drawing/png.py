"""PNG from a sheet, by way of SVG and the cairo library."""

from __future__ import annotations

from guidegen.drawing.primitives import Sheet
from guidegen.drawing.svg import write_svg
from guidegen.errors import GuidegenError

_NO_CAIRO = (
    "PNG pictures need the cairo graphics library, and this computer has none: "
    "install it (on Debian and Ubuntu: apt install libcairo2; on macOS: brew install cairo), "
    "or write SVG or PDF instead, which need nothing more"
)


def write_png(sheet: Sheet, dpi: float = 150, grey: bool = False) -> bytes:
    """The sheet on white paper, dpi pixels to the inch; grey as a black and white printer would print it.

    Raises GuidegenError when the system's cairo library is missing, MissingGlyph as write_svg does.
    """
    drawing = write_svg(sheet)
    try:
        import cairosvg
    except OSError as error:  # cairocffi's answer when it cannot load the library
        raise GuidegenError(_NO_CAIRO) from error
    pixels = round(sheet.width_mm / 25.4 * dpi), round(sheet.height_mm / 25.4 * dpi)
    data: bytes = cairosvg.svg2png(
        bytestring=drawing.encode("utf-8"),
        output_width=pixels[0],
        output_height=pixels[1],
        background_color="white",
    )
    return _grey(data, dpi) if grey else data


def _grey(data: bytes, dpi: float) -> bytes:
    from io import BytesIO

    from PIL import Image

    out = BytesIO()
    with Image.open(BytesIO(data)) as image:
        image.convert("L").save(out, "PNG", dpi=(dpi, dpi))  # luma of ITU-R BT.601
    return out.getvalue()
