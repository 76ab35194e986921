"""Primitives as PDF content operators (ISO 32000-1, clauses 8 and 9).

Coordinates are points with y upwards. Moves are folded into the coordinates; other transforms become
one "cm". The graphics state is written only where it changes.
"""

from __future__ import annotations

import math
from functools import lru_cache
from typing import TypeAlias

from guidegen.drawing.fonts import text_width_mm
from guidegen.drawing.pdf_fonts import FontBook
from guidegen.drawing.primitives import PT_PER_MM, Circle, Colour, Line, Path, Rect, Style, Text

_ARC = 4 / 3 * (math.sqrt(2) - 1)  # a quarter circle as one cubic, error 0.03 % of the radius

# A hundredth of a point is 3.5 thousandths of a millimetre.
_MOVE_TO = "%.2f %.2f m"
_LINE_TO = "%.2f %.2f l"
_CURVE_TO = "%.2f %.2f %.2f %.2f %.2f %.2f c"
_BOX = "%.2f %.2f %.2f %.2f re"
_ABOUT = "q 1 0 0 1 %.2f %.2f cm\n%s\n%s\nQ"  # what is drawn about a point as about the origin, and painted

_LineState: TypeAlias = tuple[float, tuple[float, ...], bool]
_Font: TypeAlias = tuple[str, float]
_State: TypeAlias = tuple[Colour, Colour, _LineState, _Font, float, float]


@lru_cache(maxsize=1024)
def _rgb(colour: Colour) -> str:
    if len(colour) != 7 or colour[0] != "#":
        raise ValueError(f"a colour is written #rrggbb, not {colour!r}")
    return " ".join(f"{int(colour[i : i + 2], 16) / 255:.4g}" for i in (1, 3, 5))


@lru_cache(maxsize=256)
def _polyline(points: int) -> str:
    """The operators of that many points, to be filled in with their coordinates and what paints them."""
    return "\n".join([_MOVE_TO, *[_LINE_TO] * (points - 1), "%s"])


# Circles and boxes with round corners come in few sizes: each is worked out once.
@lru_cache(maxsize=512)
def _circle(r: float) -> str:
    """About the origin; radius in points."""
    h = r * _ARC
    curves = (
        (r, h, h, r, 0, r),
        (-h, r, -r, h, -r, 0),
        (-r, -h, -h, -r, 0, -r),
        (h, -r, r, -h, r, 0),
    )
    return "\n".join((_MOVE_TO % (r, 0), *(_CURVE_TO % curve for curve in curves), "h"))


@lru_cache(maxsize=512)
def _rounded(width: float, height: float, r: float) -> str:
    """Right of the origin and below it; all in points."""
    h = r * (1 - _ARC)  # from the corner to a control point
    sides = (
        ((width - r, 0), (width - h, 0, width, -h, width, -r)),
        ((width, r - height), (width, h - height, width - h, -height, width - r, -height)),
        ((r, -height), (h, -height, 0, h - height, 0, r - height)),
        ((0, -r), (0, -h, h, 0, r, 0)),
    )
    drawn = (f"{_LINE_TO % line}\n{_CURVE_TO % curve}" for line, curve in sides)
    return "\n".join((_MOVE_TO % (r, 0), *drawn, "h"))


@lru_cache(maxsize=1024)
def _line_state(width_mm: float, dash_mm: tuple[float, ...], round_ends: bool) -> str:
    dash = " ".join(f"{d * PT_PER_MM:.3f}" for d in dash_mm)
    end = 1 if round_ends else 0
    return f"{width_mm * PT_PER_MM:.3f} w [{dash}] 0 d {end} J {end} j"


class Content:
    """The operators of one page so far. `left` and `top` are where the origin of mm lies, in points."""

    def __init__(self, fonts: FontBook, height_pt: float) -> None:
        self.ops: list[str] = []
        self.left = 0.0
        self.top = height_pt
        self._fonts = fonts
        # What the graphics state holds; the values a page starts with (ISO 32000-1, table 52).
        self._fill: Colour = "#000000"
        self._stroke: Colour = "#000000"
        self._line: _LineState = (1 / PT_PER_MM, (), False)
        self._font: _Font = ("", 0.0)
        self._saved: list[_State] = []

    @property
    def paint(self) -> tuple[Colour, Colour, _LineState]:
        """What shapes are painted with at present: the same shapes then have the same operators."""
        return self._fill, self._stroke, self._line

    def save(self) -> None:
        self._saved.append((self._fill, self._stroke, self._line, self._font, self.left, self.top))
        self.ops.append("q")

    def restore(self) -> None:
        self._fill, self._stroke, self._line, self._font, self.left, self.top = self._saved.pop()
        self.ops.append("Q")

    def transform(self, matrix: tuple[float, float, float, float, float, float]) -> None:
        """Apply a matrix of mm, y down; the state must have been saved before."""
        a, b, c, d, e, f = matrix
        left, top = self.left, self.top
        # X = left + k x, Y = top - k y on both sides of the matrix
        e_pt = left + e * PT_PER_MM - a * left + c * top
        f_pt = top - f * PT_PER_MM + b * left - d * top
        self.ops.append(f"{a:.6f} {-b:.6f} {-c:.6f} {d:.6f} {e_pt:.4f} {f_pt:.4f} cm")

    def place(self, matrix: tuple[float, float, float, float, float, float]) -> None:
        """As `transform`, with the matrix's origin for that of the units: a drawing keeps its numbers."""
        a, b, c, d, e, f = matrix
        left, top = self.left + e * PT_PER_MM, self.top - f * PT_PER_MM
        self.ops.append(f"{a:.6f} {-b:.6f} {-c:.6f} {d:.6f} {left:.4f} {top:.4f} cm")
        self.left = self.top = 0.0

    def clip(self, box: tuple[float, float, float, float]) -> None:
        """Nothing is drawn outside the box (x, y, width, height in mm) until the state is restored."""
        self.ops.append(self._box(*box) + " W n")

    def _box(self, x: float, y: float, width: float, height: float) -> str:
        k = PT_PER_MM
        values = (self.left + x * k, self.top - (y + height) * k, width * k, height * k)
        return _BOX % values

    def _set_paint(self, style: Style, closed: bool, even_odd: bool = False) -> str:
        """Bring the state to the style; returns the operator that paints a path so, or "" for nothing."""
        fill, stroke = style.fill, style.stroke
        if fill is not None and fill != self._fill:
            self.ops.append(_rgb(fill) + " rg")
            self._fill = fill
        if stroke is None:
            return "" if fill is None else ("f*" if even_odd else "f")
        if stroke != self._stroke:
            self.ops.append(_rgb(stroke) + " RG")
            self._stroke = stroke
        line = (style.width_mm, style.dash_mm, style.round_ends)
        if line != self._line:
            self.ops.append(_line_state(*line))
            self._line = line
        if fill is None:
            return "s" if closed else "S"
        return ("b" if closed else "B") + ("*" if even_odd else "")

    def line(self, line: Line) -> None:
        if len(line.points) < 2:
            return
        paint = self._set_paint(line.style, line.closed)
        if not paint:
            return
        k, left, top = PT_PER_MM, self.left, self.top
        values: list[float | str] = []
        for x, y in line.points:
            values += (left + x * k, top - y * k)
        self.ops.append(_polyline(len(line.points)) % (*values, paint))

    def path(self, path: Path) -> None:
        paint = self._set_paint(path.style, False, path.even_odd)
        if not paint or not path.commands:
            return
        k, left, top = PT_PER_MM, self.left, self.top
        parts = []
        for command in path.commands:
            if len(command) == 3:
                name, x, y = command
                parts.append((_MOVE_TO if name == "M" else _LINE_TO) % (left + x * k, top - y * k))
            elif len(command) == 7:
                _, x1, y1, x2, y2, x, y = command
                values = (left + x1 * k, top - y1 * k, left + x2 * k, top - y2 * k, left + x * k, top - y * k)
                parts.append(_CURVE_TO % values)
            else:
                parts.append("h")
        parts.append(paint)
        self.ops.append("\n".join(parts))

    def circle(self, circle: Circle) -> None:
        paint = self._set_paint(circle.style, False)
        if not paint:
            return
        k = PT_PER_MM
        place = (self.left + circle.x * k, self.top - circle.y * k)
        self.ops.append(_ABOUT % (*place, _circle(circle.radius * k), paint))

    def rect(self, rect: Rect) -> None:
        paint = self._set_paint(rect.style, False)
        if not paint:
            return
        radius = min(rect.radius, rect.width / 2, rect.height / 2)
        if radius <= 0:
            self.ops.append(f"{self._box(rect.x, rect.y, rect.width, rect.height)}\n{paint}")
            return
        k = PT_PER_MM
        place = (self.left + rect.x * k, self.top - rect.y * k)
        self.ops.append(_ABOUT % (*place, _rounded(rect.width * k, rect.height * k, radius * k), paint))

    def text(self, text: Text) -> None:
        coded = self._fonts.coded(text.text, text.weight)
        if not coded:
            return
        operators, size_pt = f"BT {self._text_place(text)}", text.size_pt
        if text.colour != self._fill:
            self._fill = text.colour
            operators = f"{_rgb(text.colour)} rg {operators}"
        for name, codes in coded:
            if self._font != (name, size_pt):
                self._font = (name, size_pt)
                operators += f" {name} {size_pt:.5g} Tf"
            operators += f" {codes} Tj"
        self.ops.append(operators + " ET")

    def _text_place(self, text: Text) -> str:
        """The operator that puts the start of the text in place."""
        x, y = self.left + text.x * PT_PER_MM, self.top - text.y * PT_PER_MM
        back = 0.0
        if text.anchor != "start":
            share = 0.5 if text.anchor == "middle" else 1.0
            back = text_width_mm(text.text, text.size_pt, text.weight) * share * PT_PER_MM
        if not text.turn_deg:
            return f"{x - back:.2f} {y:.2f} Td"
        turn = math.radians(-text.turn_deg)
        cos, sin = math.cos(turn), math.sin(turn)
        x, y = x - back * cos, y - back * sin
        return f"{cos:.6f} {sin:.6f} {-sin:.6f} {cos:.6f} {x:.3f} {y:.3f} Tm"
