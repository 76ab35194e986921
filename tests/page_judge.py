"""Judges the pages of a PDF as a printer meets them, with pdfium; nothing is known of the program that made it.

Faults: a page that is no sheet of ISO 216; ink or words nearer to the edge than 4.5 mm, where office printers
cannot print (common practice, no source); text under 7 pt after all scaling; words over each other; contrast
under 7:1 on the ground about the word (WCAG 2.2, 1.4.6), in colour and in grey (Rec. 601); characters that were
not drawn; pages without ink.
"""

from __future__ import annotations

import ctypes
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np
import pypdfium2
import pypdfium2.raw as pdfium
from shapely import STRtree, box

MM = 72 / 25.4
ISO_216_MM = {(105, 148), (148, 210), (210, 297), (297, 420), (420, 594), (594, 841), (841, 1189)}
MARGIN_MM, SMALLEST_PT, CONTRAST, OVERLAP, INK = 4.5, 7.0, 7.0, 0.15, 0.001
SCALE = 1.5  # pixels to the point
SPECK = 2.5  # pixels: smaller than these, as a dot between factors, and parted among four of them
Box = tuple[float, float, float, float]


@dataclass(frozen=True)
class Word:
    """Letters that touch: the box of their ink in pt from the lower left, their size and colour."""

    text: str
    box: Box
    size: float
    colour: tuple[int, int, int]


def faults(pdf: bytes) -> list[str]:
    """What is wrong, each with its page from 1."""
    document = pypdfium2.PdfDocument(pdf)
    return [f"page {n}: {fault}" for n in range(1, len(document) + 1) for fault in _faults(document[n - 1])]


def _faults(page: Any) -> Iterator[str]:
    wide, high = page.get_size()
    if tuple(sorted((round(wide / MM), round(high / MM)))) not in ISO_216_MM:
        yield f"{wide / MM:.1f} × {high / MM:.1f} mm is no sheet of ISO 216"
    picture = np.asarray(page.render(scale=SCALE).to_pil().convert("RGB")).astype(float)
    yield from _ink(picture)
    words = list(words_of(page))
    edge = MARGIN_MM * MM
    for word in words:
        x0, y0, x1, y1 = word.box
        if min(x0, y0, wide - x1, high - y1) < edge - 0.1:
            yield f"“{word.text}” within {MARGIN_MM} mm of the edge"
        if word.size < SMALLEST_PT - 0.02:
            yield f"“{word.text}” in {word.size:.2f} pt"
        if "\ufffd" in word.text or "\ufffe" in word.text or "\0" in word.text:
            yield f"“{word.text}” has a character that nobody can read"
        yield from _contrast(word, picture, high)
    yield from _overlaps(words)


def _ink(picture: np.ndarray) -> Iterator[str]:
    ink = picture.min(axis=2) < 250
    if ink.mean() < INK:
        yield "no ink"
    edge = int(MARGIN_MM * MM * SCALE)
    for side, strip in (
        ("top", ink[:edge]),
        ("foot", ink[-edge:]),
        ("left", ink[:, :edge]),
        ("right", ink[:, -edge:]),
    ):
        if strip.any():
            yield f"ink within {MARGIN_MM} mm of the {side} edge"


def words_of(page: Any) -> Iterator[Word]:
    """Words of a page in the order in which they are drawn."""
    text = page.get_textpage()
    raw = text.raw
    run: list[tuple[str, Box]] = []
    look: tuple[float, tuple[int, int, int]] = (0.0, (0, 0, 0))
    for index in range(text.count_chars()):
        char = chr(pdfium.FPDFText_GetUnicode(raw, index))
        if char.isspace() or pdfium.FPDFText_IsGenerated(raw, index) == 1:
            if run:
                yield _word(run, look)
            run = []
            continue
        matrix = pdfium.FS_MATRIX()
        pdfium.FPDFText_GetMatrix(raw, index, matrix)
        scale = (matrix.a**2 + matrix.b**2) ** 0.5
        size = pdfium.FPDFText_GetFontSize(raw, index) * scale
        here = text.get_charbox(index)
        if run and (abs(size - look[0]) > 0.1 or not _near(run[-1][1], here, size)):
            yield _word(run, look)
            run = []
        look = (size, _colour(raw, index))
        run.append((char, here))
    if run:
        yield _word(run, look)


def _near(one: Box, other: Box, size: float) -> bool:
    gap_x = max(one[0], other[0]) - min(one[2], other[2])
    gap_y = max(one[1], other[1]) - min(one[3], other[3])
    return max(gap_x, gap_y) < 0.35 * size


def _word(run: list[tuple[str, Box]], look: tuple[float, tuple[int, int, int]]) -> Word:
    boxes = [b for _, b in run]
    whole = (
        min(b[0] for b in boxes),
        min(b[1] for b in boxes),
        max(b[2] for b in boxes),
        max(b[3] for b in boxes),
    )
    return Word("".join(c for c, _ in run), whole, *look)


def _colour(raw: Any, index: int) -> tuple[int, int, int]:
    r, g, b, a = (ctypes.c_uint() for _ in range(4))
    pdfium.FPDFText_GetFillColor(raw, index, r, g, b, a)
    return r.value, g.value, b.value


def _contrast(word: Word, picture: np.ndarray, high: float) -> Iterator[str]:
    x0, y0, x1, y1 = word.box
    top, foot = int((high - y1 - 1) * SCALE), int((high - y0 + 1) * SCALE) + 1
    part = picture[max(0, top) : foot, max(0, int((x0 - 1) * SCALE)) : int((x1 + 1) * SCALE) + 1].reshape(
        -1, 3
    )
    if not len(part):
        return
    colour = np.array(word.colour, float)
    far = np.abs(part - colour).max(axis=1)
    speck = max(x1 - x0, y1 - y0) * SCALE < SPECK
    # Thin strokes and specks are blended with the ground, but nothing of a hidden word would be at all.
    if far.min() > (170 if speck else 110):
        yield f"“{word.text}” is not to be seen"
    ground = _commonest(part[far > 60] if (far > 60).mean() > 0.2 else part)
    for kind, pair in (("", (colour, ground)), (" in grey", (_grey(colour), _grey(ground)))):
        ratio = _ratio(*pair)
        if ratio < CONTRAST - 0.05:
            yield f"“{word.text}” {ratio:.1f}:1{kind}"


def _commonest(pixels: np.ndarray) -> np.ndarray:
    coarse = (pixels // 8).astype(int) @ np.array([1024, 32, 1])
    values, counts = np.unique(coarse, return_counts=True)
    return np.median(pixels[coarse == values[counts.argmax()]], axis=0)


def _grey(colour: np.ndarray) -> np.ndarray:
    return np.full(3, colour @ np.array([0.299, 0.587, 0.114]))


def _ratio(one: np.ndarray, other: np.ndarray) -> float:
    low, high = sorted((_luminance(one), _luminance(other)))
    return (high + 0.05) / (low + 0.05)


def _luminance(colour: np.ndarray) -> float:
    v = colour / 255
    linear = np.where(v <= 0.04045, v / 12.92, ((v + 0.055) / 1.055) ** 2.4)
    return float(linear @ np.array([0.2126, 0.7152, 0.0722]))


def _overlaps(words: list[Word]) -> Iterator[str]:
    shapes = [box(*word.box) for word in words]
    if not shapes:
        return
    pairs = STRtree(shapes).query(shapes, predicate="intersects").T
    for i, j in pairs:
        if i >= j or not shapes[i].area or not shapes[j].area:
            continue
        same = words[i].text == words[j].text and shapes[i].symmetric_difference(shapes[j]).area < 0.1
        shared = shapes[i].intersection(shapes[j]).area / min(shapes[i].area, shapes[j].area)
        if shared > OVERLAP and not same:
            yield f"“{words[i].text}” and “{words[j].text}” overlap"
