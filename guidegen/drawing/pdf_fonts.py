"""The typefaces inside one PDF file: which glyphs it needs, and how a text is coded for them."""

from __future__ import annotations

from functools import cache
from io import BytesIO
from typing import Any

from reportlab.lib.rl_accel import escapePDF
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont, TTFontFace

from guidegen.drawing.fonts import Face, primary_face, runs
from guidegen.drawing.primitives import Weight

FIGURES = "0123456789"


def _embeddable(face: Face, asciiReadable: int = 0) -> TTFont:  # noqa: N803 - reportlab's word
    """The face as reportlab embeds it: only the glyphs used, with tabular figures."""
    kind = _VariableFont if face.variation else TTFont
    font = kind(face.name, str(face.path), asciiReadable=asciiReadable)
    for figure in filter(face.has, FIGURES):
        font.face.charToGlyph[ord(figure)] = face.glyph_id(figure)
        font.face.charWidths[ord(figure)] = face.advance(figure)
    return font


class _VariableFont(TTFont):  # type: ignore[misc]
    """A variable font at another weight than its default, made when it is known which glyphs are used."""

    def addObjects(self, doc: Any) -> None:  # noqa: N802 - reportlab's name
        used = {code for subset in self.state[doc].subsets for code in subset if code}
        self.face: TTFontFace = TTFontFace(BytesIO(_bold_instance(self.face.filename, frozenset(used))))
        super().addObjects(doc)


@cache
def _bold_instance(path: str, codes: frozenset[int]) -> bytes:
    """A static bold TrueType font with the given characters, cut from a variable one."""
    from fontTools.subset import Options, Subsetter
    from fontTools.ttLib import TTFont as FontFile
    from fontTools.varLib.instancer import instantiateVariableFont

    font = FontFile(path, recalcTimestamp=False)
    subsetter = Subsetter(Options(layout_features=[], notdef_outline=True, hinting=False))
    subsetter.populate(unicodes=sorted(codes))
    subsetter.subset(font)
    bold = instantiateVariableFont(font, {"wght": 700.0, "wdth": 100.0}, inplace=True, overlap=False)
    for record in bold["name"].names:
        if record.nameID == 6:  # PostScript name
            record.string = "NotoSans-Bold"
    out = BytesIO()
    bold.save(out)
    return out.getvalue()


@cache
def _shared(face: Face) -> TTFont:
    return _embeddable(face)


@cache
def first_font() -> str:
    """The name of a font known to reportlab, so that a new canvas does not fall back on Helvetica."""
    font = _shared(primary_face("regular"))
    pdfmetrics.registerFont(font)
    return str(font.fontName)


class FontBook:
    """The fonts of one document; texts that come again are coded once."""

    def __init__(self, doc: Any) -> None:
        self._doc = doc
        self._fonts: dict[Face, TTFont] = {}
        self._coded: dict[tuple[str, Weight], tuple[tuple[str, str], ...]] = {}

    def coded(self, text: str, weight: Weight) -> tuple[tuple[str, str], ...]:
        """Pairs of a font resource ("/F1+0") and a literal string ("(…)"). Raises MissingGlyph."""
        key = (text, weight)
        found = self._coded.get(key)
        if found is None:
            found = self._coded[key] = tuple(self._code(text, weight))
        return found

    def _code(self, text: str, weight: Weight) -> list[tuple[str, str]]:
        coded = []
        for face, part in runs(text, weight):
            font = self._font(face)
            for subset, codes in font.splitString(part, self._doc):
                coded.append((font.getSubsetInternalName(subset, self._doc), f"({escapePDF(codes)})"))
        return coded

    def _font(self, face: Face) -> TTFont:
        font = self._fonts.get(face)
        if font is None:
            font = self._fonts[face] = _embeddable(face) if face.variation else _shared(face)
        return font
