"""Outlines of glyphs as SVG path data (SVG 2, chapter 9), for drawings that must not need a font."""

from __future__ import annotations

from functools import cache, lru_cache
from pathlib import Path

from guidegen.compiled import compiled
from guidegen.drawing.fonts import Face, runs
from guidegen.drawing.primitives import Weight

_COMMON = (*map(chr, range(0x20, 0x7F)), "’", "·", "–", "°")  # what nearly all texts on a plan are written in


class _Outlines(dict[str, str]):
    """Path data of a face's characters, relative to the glyph's origin, y up, in units of the em."""

    def __init__(self, face: Face) -> None:
        super().__init__()
        self._face = face

    def __missing__(self, character: str) -> str:
        from guidegen.drawing.glyph_pen import RelativePen

        pen = RelativePen(self._face)
        self._face.draw(character, pen)
        found = self[character] = "".join(pen.parts)
        return found


@cache
def _outlines(face: Face) -> _Outlines:
    found = _Outlines(face)
    if face.variation is None:
        files = (face.path, __file__, Path(__file__).with_name("glyph_pen.py"))
        found |= compiled(f"outlines-{face.name}", files, lambda: {one: found[one] for one in _COMMON})
    return found


@lru_cache(maxsize=4096)
def text_outline(text: str, weight: Weight) -> str:
    """One line of text as path data that starts at the origin, y up, in units of the em.

    Raises MissingGlyph.
    """
    parts, x = [], 0.0
    for face, part in runs(text, weight):
        outlines = _outlines(face)
        for character in part:
            if glyph := outlines[character]:
                parts.append(f"M{round(x)} 0{glyph}")
            x += face.advance(character)
    return "".join(parts)
