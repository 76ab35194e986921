"""Where lines may break and where they had best: atoms between break places, and a total-fit choice.

The choice follows the idea of Knuth and Plass, Breaking Paragraphs into Lines (1981): the breaks of a whole
paragraph are weighed together. For ragged setting the cost of a line is the square of what it leaves empty.
"""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Callable, Sequence
from functools import lru_cache
from typing import Any

from msgspec import Struct

from guidegen.drawing.typography import UNITS

NBSP = "\u00a0"
SOFT_HYPHEN = "\u00ad"
_SPACES = re.compile(r"[ \t\r\f\v\u2002-\u200a]+")
_NUMBER_UNIT = re.compile(rf"(?<=\d)(\0?) (?=\0?{UNITS}(?![^\W\d_]))")
_LETTERS_NUMBER = re.compile(r"(?:(?<=[A-Z]{2})|(?<=\bclass)) (?=\d)")
_NUMBER_TIMES = re.compile(r"(?<=\d) ?([×–]) ?(?=\d)")
_HYPHEN = re.compile(r"(?<=[^\W\d_]{2}[-‐])(?=[^\W\d_]{3})|(?<=[^\W\d_]{3}/)(?=[^\W\d_]{3})")
_AT_SIGNS = re.compile(f"[-‐/{SOFT_HYPHEN}]")  # within words, where lines may break

AT_HYPHEN, HYPHENATED, WIDOW, LONE_WORD, SHORT_WORD_AT_END = 0.02, 0.15, 0.5, 0.15, 0.004
WIDOW_LETTERS = 8
LONG_WORD_LETTERS = 12
_SLACK_MM = 1e-6

Measure = Callable[[str, int], float]


class Atom(Struct, frozen=True):
    """What never breaks: pieces (text, span number); glue is the width of the space that follows, 0 for none.

    hyphen is what is added when the line ends after the atom; penalty is the cost of ending there.
    """

    pieces: tuple[tuple[str, int], ...]
    width: float
    glue: float = 0.0
    glue_span: int = 0
    hyphen: str = ""
    hyphen_width: float = 0.0
    penalty: float = 0.0

    @property
    def letters(self) -> int:
        return sum(len(text) for text, _ in self.pieces)


def bind_numbers(text: str) -> str:
    """The text with no-break spaces before units, behind capitals (ISO 7010) or “class”, round × in sizes."""
    text = _LETTERS_NUMBER.sub(NBSP, text)
    text = _NUMBER_UNIT.sub(rf"\g<1>{NBSP}", text)
    return _NUMBER_TIMES.sub(lambda found: found.group().replace(" ", NBSP), text)


def atoms_of(texts: Sequence[str], measure: Measure, language: str = "", width_mm: float = 0.0) -> list[Atom]:
    """The atoms of a paragraph given as the texts of its spans; measure(text, span) gives mm.

    With a language, words of 12 letters and more and those wider than width_mm are hyphenated as well.
    """
    atoms: list[Atom] = []
    for word, space in _words(texts):
        glue = measure(" ", space) if space >= 0 else 0.0
        parts = _parts(word, measure, language, width_mm)
        for number, (pieces, hyphen, penalty) in enumerate(parts):
            width = sum(measure(text, span) for text, span in pieces)
            if number < len(parts) - 1:
                extra = measure(hyphen, pieces[-1][1]) if hyphen else 0.0
                atoms.append(Atom(pieces, width, 0.0, 0, hyphen, extra, penalty))
            else:
                short = sum(len(text) for text, _ in pieces) <= 2
                atoms.append(Atom(pieces, width, glue, max(space, 0), "", 0.0, SHORT_WORD_AT_END * short))
    return atoms


class Measured(Struct, frozen=True):
    """The atoms of a paragraph with what is asked of them for one width after another.

    starts: where each atom begins in one endless line, and where that ends. feet: where each ends, its glue
    left out. letters and width: of the longest and of the widest word, whole.
    """

    atoms: tuple[Atom, ...]
    starts: tuple[float, ...]
    feet: tuple[float, ...]
    letters: int
    width: float


def measured(atoms: Sequence[Atom]) -> Measured:
    """The atoms, measured."""
    starts, feet = [0.0], []
    letters, width, most, widest = 0, 0.0, 0, 0.0
    for atom in atoms:
        starts.append(starts[-1] + atom.width + atom.glue)
        feet.append(starts[-1] - atom.glue)
        letters, width = letters + atom.letters, width + atom.width
        most, widest = max(most, letters), max(widest, width)
        if atom.glue:
            letters, width = 0, 0.0
    return Measured(tuple(atoms), tuple(starts), tuple(feet), most, widest)


def fewest_lines(paragraph: Measured, width_mm: float) -> int | None:
    """How many lines best_breaks gives, told in a fraction of its time: each as full as can be.

    None when an atom is wider than the line.
    """
    atoms, starts, feet = paragraph.atoms, paragraph.starts, paragraph.feet
    limit, count = width_mm + _SLACK_MM, len(atoms)
    lines = start = 0
    while start < count:
        left = starts[start]
        end = min(bisect_right(feet, left + limit) + 1, count)  # one more: sums are rounded
        while end > start:
            hyphen = atoms[end - 1].hyphen_width if end < count else 0.0
            if starts[end] - left - atoms[end - 1].glue + hyphen <= limit:
                break
            end -= 1
        if end == start:
            return None
        lines, start = lines + 1, end
    return lines


def best_breaks(atoms: Sequence[Atom], width_mm: float) -> list[int] | None:
    """The ends of lines, each one past its last atom: fewest lines, then least ragged.

    None when an atom is wider than the line.
    """
    count = len(atoms)
    limit = width_mm + _SLACK_MM
    starts = [0.0]
    for atom in atoms:
        starts.append(starts[-1] + atom.width + atom.glue)
    if starts[-1] - atoms[-1].glue <= limit:
        return [count]
    # Of the best way to set the atoms up to each end: lines (0 for none), cost and where the last one starts.
    lines, costs, last_starts = [0], [0.0], [0]
    for end, atom in enumerate(atoms, 1):
        final = end == count
        foot, glue, hyphen = starts[end], atom.glue, 0.0 if final else atom.hyphen_width
        fewest, least, best = 0, 0.0, 0
        for start in range(end - 1, -1, -1):
            used = foot - starts[start] - glue + hyphen
            if used > limit:
                break
            number = lines[start] + 1
            if (start and number == 1) or (fewest and number > fewest):
                continue
            cost = costs[start]
            if final:
                cost += _last_line_penalty(atoms, start)
            else:
                empty = 1 - used / width_mm
                cost += empty * empty + atom.penalty
            if not fewest or number < fewest or cost < least:
                fewest, least, best = number, cost, start
        lines.append(fewest)
        costs.append(least)
        last_starts.append(best)
    if not lines[count]:
        return None
    ends, end = [], count
    while end:
        ends.append(end)
        end = last_starts[end]
    return ends[::-1]


def _last_line_penalty(atoms: Sequence[Atom], start: int) -> float:
    """What it costs when a last line holds one word only, or the rest of one: more when it is short."""
    if start == 0 or any(atom.glue for atom in atoms[start:-1]):
        return 0.0
    return WIDOW if sum(atom.letters for atom in atoms[start:]) < WIDOW_LETTERS else LONE_WORD


def _words(texts: Sequence[str]) -> list[tuple[list[tuple[str, int]], int]]:
    """Words as pieces (text, span), each with the span of the space after it, −1 for none."""
    whole = bind_numbers(_SPACES.sub(" ", "\u0000".join(texts)))
    words: list[tuple[list[tuple[str, int]], int]] = []
    pieces: list[tuple[str, int]] = []
    for span, text in enumerate(whole.split("\u0000")):
        for number, part in enumerate(text.split(" ")):
            if number and pieces:
                words.append((pieces, span))
                pieces = []
            if part:
                pieces.append((part.replace(NBSP, " "), span))
    if pieces:
        words.append((pieces, -1))
    elif words:
        words[-1] = (words[-1][0], -1)
    return words


def _parts(
    word: list[tuple[str, int]], measure: Measure, language: str, width_mm: float
) -> list[tuple[tuple[tuple[str, int], ...], str, float]]:
    """The word cut at its own hyphens and, when asked, where it may be hyphenated."""
    text = word[0][0] if len(word) == 1 else "".join(part for part, _ in word)
    if not language and not _AT_SIGNS.search(text):  # by far the most
        return [(tuple(word), "", 0.0)]
    cuts = {found.start(): ("", AT_HYPHEN) for found in _HYPHEN.finditer(text)}
    cuts |= {at + 1: ("-", AT_HYPHEN) for at, letter in enumerate(text) if letter == SOFT_HYPHEN}
    if language and " " not in text:
        too_wide = sum(measure(part, span) for part, span in word) > width_mm
        for at in _hyphenation(text, language) if too_wide or len(text) >= LONG_WORD_LETTERS else ():
            if at not in cuts:
                cuts[at] = ("-", HYPHENATED)
    if not cuts:
        return [(tuple(word), "", 0.0)]
    parts = []
    start = 0
    for at in [*sorted(cuts), len(text)]:
        hyphen, penalty = cuts.get(at, ("", 0.0))
        parts.append((_slice(word, start, at), hyphen, penalty))
        start = at
    return parts


def _slice(word: list[tuple[str, int]], start: int, end: int) -> tuple[tuple[str, int], ...]:
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
