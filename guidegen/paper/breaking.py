"""Where lines may break and where they had best: atoms between break places, and a total-fit choice.

The choice follows the idea of Knuth and Plass, Breaking Paragraphs into Lines (1981): the breaks of a whole
paragraph are weighed together. For ragged setting the cost of a line is the square of what it leaves empty.
"""

from __future__ import annotations

import re
from bisect import bisect_left, bisect_right
from collections.abc import Callable, Sequence
from functools import lru_cache
from itertools import accumulate, chain
from math import inf
from typing import Any, TypeAlias

from msgspec import Struct

from guidegen.drawing.typography import UNITS

NBSP = "\u00a0"
SOFT_HYPHEN = "\u00ad"
_SPACES = re.compile(r"[ \t\r\f\v\u2002-\u200a]+")
_NUMBER_UNIT = re.compile(rf"(?<=\d)(\0?) (?=\0?{UNITS}(?![^\W\d_]))")
_LETTERS_NUMBER = re.compile(r"(?:(?<=[A-Z]{2})|(?<=\bclass)) (?=\d)")
_NUMBER_TIMES = re.compile(r"(?<=\d) ?([×–]) ?(?=\d)")
# Two or three words, few letters, behind another sentence: “… of the fresh tank. Leave it open.”
_SHORT_LAST = re.compile(r"(?<=[.!?] )(?=.{1,16}$)(?:[^\W\d_]+ ){1,2}[^\W\d_]+\.$")
_HYPHEN = re.compile(r"(?<=[^\W\d_]{2}[-‐])(?=[^\W\d_]{3})|(?<=[^\W\d_]{3}/)(?=[^\W\d_]{3})")
_STOPS = (".", "!", "?")
_FIGURE = re.compile(r"\d")
_AT_SIGNS = re.compile(f"[-‐/{SOFT_HYPHEN}]")  # within words, where lines may break

AT_HYPHEN, HYPHENATED, WIDOW, LONE_WORD, SHORT_WORD_AT_END = 0.02, 0.15, 0.5, 0.15, 0.004
WIDOW_LETTERS = 8
LONG_WORD_LETTERS = 12
_SLACK_MM = 1e-6

Measure = Callable[[str, int], float]
Pieces: TypeAlias = tuple[tuple[str, int], ...]


class Cut(Struct, frozen=True):
    """A paragraph cut into atoms, which never break, as it is in any size: all widths are for each pt.

    Of each atom: its pieces (text, span number); its text with the space that follows; the lengths of both,
    in turn; the span of that space, −1 for none; what is added when the line ends after it, how wide that is
    and what ending there costs; its letters. several: widths of the pieces of those that have some. longest,
    widest: letters and width of words, whole.
    """

    pieces: tuple[Pieces, ...]
    texts: tuple[str, ...]
    lengths: tuple[float, ...]
    spaces: tuple[int, ...]
    hyphens: tuple[str, ...]
    hyphen_widths: tuple[float, ...]
    penalties: tuple[float, ...]
    letters: tuple[int, ...]
    several: tuple[tuple[int, tuple[float, ...]], ...]
    longest: int
    widest: float

    @property
    def last_word(self) -> int:
        """Where the last word starts."""
        return next((n for n in range(len(self.spaces) - 1, 0, -1) if self.spaces[n - 1] >= 0), 0)


def bind_numbers(text: str) -> str:
    """The text with no-break spaces before units, behind capitals (ISO 7010) or “class”, round × in sizes."""
    if not _FIGURE.search(text):
        return text
    text = _LETTERS_NUMBER.sub(NBSP, text)
    text = _NUMBER_UNIT.sub(rf"\g<1>{NBSP}", text)
    return _NUMBER_TIMES.sub(lambda found: found.group().replace(" ", NBSP), text)


def bind_words(text: str) -> str:
    """As bind_numbers, and with no break within a short last sentence: it is read at one glance."""
    return _SHORT_LAST.sub(lambda found: found.group().replace(" ", NBSP), bind_numbers(text))


def cut_up(
    texts: Sequence[str], measure: Measure, language: str = "", size_pt: float = 0.0, width_mm: float = 0.0
) -> Cut:
    """A paragraph, given as the texts of its spans, cut into atoms; measure(text, span) gives mm for each pt.

    Some of it must be more than space. With a language, words of 12 letters and more and those wider than
    width_mm at that size are hyphenated as well.
    """
    texts = [_single_spaced(text) for text in texts]
    may_part = bool(language) or any(map(_AT_SIGNS.search, texts))
    if len(texts) == 1 and not may_part:
        return _plain(bind_words(texts[0]), measure)
    atoms: list[tuple[Pieces, str, tuple[float, ...], float, int, str, float, float]] = []
    longest, widest = 0, 0.0
    for word, space in _words(texts):
        text, width = _joined(word), 0.0
        longest = max(longest, len(text))
        if language or (may_part and _AT_SIGNS.search(text)):
            wide = bool(language) and sum(_widths(word, measure, size_pt)) > width_mm
            *before, (word, _, _) = _parts(word, language, wide)
            for part, hyphen, penalty in before:
                widths = _widths(part, measure)
                extra = measure(hyphen, part[-1][1]) if hyphen else 0.0
                atoms.append((part, _joined(part), widths, 0.0, -1, hyphen, extra, penalty))
                width += sum(widths)
            text = _joined(word)
        widths = _widths(word, measure)
        widest = max(widest, width + sum(widths))
        penalty = SHORT_WORD_AT_END if len(text) <= 2 else 0.0
        if space >= 0:
            atoms.append((word, text + " ", widths, measure(" ", space), space, "", 0.0, penalty))
        else:
            atoms.append((word, text, widths, 0.0, space, "", 0.0, penalty))
    pieces, whole, widths_of, glues, spaces, hyphens, extras, penalties = zip(*atoms, strict=True)
    lengths = tuple(chain.from_iterable(zip(map(sum, widths_of), glues, strict=True)))
    letters = tuple([len(text) - (space >= 0) for text, space in zip(whole, spaces, strict=True)])
    several = tuple([(n, widths) for n, widths in enumerate(widths_of) if len(widths) > 1])
    return Cut(pieces, whole, lengths, spaces, hyphens, extras, penalties, letters, several, longest, widest)


def _plain(text: str, measure: Measure) -> Cut:
    """A paragraph of one span that breaks at its spaces only, as most are."""
    words = [word.replace(NBSP, " ") for word in text.split(" ") if word]
    widths, count = [measure(word, 0) for word in words], len(words)
    letters = tuple([len(word) for word in words])
    lengths = [measure(" ", 0)] * (2 * count)
    lengths[::2], lengths[-1] = widths, 0.0
    return Cut(
        pieces=tuple([((word, 0),) for word in words]),
        texts=(*[word + " " for word in words[:-1]], words[-1]),
        lengths=tuple(lengths),
        spaces=(*(0,) * (count - 1), -1),
        hyphens=("",) * count,
        hyphen_widths=(0.0,) * count,
        penalties=tuple([SHORT_WORD_AT_END if number <= 2 else 0.0 for number in letters]),
        letters=letters,
        several=(),
        longest=max(letters),
        widest=max(widths),
    )


def _joined(pieces: Pieces) -> str:
    return pieces[0][0] if len(pieces) == 1 else "".join([text for text, _ in pieces])


def _widths(pieces: Pieces, measure: Measure, size_pt: float = 1.0) -> tuple[float, ...]:
    return tuple([measure(text, span) * size_pt for text, span in pieces])


class Measured(Struct, frozen=True):
    """A paragraph in one size, in mm, with what is asked of it for one width after another.

    starts: where each atom begins in one endless line, and where that ends. feet: about where each ends, its
    glue left out. glues, hyphens: what follows each, within a line and at its end. width: of the widest word,
    about.
    """

    cut: Cut
    starts: tuple[float, ...]
    feet: tuple[float, ...]
    glues: tuple[float, ...]
    hyphens: tuple[float, ...]
    width: float

    def used_mm(self, start: int, end: int) -> float:
        """What a line from one atom up to another takes."""
        return self.starts[end] - self.starts[start] - self.glues[end - 1] + self.hyphens[end - 1]


def measured(cut: Cut, size_pt: float) -> Measured:
    """The paragraph in that size."""
    lengths = [length * size_pt for length in cut.lengths]
    for n, widths in cut.several:
        lengths[2 * n] = sum([width * size_pt for width in widths])
    ends = tuple(accumulate(lengths))
    hyphens = cut.hyphen_widths
    if any(hyphens):
        hyphens = tuple([width * size_pt for width in hyphens])
    starts, glues = (0.0, *ends[1::2]), tuple(lengths[1::2])
    return Measured(cut, starts, ends[::2], glues, hyphens, cut.widest * size_pt)


def fullest_lines(paragraph: Measured, width_mm: float) -> list[int] | None:
    """The ends of lines, each as full as can be: as many as best_breaks gives, in a fraction of its time.

    None when an atom is wider than the line.
    """
    starts, feet = paragraph.starts, paragraph.feet
    limit, count = width_mm + _SLACK_MM, len(feet)
    ends: list[int] = []
    start = 0
    while start < count:
        end = min(bisect_right(feet, starts[start] + limit) + 1, count)  # one more: sums are rounded
        while end > start and paragraph.used_mm(start, end) > limit:
            end -= 1
        if end == start:
            return None
        ends.append(end)
        start = end
    return ends


def best_breaks(paragraph: Measured, width_mm: float) -> list[int] | None:
    """The ends of lines, each one past its last atom: fewest lines, then least ragged.

    None when an atom is wider than the line.
    """
    latest = fullest_lines(paragraph, width_mm)
    if not latest or len(latest) == 1:
        return latest
    cut, starts, glues, hyphens = paragraph.cut, paragraph.starts, paragraph.glues, paragraph.hyphens
    limit, count, last_word = width_mm + _SLACK_MM, len(glues), cut.last_word
    lone = 0.0 if cut.texts[-2].rstrip().endswith(_STOPS) else LONE_WORD  # a whole sentence is no lone word
    # Of the best way to set the atoms up to each place where a line may end, line by line: its cost and where
    # its last line starts.
    first, costs = 0, [0.0]
    ways: list[tuple[int, list[int]]] = []
    for low, high in zip(_earliest(paragraph, limit, len(latest)), latest, strict=True):
        new_costs, last_starts = [], []
        for end in range(low, high + 1):
            foot, glue, hyphen = starts[end], glues[end - 1], hyphens[end - 1]
            penalty, least, best = cut.penalties[end - 1], inf, 0
            for start in range(min(first + len(costs), end) - 1, first - 1, -1):
                used = foot - starts[start] - glue + hyphen
                if used > limit:
                    break
                cost = costs[start - first]
                if end < count:
                    empty = 1 - used / width_mm
                    cost += empty * empty + penalty
                elif start >= last_word:
                    cost += WIDOW if sum(cut.letters[start:]) < WIDOW_LETTERS else lone
                if cost < least:
                    least, best = cost, start
            new_costs.append(least)
            last_starts.append(best)
        ways.append((low, last_starts))
        first, costs = low, new_costs
    ends = [count]
    for low, last_starts in reversed(ways):
        ends.append(last_starts[ends[-1] - low])
    return ends[-2::-1]


def _earliest(paragraph: Measured, limit: float, lines: int) -> list[int]:
    """Where each of so few lines ends at the earliest for the others to hold all that is left, or before."""
    ends = [len(paragraph.feet)]
    while len(ends) < lines:
        left = paragraph.feet[ends[-1] - 1] - limit
        ends.append(max(bisect_left(paragraph.starts, left) - 1, 1))  # one less: sums are rounded
    return ends[::-1]


def _single_spaced(text: str) -> str:
    return text if text.isprintable() and "  " not in text else _SPACES.sub(" ", text)


def _words(texts: Sequence[str]) -> list[tuple[Pieces, int]]:
    """Words as pieces (text, span), each with the span of the space after it, −1 for none."""
    words: list[tuple[Pieces, int]] = []
    pieces: Pieces = ()
    for span, text in enumerate(bind_words("\u0000".join(texts)).split("\u0000")):
        for number, part in enumerate(text.split(" ")):
            if number and pieces:
                words.append((pieces, span))
                pieces = ()
            if part:
                pieces = (*pieces, (part.replace(NBSP, " "), span))
    if pieces:
        words.append((pieces, -1))
    elif words:
        words[-1] = (words[-1][0], -1)
    return words


def _parts(word: Pieces, language: str, too_wide: bool) -> list[tuple[Pieces, str, float]]:
    """The word cut at its own hyphens and, when asked, where it may be hyphenated."""
    text = _joined(word)
    cuts = {found.start(): ("", AT_HYPHEN) for found in _HYPHEN.finditer(text)}
    cuts |= {at + 1: ("-", AT_HYPHEN) for at, letter in enumerate(text) if letter == SOFT_HYPHEN}
    if language and " " not in text and (too_wide or len(text) >= LONG_WORD_LETTERS):
        cuts = dict.fromkeys(_hyphenation(text, language), ("-", HYPHENATED)) | cuts
    if not cuts:
        return [(word, "", 0.0)]
    parts = []
    start = 0
    for at in [*sorted(cuts), len(text)]:
        hyphen, penalty = cuts.get(at, ("", 0.0))
        parts.append((_slice(word, start, at), hyphen, penalty))
        start = at
    return parts


def _slice(word: Pieces, start: int, end: int) -> Pieces:
    pieces, at = [], 0
    for text, span in word:
        part = text[max(start - at, 0) : max(end - at, 0)]
        if part:
            pieces.append((part, span))
        at += len(text)
    return tuple(pieces)


def _hyphenation(word: str, language: str) -> tuple[int, ...]:
    """Places inside the word where it may be hyphenated; at least three letters stay on either side."""
    dictionary = _dictionary(language)
    if dictionary is None:
        return ()
    places = []
    for found in re.finditer(r"[^\W\d_]+", word):
        letters = found.group()
        places += [found.start() + at for at in dictionary.positions(letters) if 3 <= at <= len(letters) - 3]
    return tuple(places)


@lru_cache(maxsize=16)
def _dictionary(language: str) -> Any:
    """The hyphenation patterns of the language, None when there are none."""
    import pyphen  # loaded only when a long word must break

    code = pyphen.language_fallback(language.replace("-", "_"))
    return pyphen.Pyphen(lang=code) if code else None
