"""A firm's logo as primitives: SVG as paths, PNG and JPEG as a picture.

Of an SVG file only shapes are taken, so scripts, links and references to other files cannot come along.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from io import BytesIO
from pathlib import Path as FilePath
from typing import Any

from msgspec import Struct

from guidegen.drawing.pictures import MM_PER_INCH, opened, upright
from guidegen.drawing.primitives import Command, Group, Path, Picture, Style
from guidegen.errors import PictureError

# A second of work at the most: styles and arcs are slow to read.
LARGEST_SVG_BYTES = 100_000
MOST_ELEMENTS = 1_500
LOGO_FORMATS = ("PNG", "JPEG", "WEBP")
LOGO_DPI = 300.0
_FARTHEST = 1e6  # coordinate; not-a-number is not below it either
_SVG = "{http://www.w3.org/2000/svg}"
_KEPT = {"svg", "g", "a", "path", "rect", "circle", "ellipse", "line", "polyline", "polygon", "style"}
_DROPPED = {"title", "desc", "metadata", "script", "foreignObject", "defs", "a"}
# What is not drawn, with the values at which that is no loss.
_PLAIN = {
    "opacity": ("1", "1.0", "100%", "inherit"),
    "stroke-opacity": ("1", "1.0", "100%", "inherit"),
    "stroke-dasharray": ("none", "0", "inherit"),
    "visibility": ("visible", "inherit"),
}
_DECLARED = re.compile(r"([\w-]+)\s*:\s*([^;]+)")  # a property of a style, and its value
_DANGEROUS = ("on", "href", "{http://www.w3.org/1999/xlink}")


class Logo(Struct, frozen=True):
    """The logo with its top left corner at the origin, and the size that it takes."""

    item: Group
    width_mm: float
    height_mm: float


def prepare_logo(path: FilePath, width_mm: float, height_mm: float) -> Logo:
    """The logo as large as fits into width_mm × height_mm, its shape kept.

    Raises PictureError when the file cannot be read or holds what cannot be drawn.
    """
    if path.suffix.lower() == ".svg":
        return _vector_logo(path, width_mm, height_mm)
    return _raster_logo(path, width_mm, height_mm)


def _raster_logo(path: FilePath, width_mm: float, height_mm: float) -> Logo:
    across, up = (round(mm / MM_PER_INCH * LOGO_DPI) + 1 for mm in (width_mm, height_mm))
    with opened(path, LOGO_FORMATS) as image:
        image.draft("RGB", (2 * across, 2 * up))  # a JPEG can be decoded at half size and less
        turned = upright(image)
        plain = turned.convert("RGBA" if turned.has_transparency_data else "RGB")
    scale = min(width_mm / plain.width, height_mm / plain.height)
    width, height = plain.width * scale, plain.height * scale
    plain.thumbnail((round(width / MM_PER_INCH * LOGO_DPI) + 1, round(height / MM_PER_INCH * LOGO_DPI) + 1))
    plain.info.clear()
    out = BytesIO()
    plain.save(out, "PNG", optimize=True)
    picture = Picture(0, 0, width, height, out.getvalue(), "Logo")
    return Logo(Group((picture,), css="logo"), width, height)


def _vector_logo(path: FilePath, width_mm: float, height_mm: float) -> Logo:
    from svgelements import SVG

    try:
        svg = SVG.parse(BytesIO(_shapes_only(path)), reify=False)
        shapes = tuple(_paths(svg, path))
        width, height = float(svg.width), float(svg.height)
        if not all(abs(v) < _FARTHEST for shape in shapes for v in _extents(shape)):
            raise ValueError("a shape lies beyond all bounds")
    except (ValueError, TypeError, AttributeError, LookupError, ArithmeticError, RecursionError) as error:
        raise PictureError(
            path, f"The logo {path} cannot be read: save it anew as plain SVG, or as PNG"
        ) from error
    if not shapes or width <= 0 or height <= 0:
        raise PictureError(path, f"The logo {path} has no shapes or no size")
    scale = min(width_mm / width, height_mm / height)
    drawn = Group(shapes, transform=(scale, 0, 0, scale, 0, 0), clip=(0, 0, width, height), css="logo")
    return Logo(drawn, width * scale, height * scale)


def _shapes_only(path: FilePath) -> bytes:
    """The SVG file without anything but shapes and their paint."""
    from xml.etree.ElementTree import ParseError, tostring

    from defusedxml.common import DefusedXmlException
    from defusedxml.ElementTree import fromstring

    try:
        data = path.read_bytes()
    except OSError as error:
        raise PictureError(path, f"There is no logo {path}, or it cannot be opened") from error
    if len(data) > LARGEST_SVG_BYTES:
        raise PictureError(
            path, f"The logo {path} is larger than {LARGEST_SVG_BYTES // 1000} kB: simplify it"
        )
    try:
        root = fromstring(data, forbid_dtd=False, forbid_entities=True, forbid_external=True)
    except (ParseError, DefusedXmlException, ValueError, LookupError) as error:
        raise PictureError(
            path, f"The logo {path} is not plain SVG: save it without entities or as PNG"
        ) from error
    if root.tag != f"{_SVG}svg":
        raise PictureError(path, f"The logo {path} is not an SVG file")
    _clean(root, path)
    if sum(1 for _ in root.iter()) > MOST_ELEMENTS:
        raise PictureError(path, f"The logo {path} has more than {MOST_ELEMENTS} shapes: simplify it")
    cleaned: bytes = tostring(root)
    return cleaned


def _clean(element: Any, path: FilePath) -> None:
    for name in [n for n in element.attrib if n.startswith(_DANGEROUS)]:
        del element.attrib[name]
    if any("url(" in value for value in (*element.attrib.values(), element.text or "")):
        raise PictureError(
            path,
            f"The logo {path} has a gradient, a pattern, a mask or a clip: "
            "save it with flat colours and plain shapes, or as PNG",
        )
    paint = {**element.attrib, **dict(_DECLARED.findall(element.get("style", "")))}
    if undrawn := next((n for n, plain in _PLAIN.items() if paint.get(n, plain[0]).strip() not in plain), ""):
        raise PictureError(
            path,
            f"The logo {path} has {undrawn}, which is not drawn here: "
            "save it with solid colours and plain lines, or as PNG",
        )
    for child in list(element):
        name = str(child.tag).removeprefix(_SVG)
        if name == "svg":
            raise PictureError(path, f"The logo {path} holds another drawing: ungroup it, or save it as PNG")
        if "}" in name or name in _DROPPED - {"a"} or not isinstance(child.tag, str):
            element.remove(child)
        elif name in _KEPT:
            _clean(child, path)
        else:
            raise PictureError(
                path,
                f"The logo {path} has an element {name!r}: "
                "turn text and clones into paths, or save it as PNG",
            )


def _paths(svg: Any, path: FilePath) -> Iterator[Path]:
    from svgelements import Arc, Shape
    from svgelements import Path as SvgPath

    for element in svg.elements():
        if not isinstance(element, Shape):
            continue
        # Arcs become cubics before the transform, which they do not survive; the library's own way of doing
        # it takes time that grows with the square of their number.
        segments = [
            part
            for segment in element.segments(transformed=False)
            for part in (segment.as_cubic_curves() if isinstance(segment, Arc) else (segment,))
        ]
        outline = SvgPath(*segments)
        outline *= element.transform
        outline.reify()
        commands = tuple(command for segment in outline for command in _commands(segment))
        fill, stroke = _colour(element.fill), _colour(element.stroke)
        opacity = 1.0 if fill is None else float(element.fill.opacity)
        width = float(element.implicit_stroke_width or 0)
        if len(commands) > 1 and (fill or stroke):
            style = Style(fill, stroke if width else None, width, round_ends=False, fill_opacity=opacity)
            even_odd = element.values.get("fill-rule") == "evenodd"
            yield Path(commands, style, even_odd=even_odd)


def _extents(shape: Path) -> Iterator[float]:
    """All numbers that say where a shape is and how it is painted."""
    yield from (shape.style.width_mm, shape.style.fill_opacity)
    for command in shape.commands:
        yield from command[1:]


def _colour(colour: Any) -> str | None:
    if colour is None or colour.value is None:
        return None
    return f"#{colour.red:02x}{colour.green:02x}{colour.blue:02x}"


def _commands(segment: Any) -> Iterator[Command]:
    from svgelements import Close, CubicBezier, Line, Move, QuadraticBezier

    if isinstance(segment, Move):
        yield ("M", float(segment.end.x), float(segment.end.y))
    elif isinstance(segment, Close):
        yield ("Z",)
    elif isinstance(segment, Line):
        yield ("L", float(segment.end.x), float(segment.end.y))
    elif isinstance(segment, CubicBezier):
        a, b, c = segment.control1, segment.control2, segment.end
        yield ("C", float(a.x), float(a.y), float(b.x), float(b.y), float(c.x), float(c.y))
    elif isinstance(segment, QuadraticBezier):
        s, q, e = segment.start, segment.control, segment.end  # raised by one degree
        yield (
            "C",
            float(s.x + 2 * (q.x - s.x) / 3),
            float(s.y + 2 * (q.y - s.y) / 3),
            float(e.x + 2 * (q.x - e.x) / 3),
            float(e.y + 2 * (q.y - e.y) / 3),
            float(e.x),
            float(e.y),
        )
