"""Text that fits: least ragged line breaks, sizes that shrink within bounds, errors, never clipping."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from itertools import groupby
from typing import TypeAlias

from msgspec import Struct
from msgspec.structs import replace

from guidegen.drawing.fonts import ascent_mm, descent_mm, text_width_mm
from guidegen.drawing.primitives import BLACK, Anchor, Colour, Item, Link, Text, Weight
from guidegen.errors import GuidegenError
from guidegen.paper.breaking import (
    LONG_WORD_LETTERS,
    Cut,
    Measure,
    Measured,
    best_breaks,
    cut_up,
    fullest_lines,
    measured,
)

MM_PER_PT = 25.4 / 72
SMALLEST_PT = 7.0
SMALL_PT, BODY_PT, LEAD_PT, TITLE_PT, DISPLAY_PT = (8.5, 10.0, 12.0, 16.0, 24.0)


class DoesNotFit(GuidegenError):  # noqa: N818 - named for what it reports
    """Something is too large for its place; says what to shorten and by how much.

    over_mm is by how much it is too wide or too high; characters is about how many letters to take out.
    """

    def __init__(self, what: str, over_mm: float, characters: int = 0, place: str = "its place") -> None:
        shown = what if len(what) <= 80 else what[:77] + "…"
        advice = (
            f"shorten it by about {characters} characters" if characters else "shorten it or leave out some"
        )
        super().__init__(f"“{shown}” is {over_mm:.1f} mm too large for {place}: {advice}.")
        self.what, self.over_mm, self.characters = what, over_mm, characters


class TextStyle(Struct, frozen=True):
    """How a text is set; leading is a multiple of the size; language is that of hyphenation ("" for none).

    Raises ValueError under 7 pt.
    """

    size_pt: float = BODY_PT
    weight: Weight = "regular"
    colour: Colour = BLACK
    leading: float = 1.3
    language: str = ""

    def __post_init__(self) -> None:
        if self.size_pt < SMALLEST_PT - 1e-9:
            raise ValueError(f"{self.size_pt} pt: nothing on paper is set under {SMALLEST_PT} pt")

    @property
    def line_mm(self) -> float:
        """From one baseline to the next."""
        return self.size_pt * self.leading * MM_PER_PT

    @property
    def baseline_mm(self) -> float:
        """From the top of a line's box down to its baseline."""
        return _baseline_mm(self.size_pt, self.leading)

    @property
    def bold(self) -> TextStyle:
        return replace(self, weight="bold")

    def at(self, size_pt: float) -> TextStyle:
        return replace(self, size_pt=size_pt)

    def width_mm(self, text: str) -> float:
        return text_width_mm(text, self.size_pt, self.weight)


class Span(Struct, frozen=True):
    """Part of a text; None takes the style's weight or colour; target makes it a link (see Link)."""

    text: str
    weight: Weight | None = None
    colour: Colour | None = None
    target: str = ""


Words: TypeAlias = str | tuple[Span, ...]
SHARE_BEFORE: dict[Anchor, float] = {"start": 0.0, "middle": 0.5, "end": 1.0}
"""How much of its width lies before the place where something is anchored."""
_Look: TypeAlias = tuple[Weight, Colour, str]  # and where it leads


class _Spans(Struct, frozen=True):
    """A paragraph: its spans, with their texts and weights."""

    spans: tuple[Span, ...]
    texts: tuple[str, ...]
    weights: tuple[Weight, ...]


class Run(Struct, frozen=True):
    """A piece of a line in one weight and colour; x_mm counts from the line's start."""

    x_mm: float
    width_mm: float
    text: str
    weight: Weight
    colour: Colour
    target: str = ""


class TextLine(Struct, frozen=True):
    """One line, set.

    end is what the break after it stands for: " ", "\\n", "" after a hyphen of the word, "-" when the
    line's last hyphen was added.
    """

    runs: tuple[Run, ...]
    width_mm: float
    style: TextStyle
    end: str = ""

    @property
    def text(self) -> str:
        return "".join(run.text for run in self.runs)

    def draw(
        self, x: float, y: float, anchor: Anchor = "start", colour: Colour | None = None
    ) -> tuple[Item, ...]:
        """The line with its baseline at y and its start, middle or end at x."""
        left = x - SHARE_BEFORE[anchor] * self.width_mm
        style, items = self.style, list[Item]()
        for run in self.runs:
            at = left + run.x_mm
            items.append(Text(at, y, run.text, style.size_pt, run.weight, colour or run.colour))
            if run.target:
                items.append(Link(at, y - style.baseline_mm, run.width_mm, style.line_mm, run.target))
        return tuple(items)


def plain(words: Words) -> str:
    """The text without its spans."""
    return words if isinstance(words, str) else "".join(span.text for span in words)


def spans_of(words: Words) -> tuple[Span, ...]:
    return (Span(words),) if isinstance(words, str) else words


@lru_cache(maxsize=6144)
def wrap(words: Words, width_mm: float, style: TextStyle) -> tuple[TextLine, ...]:
    """The text in the fewest lines, broken where they are least ragged.

    Lines break at spaces, after hyphens between letters and, in the style's language, where a long word
    must be hyphenated; never between a number and its unit. Newlines break always. An empty text gives no
    line. Raises DoesNotFit when a word is wider than width_mm.
    """
    short = _one_line(words, width_mm, style) if isinstance(words, str) else None
    if short:
        return (short,)
    lines: list[TextLine] = []
    for paragraph in _paragraphs(words, style.weight):
        if lines:
            lines[-1] = replace(lines[-1], end="\n")
        lines += _wrap_paragraph(paragraph, width_mm, style)
    return tuple(lines)


def line_count(words: Words, width_mm: float, style: TextStyle) -> int:
    """How many lines wrap gives, told sooner: most texts are only measured, to see which way is best.

    Raises DoesNotFit as wrap does.
    """
    found = _line_count(words, width_mm, style.size_pt, style.weight, style.language)
    return len(wrap(words, width_mm, style)) if found is None else found


def unwrap(lines: Sequence[TextLine]) -> tuple[Span, ...]:
    """The text of set lines as it was before it was broken."""
    spans: list[Span] = []
    for line in lines:
        spans += [Span(run.text, run.weight, run.colour, run.target) for run in line.runs]
        if line.end == "-":
            spans[-1] = replace(spans[-1], text=spans[-1].text[:-1])
        elif line is not lines[-1]:
            spans.append(Span(line.end))
    return tuple(spans)


def height_mm(lines: Sequence[TextLine]) -> float:
    """Of all lines together, each with its leading."""
    return sum(line.style.line_mm for line in lines)


def balance(words: Words, width_mm: float, style: TextStyle) -> tuple[TextLine, ...]:
    """As wrap, with lines as equal as can be: for headings and short labels."""
    lines = wrap(words, width_mm, style)
    narrow, wide = max((line.width_mm for line in lines), default=0.0) / 2, width_mm
    if len(lines) < 2:
        return lines
    for _ in range(8):
        middle = (narrow + wide) / 2
        try:
            fewer = line_count(words, middle, style) <= len(lines)
        except DoesNotFit:
            fewer = False
        narrow, wide = (narrow, middle) if fewer else (middle, wide)
    return wrap(words, wide, style)


def fit_size(
    text: str, width_mm: float, style: TextStyle, smallest_pt: float = SMALLEST_PT, place: str = "its place"
) -> TextStyle:
    """The style for one line of text, at its own size or shrunk by quarter points to smallest_pt.

    Raises DoesNotFit when the line is too wide even then.
    """
    smallest = max(smallest_pt, SMALLEST_PT)
    size = style.size_pt
    while text_width_mm(text, size, style.weight) > width_mm + 1e-9:
        if size <= smallest:
            raise too_wide(text, width_mm, style.at(smallest), place)
        size = max(smallest, size - 0.25)
    return style if size == style.size_pt else style.at(size)


def too_wide(text: str, width_mm: float, style: TextStyle, place: str = "its place") -> DoesNotFit:
    """The error for a line or word that is wider than its place."""
    width = style.width_mm(text)
    over = max(width - width_mm, 0.0)
    letters = max(1, -int(-len(text) * over // max(width, 1e-9)))
    return DoesNotFit(text, over, letters, f"{place} ({width_mm:.1f} mm wide at {style.size_pt:g} pt)")


@lru_cache(maxsize=256)
def _baseline_mm(size_pt: float, leading: float) -> float:
    ascent, descent = ascent_mm(size_pt), descent_mm(size_pt)
    return (size_pt * leading * MM_PER_PT - ascent - descent) / 2 + ascent


def _one_line(text: str, width_mm: float, style: TextStyle) -> TextLine | None:
    """Plain text that fits as it is, by far the most of it; None for any other."""
    width = text_width_mm(text, style.size_pt, style.weight)
    if width > width_mm or not _is_plain(text):
        return None
    return TextLine((Run(0.0, width, text, style.weight, style.colour),), width, style)


def _is_plain(text: str) -> bool:
    """Whether it is printed letter by letter where it stands on one line."""
    return bool(text) and text.isprintable() and text.isascii() and "  " not in text and text == text.strip()


@lru_cache(maxsize=1024)
def _paragraphs(words: Words, weight: Weight) -> tuple[_Spans, ...]:
    """What newlines part: a text is asked for in one width after another."""
    found: list[list[Span]] = [[]]
    for span in spans_of(words):
        for number, part in enumerate(span.text.split("\n")):
            if number:
                found.append([])
            if part:
                found[-1].append(replace(span, text=part))
    return tuple([_spans(paragraph, weight) for paragraph in found if any(s.text.strip() for s in paragraph)])


def _spans(spans: Sequence[Span], weight: Weight) -> _Spans:
    texts, weights = [span.text for span in spans], [span.weight or weight for span in spans]
    return _Spans(tuple(spans), tuple(texts), tuple(weights))


@lru_cache(maxsize=2048)
def _line_count(words: Words, width_mm: float, size_pt: float, weight: Weight, language: str) -> int | None:
    """None where only breaking the text tells: a word is too wide, or may be hyphenated."""
    if isinstance(words, str) and text_width_mm(words, size_pt, weight) <= width_mm and _is_plain(words):
        return 1
    count = 0
    for one in _paragraphs(words, weight):
        paragraph = _measured(one.texts, one.weights, size_pt)
        lines = fullest_lines(paragraph, width_mm)
        may_part = paragraph.cut.longest >= LONG_WORD_LETTERS or paragraph.width > width_mm - 1e-6
        if lines is None or (len(lines) > 1 and language and may_part):
            return None
        count += len(lines)
    return count


def _wrap_paragraph(one: _Spans, width_mm: float, style: TextStyle) -> list[TextLine]:
    paragraph = _measured(one.texts, one.weights, style.size_pt)
    ends = best_breaks(paragraph, width_mm)
    if ends is None or (style.language and _loose(paragraph, ends, width_mm)):
        parted = cut_up(one.texts, _measure_of(one.weights), style.language, style.size_pt, width_mm)
        hyphenated = measured(parted, style.size_pt)
        ends_hyphenated = best_breaks(hyphenated, width_mm)
        if ends_hyphenated is not None:
            paragraph, ends = hyphenated, ends_hyphenated
    if ends is None:
        cut = paragraph.cut
        widest = cut.pieces[max(range(len(cut.pieces)), key=lambda n: cut.lengths[2 * n])]
        word = "".join(text for text, _ in widest)
        raise too_wide(word, width_mm, replace(style, weight=one.weights[widest[0][1]]))
    looks = tuple([_look(span, style) for span in one.spans])
    return [_line(paragraph.cut, a, b, looks, style) for a, b in zip([0, *ends], ends, strict=False)]


@lru_cache(maxsize=2048)
def _measured(texts: tuple[str, ...], weights: tuple[Weight, ...], size_pt: float) -> Measured:
    """Without hyphenation atoms are the same for every width that a text is tried in."""
    return measured(_cut(texts, weights), size_pt)


@lru_cache(maxsize=1024)
def _cut(texts: tuple[str, ...], weights: tuple[Weight, ...]) -> Cut:
    """For any size."""
    return cut_up(texts, _measure_of(weights))


def _measure_of(weights: tuple[Weight, ...]) -> Measure:
    return lambda text, span: text_width_mm(text, 1.0, weights[span])


def _loose(paragraph: Measured, ends: Sequence[int], width_mm: float) -> bool:
    """Whether some line but the last leaves over two fifths of the width empty."""
    starts, glues = paragraph.starts, paragraph.glues
    lines = zip([0, *ends], ends[:-1], strict=False)
    return any(starts[b] - starts[a] - glues[b - 1] < 0.6 * width_mm for a, b in lines)


def _line(cut: Cut, start: int, end: int, looks: tuple[_Look, ...], style: TextStyle) -> TextLine:
    """The atoms from one up to another, set."""
    spaced, last = cut.spaces[end - 1] >= 0, end == len(cut.spaces)
    ending = "" if last else (" " if spaced else cut.hyphens[end - 1])
    if len(looks) == 1:
        text = "".join(cut.texts[start:end])
        alike = [(looks[0], text[:-1] if spaced else text + ending)]
    else:
        alike = _alike(cut, start, end, looks, "" if spaced else ending)
    runs: list[Run] = []
    x = 0.0
    for (weight, colour, target), text in alike:
        width = text_width_mm(text, style.size_pt, weight)
        runs.append(Run(x, width, text, weight, colour, target))
        x += width
    return TextLine(tuple(runs), x, style, ending)


def _alike(cut: Cut, start: int, end: int, looks: tuple[_Look, ...], hyphen: str) -> list[tuple[_Look, str]]:
    """The text of a line in stretches that look alike."""
    pieces: list[tuple[str, int]] = []
    for one, space in zip(cut.pieces[start:end], cut.spaces[start:end], strict=True):
        pieces += one
        if space >= 0:
            pieces.append((" ", space))
    if cut.spaces[end - 1] >= 0:
        pieces.pop()
    pieces.append((hyphen, pieces[-1][1]))
    stretches = groupby(pieces, key=lambda piece: looks[piece[1]])
    return [(look, "".join([text for text, _ in group])) for look, group in stretches]


def _look(span: Span, style: TextStyle) -> _Look:
    return span.weight or style.weight, span.colour or style.colour, span.target
