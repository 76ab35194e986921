"""The typefaces: how wide a text is, which face draws each character, and the outlines of glyphs.

Atkinson Hyperlegible (SIL Open Font Licence) sets everything it has glyphs for; Noto Sans (same
licence) fills in Greek, Cyrillic and rare Latin. Figures are the tabular ones of the "tnum" feature
(OpenType 1.9, registered features), so that numbers stand under each other.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable, Collection
from functools import cache, cached_property, lru_cache
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

from guidegen.compiled import compiled
from guidegen.drawing.typography import as_printed
from guidegen.errors import GuidegenError

if TYPE_CHECKING:
    from fontTools.ttLib import TTFont

    from guidegen.drawing.primitives import Weight

MM_PER_PT = 25.4 / 72
OUTLINE_UNITS = 1000  # of an outline to the em

# Drawn as their plain neighbour, or not at all: differences that only line breaking knows.
_SUBSTITUTES = {
    0x2010: "-",  # hyphen
    0x2011: "-",  # non-breaking hyphen
    0x2007: "\N{NO-BREAK SPACE}",  # figure space
    0x2009: "\N{NO-BREAK SPACE}",  # thin space
    0x202F: "\N{NO-BREAK SPACE}",  # narrow no-break space
    0x00AD: "",  # soft hyphen
    0x200B: "",  # zero width space
    0x200C: "",  # zero width non-joiner
    0x200D: "",  # zero width joiner
    0x2060: "",  # word joiner
    0xFEFF: "",  # zero width no-break space
}
# Printable Latin up to Extended-B and common punctuation: no font need be opened to know that it has them.
_SURELY_DRAWN = re.compile("[ -~\xa0-\u024f\u2010-\u2014\u2018-\u2022\u2026\u20ac]*")
# Right with one glyph a character, side by side; other scripts need shaping, which nobody does here.
_UNSHAPED_SCRIPTS = ("LATIN", "GREEK", "CYRILLIC")
_METRICS = {"ascent": "hhea", "descent": "hhea", "sCapHeight": "OS/2", "sxHeight": "OS/2"}


class MissingGlyph(GuidegenError):  # noqa: N818 - named for what it reports
    """A text holds characters that no face has a glyph for."""

    def __init__(self, characters: str, text: str) -> None:
        named = ", ".join(
            f"{c!r} (U+{ord(c):04X}, {unicodedata.name(c, 'no name').lower()})" for c in characters
        )
        super().__init__(f"No typeface here can draw {named} in the text {text!r}: write it another way")
        self.characters = characters
        self.text = text


class _Read(NamedTuple):
    """What is read of a font file for every text; advances and heights in font units."""

    units_per_em: int
    glyphs: dict[int, tuple[str, int, int]]  # name, number and advance by character
    metrics: dict[str, int]


class Face:
    """One typeface in one weight; its outlines are read glyph by glyph as texts ask for them.

    named: its glyphs go by the names in the file, by which tabular figures are found, not by numbers.
    """

    def __init__(
        self, name: str, path: Path, variation: dict[str, float] | None = None, named: bool = True
    ) -> None:
        self.name = name
        self.path = path
        self.variation = variation
        self._named = named
        kept = f"font-{path.stem}" + "-numbered" * (not named)
        self._read = _Read(*compiled(kept, (path, __file__), lambda: tuple(_read(path, named))))

    def __repr__(self) -> str:
        return f"Face({self.name})"

    @cached_property
    def glyphs(self) -> Any:
        """By name, for pens that follow components; few documents draw any."""
        return _open_font(self.path, self._named).getGlyphSet(location=self.variation or {})

    @property
    def units_per_em(self) -> int:
        return self._read.units_per_em

    @property
    def characters(self) -> Collection[int]:
        """The code points that it has glyphs for."""
        return self._read.glyphs.keys()

    def has(self, character: str) -> bool:
        return ord(character) in self._read.glyphs

    def glyph_id(self, character: str) -> int:
        """The number of the glyph in the font file."""
        return self._read.glyphs[ord(character)][1]

    def advance(self, character: str) -> float:
        """In thousandths of an em; a space is as wide in every weight."""
        name, _, width = self._read.glyphs[ord(character)]
        if self.variation and not character.isspace():
            width = self.glyphs[name].width
        return width * 1000 / self.units_per_em

    def draw(self, character: str, pen: Any) -> None:
        """The outline in font units, y up, into a fontTools pen."""
        self.glyphs[self._read.glyphs[ord(character)][0]].draw(pen)

    def metric(self, name: str) -> float:
        """One of _METRICS, in thousandths of an em."""
        return self._read.metrics[name] * 1000 / self.units_per_em


def _read(path: Path, named: bool) -> _Read:
    font = _open_font(path, named)
    names = dict(font.getBestCmap())
    for figure in range(0x30, 0x3A):
        tabular = f"{names[figure]}.tf"
        if tabular in font.getReverseGlyphMap():
            names[figure] = tabular
    glyphs = {code: (name, font.getGlyphID(name), font["hmtx"][name][0]) for code, name in names.items()}
    metrics = {name: getattr(font[table], name) for name, table in _METRICS.items()}
    return _Read(font["head"].unitsPerEm, glyphs, metrics)


@cache
def _open_font(path: Path, named: bool) -> TTFont:
    from fontTools.ttLib import TTFont

    font = TTFont(BytesIO(path.read_bytes()), lazy=True)
    if not named:  # to read the names of thousands takes longer than all the rest
        font.setGlyphOrder([f"glyph{number}" for number in range(font["maxp"].numGlyphs)])
    return font


@cache
def primary_face(weight: Weight) -> Face:
    import fontpkg_atkinson_hyperlegible as package

    style = weight.capitalize()
    file = f"AtkinsonHyperlegible-{style}.ttf"
    return Face(f"AtkinsonHyperlegible-{style}", Path(package.ROOT) / "files" / file)


@cache
def fallback_face(weight: Weight) -> Face:
    import fontpkg_noto_sans as package

    file = Path(package.ROOT) / "files" / "NotoSans[wdth,wght].ttf"
    variation = {"wght": 700.0} if weight == "bold" else None
    return Face(f"NotoSans-{weight.capitalize()}", file, variation, named=False)


@lru_cache(maxsize=6144)
def normalise(text: str) -> str:
    """As it is printed: composed (Unicode NFC), marks curled, without what only line breaking needs."""
    text = as_printed(text)
    return text if text.isascii() else unicodedata.normalize("NFC", text).translate(_SUBSTITUTES)


def _fallback_may_draw(character: str) -> bool:
    category = unicodedata.category(character)
    if category.startswith("L"):
        return unicodedata.name(character, "").startswith(_UNSHAPED_SCRIPTS)
    return not category.startswith(("M", "C")) and character != "\ufffd"  # what a lost character became


@lru_cache(maxsize=4096)
def _face_for(character: str, weight: Weight) -> Face | None:
    if unicodedata.category(character).startswith(("M", "C")):
        return None  # marks that do not compose would stand in the wrong place
    primary = primary_face(weight)
    if primary.has(character):
        return primary
    if _fallback_may_draw(character) and fallback_face(weight).has(character):
        return fallback_face(weight)
    return None


@cache
def _drawn_by_primary(weight: Weight) -> frozenset[str]:
    face = primary_face(weight)
    return frozenset(c for c in map(chr, face.characters) if _face_for(c, weight) is face)


class _Advances(dict[str, float]):
    """Advance of each character in thousandths of an em; 600 for one that nobody can draw."""

    def __init__(self, weight: Weight) -> None:
        super().__init__()
        self._weight = weight

    def __missing__(self, character: str) -> float:
        face = _face_for(character, self._weight)
        advance = self[character] = face.advance(character) if face else 600.0
        return advance


@cache
def _advance_of(weight: Weight) -> Callable[[str], float]:
    return _Advances(weight).__getitem__


@lru_cache(maxsize=8192)
def _width_per_pt(text: str, weight: Weight) -> float:
    return sum(map(_advance_of(weight), normalise(text))) * (MM_PER_PT / 1000)


def text_width_mm(text: str, size_pt: float, weight: Weight = "regular") -> float:
    """The advance width of one line of text."""
    return _width_per_pt(text, weight) * size_pt


@lru_cache(maxsize=4096)
def runs(text: str, weight: Weight = "regular") -> tuple[tuple[Face, str], ...]:
    """The normalised text in stretches of one face each. Raises MissingGlyph."""
    normal, primary = normalise(text), primary_face(weight)
    if normal and _drawn_by_primary(weight).issuperset(normal):  # as nearly all are
        return ((primary, normal),)
    found: list[tuple[Face, str]] = []
    for character in normal:
        face = _face_for(character, weight)
        if face is None:
            raise MissingGlyph(undrawable(text), text)
        if found and found[-1][0] is face:
            found[-1] = (face, found[-1][1] + character)
        else:
            found.append((face, character))
    return tuple(found)


def undrawable(text: str) -> str:
    """The characters of the text that no face can draw, each once, in order of appearance."""
    if _SURELY_DRAWN.fullmatch(text):
        return ""
    return "".join(dict.fromkeys(c for c in normalise(text) if _face_for(c, "regular") is None))


@cache
def _metric(name: str) -> float:
    """Of the first typeface; both weights have the same."""
    return primary_face("regular").metric(name)


def ascent_mm(size_pt: float) -> float:
    """From the baseline to the top of the line box (hhea.ascender)."""
    return _metric("ascent") * size_pt * MM_PER_PT / 1000


def descent_mm(size_pt: float) -> float:
    """From the baseline down to the foot of the line box, positive (hhea.descender)."""
    return -_metric("descent") * size_pt * MM_PER_PT / 1000


def cap_height_mm(size_pt: float) -> float:
    """Height of a flat capital (OS/2.sCapHeight)."""
    return _metric("sCapHeight") * size_pt * MM_PER_PT / 1000
