"""The typefaces inside one PDF file: which glyphs it needs, and how a text is coded for them."""

from __future__ import annotations

import struct
from collections.abc import Iterator
from functools import cache
from io import BytesIO
from itertools import groupby
from typing import Any, get_args

from guidegen.drawing.fonts import Face, primary_face, runs
from guidegen.drawing.primitives import Weight
from guidegen.drawing.reportlab_parts import TTFont, TTFontFace, escapePDF, pdfmetrics

FIGURES = "0123456789"
# Codes that stand for themselves in a literal string (ISO 32000-1, clause 7.3.4.2); others are escaped.
_ALONE = frozenset(bytes([code]) for code in range(1, 127) if code not in b"\n\r()\\")
_FONT_DATE = 3_660_681_600  # 2020-01-01 in seconds since 1904: any fixed day, for the same bytes every time


def _embeddable(face: Face) -> TTFont:
    """The face as reportlab embeds it: only the glyphs used, with tabular figures."""
    if face.variation:
        font = _VariableFont(face.name, BytesIO(_static_font(face, [ord(" ")])), asciiReadable=0)
        font.drawn = face
        font.face.charToGlyph = dict.fromkeys(face.characters, 0)  # to read how they look takes long
        return font
    font = TTFont(face.name, str(face.path), asciiReadable=0)
    for figure in filter(face.has, FIGURES):
        font.face.charToGlyph[ord(figure)] = face.glyph_id(figure)
        font.face.charWidths[ord(figure)] = face.advance(figure)
    return font


class _VariableFont(TTFont):  # type: ignore[misc]
    """A variable font at another weight than its default, made when it is known which glyphs are used."""

    drawn: Face
    face: TTFontFace

    def addObjects(self, doc: Any) -> None:  # noqa: N802 - reportlab's name
        used = sorted({code for subset in self.state[doc].subsets for code in subset if code})
        whole = self.face
        self.face = TTFontFace(BytesIO(_static_font(self.drawn, used)))
        try:
            super().addObjects(doc)
        finally:
            self.face = whole  # which knows what characters there are for the next document


def _static_font(face: Face, codes: list[int]) -> bytes:
    """A TrueType font with the given characters only, drawn at the face's variation."""
    from fontTools.fontBuilder import FontBuilder
    from fontTools.pens.recordingPen import DecomposingRecordingPen
    from fontTools.pens.ttGlyphPen import TTGlyphPen
    from fontTools.ttLib import registerCustomTableClass, unregisterCustomTableClass
    from fontTools.ttLib.tables.DefaultTable import DefaultTable

    names = {code: f"uni{code:04X}" for code in codes}
    glyphs, metrics = {".notdef": TTGlyphPen(None).glyph()}, {".notdef": (600, 0)}
    for code, name in names.items():
        pen = TTGlyphPen(None)
        if not chr(code).isspace():  # spaces are all that most texts take from a variable font
            recording = DecomposingRecordingPen(face.glyphs)
            face.draw(chr(code), recording)
            recording.replay(pen)
        glyphs[name] = pen.glyph()
        metrics[name] = (round(face.advance(chr(code)) * face.units_per_em / 1000), 0)
    build = FontBuilder(face.units_per_em)
    build.font.recalcTimestamp = False
    build.setupHead(unitsPerEm=face.units_per_em, created=_FONT_DATE, modified=_FONT_DATE)
    build.setupGlyphOrder(list(glyphs))
    build.setupCharacterMap(names)
    build.setupGlyf(glyphs)
    build.setupHorizontalMetrics(
        {name: (advance, getattr(glyphs[name], "xMin", 0)) for name, (advance, _) in metrics.items()}
    )
    heights = {side: round(face.metric(side) * face.units_per_em / 1000) for side in ("ascent", "descent")}
    build.setupHorizontalHeader(**heights)
    build.setupOS2(sTypoAscender=heights["ascent"], sTypoDescender=heights["descent"], usWeightClass=700)
    build.font["name"] = table = DefaultTable("name")
    table.data = _name_table({1: "Noto Sans", 2: "Bold", 6: face.name})
    build.setupPost()
    out = BytesIO()
    registerCustomTableClass("name", DefaultTable.__module__, DefaultTable.__name__)
    try:
        build.font.save(out)
    finally:
        unregisterCustomTableClass("name")
    return out.getvalue()


def _name_table(names: dict[int, str]) -> bytes:
    """The names by their ids, in English for Macintosh and Windows (OpenType 1.9, table "name", version 0).

    The library's own way first loads all that it knows of glyph layout.
    """
    coded = [(1, 0, 0, id, name.encode("mac-roman")) for id, name in sorted(names.items())]
    coded += [(3, 1, 0x409, id, name.encode("utf-16-be")) for id, name in sorted(names.items())]
    records, texts = b"", b""
    for *what, text in coded:
        records += struct.pack(">6H", *what, len(text), len(texts))
        texts += text
    return struct.pack(">3H", 0, len(coded), 6 + len(records)) + records + texts


@cache
def _shared(face: Face) -> TTFont:
    return _embeddable(face)


def load_fonts() -> None:
    """Reads the first typeface for every PDF file."""
    for weight in get_args(Weight):
        _shared(primary_face(weight))


@cache
def first_font() -> str:
    """The name of a font known to reportlab, so that a new canvas does not fall back on Helvetica."""
    font = _shared(primary_face("regular"))
    pdfmetrics.registerFont(font)
    return str(font.fontName)


class _Codes(dict[int, str]):
    """Each character's code in a literal string, given out as it is met: a table for `str.translate`.

    resources: the font resource ("/F1+0") of each. only: theirs while there is but one, else "".
    """

    def __init__(self, font: TTFont, doc: Any) -> None:
        super().__init__()
        self._font, self._doc = font, doc
        self.resources: dict[str, str] = {}
        self.only = ""

    def __missing__(self, ordinal: int) -> str:
        ((subset, code),) = self._font.splitString(chr(ordinal), self._doc)
        name = self._font.getSubsetInternalName(subset, self._doc)
        self.only = name if not self.resources or name == self.only else ""
        self.resources[chr(ordinal)] = name
        found = self[ordinal] = code.decode("ascii") if code in _ALONE else str(escapePDF(code))
        return found


class FontBook:
    """The fonts of one document; texts that come again are coded once."""

    def __init__(self, doc: Any) -> None:
        self._doc = doc
        self._codes: dict[Face, _Codes] = {}
        self._coded: dict[tuple[str, Weight], tuple[tuple[str, str], ...]] = {}

    def coded(self, text: str, weight: Weight) -> tuple[tuple[str, str], ...]:
        """Pairs of a font resource ("/F1+0") and a literal string ("(…)"). Raises MissingGlyph."""
        key = (text, weight)
        found = self._coded.get(key)
        if found is None:
            found = self._coded[key] = tuple(self._code(text, weight))
        return found

    def _code(self, text: str, weight: Weight) -> Iterator[tuple[str, str]]:
        for face, part in runs(text, weight):
            codes = self._codes_of(face)
            coded = part.translate(codes)
            if codes.only:
                yield codes.only, f"({coded})"
                continue
            for name, same in groupby(part, key=codes.resources.__getitem__):
                yield name, f"({''.join(same).translate(codes)})"

    def _codes_of(self, face: Face) -> _Codes:
        codes = self._codes.get(face)
        if codes is None:
            codes = self._codes[face] = _Codes(_shared(face), self._doc)
        return codes
