"""SVG from a sheet: one user unit is one millimetre; text is drawn as outlines, its wording in a label."""

from __future__ import annotations

import base64
import math
import re
from functools import lru_cache
from typing import TYPE_CHECKING, TypeAlias
from xml.etree import ElementTree

from guidegen.drawing.fonts import MM_PER_PT, OUTLINE_UNITS, normalise, text_width_mm
from guidegen.drawing.libraries import svgwrite
from guidegen.drawing.primitives import (
    Circle,
    Group,
    Item,
    Line,
    Path,
    Picture,
    Rect,
    Sheet,
    Style,
    Text,
)
from guidegen.drawing.typography import as_printed

if TYPE_CHECKING:
    from svgwrite.base import BaseElement

Attributes: TypeAlias = dict[str, str]
Box: TypeAlias = tuple[float, float, float, float]

_PNG_SIGNATURE = b"\x89PNG\r\n\x1a\n"
# All that is no Char of XML 1.0, production 2: written so because "all but" takes 20 times longer to compile.
_NOT_XML = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\ud800-\udfff\ufffe\uffff]")


def write_svg(sheet: Sheet) -> str:
    """The sheet as an SVG document that needs no font, no style sheet and no other file.

    Links, destinations and form fields are left out. Raises MissingGlyph for a character without a glyph.
    """
    return _Writer(sheet).written()


def _number(value: float) -> str:
    """At most three decimals, none that say nothing."""
    text = f"{value:.3f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def _factor(value: float) -> str:
    """Six significant figures, for matrices, where a factor may be small."""
    return f"{value:.6g}" if abs(value) > 1e-9 else "0"


def _plain(text: str) -> str:
    """Without the characters that XML cannot carry."""
    return _NOT_XML.sub("", text)


def _wording(text: str) -> str:
    """What is read to people, with the marks of printed text."""
    return _plain(as_printed(text))


@lru_cache(maxsize=1024)
def _paint(style: Style, even_odd: bool = False) -> Attributes:
    """The attributes of a style; not to be changed."""
    found: Attributes = {"fill": style.fill or "none"}
    if style.fill and style.fill_opacity < 1:
        found["fill-opacity"] = _number(style.fill_opacity)
    if style.fill and even_odd:
        found["fill-rule"] = "evenodd"
    if style.stroke:
        found["stroke"] = style.stroke
        found["stroke-width"] = _number(style.width_mm)
        if style.dash_mm:
            found["stroke-dasharray"] = " ".join(map(_number, style.dash_mm))
        if style.round_ends:
            found["stroke-linecap"] = found["stroke-linejoin"] = "round"
        else:
            found["stroke-miterlimit"] = "10"  # as in PDF (ISO 32000-1, table 52)
    return found


def _path_data(path: Path) -> str:
    return "".join(str(command[0]) + " ".join(map(_number, command[1:])) for command in path.commands)


def _text_matrix(text: Text) -> str:
    """From em units, y up, to the place of the text, turned and moved by its anchor."""
    back = 0.0
    if text.anchor != "start":
        share = 0.5 if text.anchor == "middle" else 1.0
        back = text_width_mm(text.text, text.size_pt, text.weight) * share
    turn = math.radians(text.turn_deg)
    cos, sin = math.cos(turn), math.sin(turn)
    scale = text.size_pt * MM_PER_PT / OUTLINE_UNITS
    parts = [_factor(v * scale) for v in (cos, sin, sin, -cos)]
    parts += [_number(text.x - back * cos), _number(text.y - back * sin)]
    return f"matrix({' '.join(parts)})"


class _Element:
    """An element in a drawing of svgwrite's, whose own take twice as long to make."""

    def __init__(self, tag: str, attributes: Attributes) -> None:
        self._tag, self._attributes = tag, attributes
        self.elements: list[_Element | BaseElement] = []

    def get_xml(self) -> ElementTree.Element:
        xml = ElementTree.Element(self._tag, dict(sorted(self._attributes.items())))
        xml.extend([element.get_xml() for element in self.elements])
        return xml


class _Writer:
    def __init__(self, sheet: Sheet) -> None:
        width, height = _number(sheet.width_mm), _number(sheet.height_mm)
        self._sheet = sheet
        self._root = svgwrite().Drawing(
            size=(f"{width}mm", f"{height}mm"), viewBox=f"0 0 {width} {height}", profile="full", debug=False
        )
        self._clips: dict[Box, str] = {}

    def written(self) -> str:
        root, sheet = self._root, self._sheet
        title, description = sheet.title or "Drawing", sheet.description or sheet.title or "Drawing"
        # "graphics-document" lets a screen reader go on to the labels inside, which "img" would hide
        # (WAI-ARIA Graphics Module 1.0); "document" is for readers that do not know it.
        root.attribs |= {
            "role": "graphics-document document",
            "aria-labelledby": "sheet-title",
            "aria-describedby": "sheet-description",
        }
        head = [
            self._labelled("title", "sheet-title", title),
            self._labelled("desc", "sheet-description", description),
        ]
        root.elements[:0] = head
        root.elements.extend(self._drawn(sheet.items))
        if not root.defs.elements:
            root.elements.remove(root.defs)
        return f'<?xml version="1.0" encoding="UTF-8"?>\n{root.tostring()}\n'

    def _labelled(self, tag: str, name: str, text: str) -> BaseElement:
        from svgwrite.base import Desc, Title

        element = Title(_wording(text)) if tag == "title" else Desc(_wording(text))
        element.xml.set("id", name)
        return element

    def _drawn(self, items: tuple[Item, ...]) -> list[_Element]:
        found = []
        for item in items:
            element = self._one(item)
            if element is not None:
                found.append(element)
        return found

    def _one(self, item: Item) -> _Element | None:
        if isinstance(item, Text):
            return self._text(item)
        if isinstance(item, (Line, Path, Circle, Rect)):
            return self._shape(item)
        if isinstance(item, Group):
            return self._group(item)
        if isinstance(item, Picture):
            return self._picture(item)
        return None

    def _shape(self, shape: Line | Path | Circle | Rect) -> _Element:
        even_odd = isinstance(shape, Path) and shape.even_odd
        attributes = {**_paint(shape.style, even_odd)}
        if shape.css:
            attributes["class"] = shape.css
        if isinstance(shape, Line):
            attributes["points"] = " ".join(f"{_number(x)},{_number(y)}" for x, y in shape.points)
            return _Element("polygon" if shape.closed else "polyline", attributes)
        if isinstance(shape, Path):
            attributes["d"] = _path_data(shape)
            return _Element("path", attributes)
        if isinstance(shape, Circle):
            attributes |= {"cx": _number(shape.x), "cy": _number(shape.y), "r": _number(shape.radius)}
            return _Element("circle", attributes)
        attributes |= {"x": _number(shape.x), "y": _number(shape.y)}
        attributes |= {"width": _number(shape.width), "height": _number(shape.height)}
        if shape.radius > 0:
            attributes["rx"] = _number(min(shape.radius, shape.width / 2, shape.height / 2))
        return _Element("rect", attributes)

    def _text(self, text: Text) -> _Element | None:
        from guidegen.drawing.outlines import text_outline

        outline = text_outline(text.text, text.weight)
        if not outline:
            return None
        attributes = {
            "d": outline,
            "fill": text.colour,
            "transform": _text_matrix(text),
            "role": "img",
            "aria-label": normalise(text.text),
        }
        if text.css:
            attributes["class"] = text.css
        return _Element("path", attributes)

    def _group(self, group: Group) -> _Element:
        attributes = {name: _plain(value) for name, value in group.attributes}
        if group.css:
            attributes["class"] = group.css
        if group.transform is not None:
            a, b, c, d, e, f = group.transform
            if (a, b, c, d) == (1, 0, 0, 1):
                attributes["transform"] = f"translate({_number(e)} {_number(f)})"
            else:
                four = " ".join(map(_factor, (a, b, c, d)))
                attributes["transform"] = f"matrix({four} {_number(e)} {_number(f)})"
        if group.clip is not None:
            attributes["clip-path"] = f"url(#{self._clip(group.clip)})"
        element = _Element("g", attributes)
        if group.title:
            from svgwrite.base import Title

            attributes["role"] = "group"
            attributes["aria-label"] = _wording(group.title)
            element.elements.append(Title(_wording(group.title)))
        element.elements.extend(self._drawn(group.items))
        return element

    def _clip(self, box: Box) -> str:
        """The id of a clip path for the box."""
        name = self._clips.get(box)
        if name is None:
            name = self._clips[box] = f"clip-{len(self._clips) + 1}"
            path = _Element("clipPath", {"id": name})
            sides = zip(("x", "y", "width", "height"), map(_number, box), strict=True)
            path.elements.append(_Element("rect", dict(sides)))
            self._root.defs.elements.append(path)
        return name

    def _picture(self, picture: Picture) -> _Element:
        kind = "png" if picture.data.startswith(_PNG_SIGNATURE) else "jpeg"
        data = base64.b64encode(picture.data).decode("ascii")
        attributes = {
            "x": _number(picture.x),
            "y": _number(picture.y),
            "width": _number(picture.width),
            "height": _number(picture.height),
            "preserveAspectRatio": "none",
            "xlink:href": f"data:image/{kind};base64,{data}",
        }
        if picture.description:
            attributes |= {"role": "img", "aria-label": _wording(picture.description)}
        return _Element("image", attributes)
