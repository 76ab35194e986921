"""Reads our own pictograms (symbols/*.svg, a 24×24 unit grid) into drawing primitives.

A small part of SVG is enough: svg, g, path, circle, rect, line, polyline and polygon with fill,
stroke and stroke-width, which g and svg hand down.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cache, lru_cache
from pathlib import Path as FilePath
from typing import Any
from xml.etree import ElementTree

from msgspec.structs import asdict, replace

from guidegen.compiled import compiled
from guidegen.drawing import primitives
from guidegen.drawing.primitives import BLACK, Circle, Colour, Command, Group, Line, Path, Point, Rect, Style
from guidegen.errors import GuidegenError
from guidegen.resources import data_folder

GRID = 24.0
_SVG = "{http://www.w3.org/2000/svg}"
_HANDED_DOWN = ("fill", "stroke", "stroke-width", "fill-rule")
_NAMED_COLOURS = {"black": BLACK, "white": "#ffffff"}
_Shape = Line | Path | Circle | Rect
_KINDS: dict[str, Any] = {kind.__name__: kind for kind in (Line, Path, Circle, Rect)}


def symbol(name: str, x: float, y: float, size_mm: float, colour: Colour = BLACK) -> Group:
    """The pictogram in a square of size_mm whose top left corner is x, y.

    What is black in the file becomes `colour`; any other colour stays. Raises GuidegenError when
    there is no such symbol, ValueError when its file is not in our part of SVG.
    """
    scale = size_mm / GRID
    shapes, transform = _painted(name, colour), (scale, 0.0, 0.0, scale, x, y)
    return Group(shapes, transform, css="symbol", title=symbol_title(name))


@cache
def symbol_names() -> tuple[str, ...]:
    """All symbols there are, in alphabetical order."""
    return tuple(sorted(file.stem for file in data_folder("symbols").glob("*.svg")))


def symbol_title(name: str) -> str:
    """The title in the symbol's file; "" when it has none, as a kind's symbol has its kind's name."""
    return _read(name)[0]


@cache
def symbol_shapes(name: str) -> tuple[_Shape, ...]:
    """The shapes of a symbol in grid units, as they stand in its file."""
    return _read(name)[1]


def read_shapes(text: str, file: str = "symbol") -> tuple[_Shape, ...]:
    """The shapes of an SVG text in its own units; raises ValueError outside our part of SVG."""
    return _shapes_of(_parse(text, file), file)


@cache
def _read(name: str) -> tuple[str, tuple[_Shape, ...]]:
    """The title and the shapes."""
    if name not in symbol_names():
        raise GuidegenError(f"There is no symbol “{name}”: see guidegen list symbols")
    file = data_folder("symbols") / f"{name}.svg"
    title, shapes = compiled(f"symbol-{name}", (file, __file__, primitives.__file__), lambda: _plain(file))
    return title, tuple(_again(*shape) for shape in shapes)


def _plain(file: FilePath) -> tuple[str, list[tuple[str, dict[str, Any]]]]:
    """What is in a file, without a class of ours."""
    root = _parse(file.read_text(encoding="utf-8"), file.name)
    shapes = _shapes_of(root, file.name)
    fields = [(type(one).__name__, {**asdict(one), "style": asdict(one.style)}) for one in shapes]
    return root.findtext(f"{_SVG}title", ""), fields


def _again(kind: str, fields: dict[str, Any]) -> _Shape:
    shape: _Shape = _KINDS[kind](**{**fields, "style": Style(**fields["style"])})
    return shape


def _parse(text: str, file: str) -> ElementTree.Element:
    if "<!" in text.replace("<!--", ""):
        raise ValueError(f"{file}: declarations (DOCTYPE, ENTITY) have no place in a symbol")
    root = ElementTree.fromstring(text)
    if root.tag != f"{_SVG}svg" or root.get("viewBox") != "0 0 24 24":
        raise ValueError(f"{file}: a symbol is an svg element with viewBox 0 0 24 24")
    return root


def _shapes_of(root: ElementTree.Element, file: str) -> tuple[_Shape, ...]:
    return tuple(_shapes(root, {"fill": "black", "stroke": "none", "stroke-width": "1"}, file))


@lru_cache(maxsize=512)  # colours may be a dealer's own
def _painted(name: str, colour: Colour) -> tuple[_Shape, ...]:
    return tuple(replace(shape, style=_tinted(shape.style, colour)) for shape in symbol_shapes(name))


def _tinted(style: Style, colour: Colour) -> Style:
    return replace(
        style,
        fill=colour if style.fill == BLACK else style.fill,
        stroke=colour if style.stroke == BLACK else style.stroke,
    )


def _shapes(element: ElementTree.Element, given: Mapping[str, str], file: str) -> Iterator[_Shape]:
    if "transform" in element.attrib or "style" in element.attrib:
        raise ValueError(f"{file}: transform and style are not used in symbols")
    here = {**given, **{key: element.attrib[key] for key in _HANDED_DOWN if key in element.attrib}}
    tag = element.tag.removeprefix(_SVG)
    if tag in ("svg", "g"):
        for child in element:
            yield from _shapes(child, here, file)
    elif tag != "title":
        yield _shape(tag, element, here, file)


def _shape(tag: str, element: ElementTree.Element, given: Mapping[str, str], file: str) -> _Shape:
    style = Style(
        fill=_colour(given["fill"], file),
        stroke=_colour(given["stroke"], file),
        width_mm=float(given["stroke-width"]),
    )

    def number(key: str) -> float:
        return float(element.get(key, "0"))

    if tag == "path":
        return Path(_commands(element.get("d", "")), style, even_odd=given.get("fill-rule") == "evenodd")
    if tag == "circle":
        return Circle(number("cx"), number("cy"), number("r"), style)
    if tag == "rect":
        return Rect(number("x"), number("y"), number("width"), number("height"), style, number("rx"))
    if tag == "line":
        return Line(((number("x1"), number("y1")), (number("x2"), number("y2"))), replace(style, fill=None))
    if tag in ("polyline", "polygon"):
        return Line(_points(element.get("points", "")), style, closed=tag == "polygon")
    raise ValueError(f"{file}: {tag} is not used in symbols")


def _colour(value: str, file: str) -> Colour | None:
    if value == "none":
        return None
    colour = _NAMED_COLOURS.get(value, value)
    if not (colour.startswith("#") and len(colour) == 7):
        raise ValueError(f"{file}: write a colour as black, white, none or #rrggbb, not {value!r}")
    return colour


def _points(text: str) -> tuple[Point, ...]:
    numbers = [float(n) for n in text.replace(",", " ").split()]
    return tuple(zip(numbers[::2], numbers[1::2], strict=True))


def _commands(data: str) -> tuple[Command, ...]:
    """Path data as absolute straight and cubic segments; arcs become cubics."""
    from fontTools.pens.recordingPen import RecordingPen
    from fontTools.svgLib.path import parse_path

    pen = RecordingPen()
    parse_path(data, pen)
    return tuple(command for name, points in pen.value for command in _command(name, points))


def _command(name: str, points: tuple[Any, ...]) -> Iterator[Command]:
    if name in ("moveTo", "lineTo"):
        x, y = points[0]
        yield ("M" if name == "moveTo" else "L", float(x), float(y))
    elif name == "curveTo":
        (x1, y1), (x2, y2), (x, y) = points
        yield ("C", float(x1), float(y1), float(x2), float(y2), float(x), float(y))
    elif name == "closePath":
        yield ("Z",)
    elif name != "endPath":
        raise ValueError("quadratic curves are not used in symbols")
