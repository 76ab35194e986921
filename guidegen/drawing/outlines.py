"""Outlines of glyphs as SVG path data (SVG 2, chapter 9), for drawings that must not need a font."""

from __future__ import annotations

from functools import lru_cache

from fontTools.pens.basePen import BasePen

from guidegen.drawing.fonts import OUTLINE_UNITS, Face, runs
from guidegen.drawing.primitives import Weight

_Point = tuple[float, float]


class _RelativePen(BasePen):  # type: ignore[misc]
    """Writes whole units, each step from the point before it: the shortest path data."""

    def __init__(self, face: Face) -> None:
        super().__init__(face.glyphs)
        self.parts: list[str] = []
        self._scale = OUTLINE_UNITS / face.units_per_em
        self._at = (0, 0)
        self._start = (0, 0)

    def _steps(self, *points: _Point) -> str:
        x0, y0 = self._at
        whole = [(round(x * self._scale), round(y * self._scale)) for x, y in points]
        self._at = whole[-1]
        return " ".join(f"{x - x0} {y - y0}" for x, y in whole).replace(" -", "-")

    def _moveTo(self, pt: _Point) -> None:  # noqa: N802 - fontTools' names, here and below
        self.parts.append("m" + self._steps(pt))
        self._start = self._at

    def _lineTo(self, pt: _Point) -> None:  # noqa: N802
        self.parts.append("l" + self._steps(pt))

    def _curveToOne(self, pt1: _Point, pt2: _Point, pt3: _Point) -> None:  # noqa: N802
        self.parts.append("c" + self._steps(pt1, pt2, pt3))

    def _qCurveToOne(self, pt1: _Point, pt2: _Point) -> None:  # noqa: N802
        self.parts.append("q" + self._steps(pt1, pt2))

    def _closePath(self) -> None:  # noqa: N802
        self.parts.append("z")
        self._at = self._start


@lru_cache(maxsize=4096)
def _glyph(face: Face, character: str) -> str:
    """Path data relative to the glyph's origin, y up, in units of the em; "" for a space."""
    pen = _RelativePen(face)
    face.draw(character, pen)
    return "".join(pen.parts)


@lru_cache(maxsize=4096)
def text_outline(text: str, weight: Weight) -> str:
    """One line of text as path data that starts at the origin, y up, in units of the em.

    Raises MissingGlyph.
    """
    parts, x = [], 0.0
    for face, part in runs(text, weight):
        for character in part:
            glyph = _glyph(face, character)
            if glyph:
                parts.append(f"M{round(x)} 0{glyph}")
            x += face.advance(character)
    return "".join(parts)
