"""A fontTools pen that writes SVG path data (SVG 2, chapter 9)."""

from __future__ import annotations

from fontTools.pens.basePen import BasePen

from guidegen.drawing.fonts import OUTLINE_UNITS, Face

_Point = tuple[float, float]


class RelativePen(BasePen):  # type: ignore[misc]
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
