"""What a machine reads of a printed page: Tesseract on the page in grey at 200 dpi, against the PDF's own text.

Words of two letters and more are looked for where they stand, whichever way they run: the page is turned until
they are upright. A word counts as read when one of two passes (Tesseract's automatic layout, and its search for
sparse text) finds it there, capitals and marks at its ends apart.

Figures are compared apart, because rings about numbers, boxes and lines are no text: each number is cut out of
the same picture by its box in the PDF, a dozen are laid side by side, and the digits read are aligned with those
printed. The face's zero is slashed, so that people do not take it for an O; Tesseract's model takes it for a 9
or an 8 more often than not, so zeros are left out. Tick boxes, ticks and symbols are drawn and not text, so
there is nothing to compare.
"""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import tempfile
import unicodedata
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from difflib import SequenceMatcher
from pathlib import Path
from typing import Any

import pdfplumber
import pypdfium2
from PIL import Image, ImageOps

DPI = 200
MODES = ("3", "11")
_SCALE = DPI / 72
_DASHES = str.maketrans({"’": "'", "‘": "'", "“": '"', "”": '"', "—": "-", "–": "-", "−": "-", "‐": "-"})
_ABREAST, _TALLEST = 12, 40
Box = tuple[float, float, float, float]


@dataclass
class Count:
    """How many there are, how many of them were read, and which were not."""

    printed: int = 0
    read: int = 0
    missed: list[tuple[int, str]] = field(default_factory=list)

    @property
    def share(self) -> float:
        return self.read / self.printed if self.printed else 1.0

    def __str__(self) -> str:
        return f"{self.read} of {self.printed}, {100 * self.share:.2f} %"


@dataclass(frozen=True)
class Word:
    """Its box in pt from the top left corner of the page as it must be turned to be read."""

    text: str
    box: Box
    turn: int  # degrees clockwise
    size: float


def can_read() -> bool:
    """Whether Tesseract is installed."""
    return shutil.which("tesseract") is not None


def compare(pdf: bytes, pages: Sequence[int] = ()) -> tuple[Count, Count]:
    """Words, and digits but zeros, of a document or of some of its pages (from 1)."""
    words, digits = Count(), Count()
    shown = pypdfium2.PdfDocument(pdf)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "document.pdf"
        path.write_bytes(pdf)
        with pdfplumber.open(path) as document:
            for number in pages or range(1, len(document.pages) + 1):
                page = document.pages[number - 1]
                grey = shown[number - 1].render(scale=_SCALE, grayscale=True).to_pil().convert("L")
                printed = list(words_of(page))
                _compare_words(number, printed, grey, words)
                _compare_digits(number, printed, grey, digits)
    return words, digits


def words_of(page: Any) -> Iterator[Word]:
    """The words of a page in the order in which they are drawn; a gap or a turn ends a word."""
    run: list[Any] = []
    for char in [*page.chars, None]:
        if run and (char is None or not char["text"].strip() or not _goes_on(run[-1], char)):
            yield _word(page, run)
            run = []
        if char is not None and char["text"].strip():
            run.append(char)


def _turn(char: Any) -> int:
    a, b = char["matrix"][:2]
    if abs(a) >= abs(b):
        return 0 if a > 0 else 180
    return 90 if b > 0 else 270


def _em(char: Any) -> float:
    """The size of the text as it is printed."""
    return char["height"] if _turn(char) in (0, 180) else char["width"]


def _goes_on(last: Any, char: Any) -> bool:
    if _turn(last) != _turn(char) or abs(_em(last) - _em(char)) > 0.01:
        return False
    a, b = last["matrix"][:2]
    scale = (a * a + b * b) ** 0.5
    dx, dy = (char["matrix"][n] - last["matrix"][n] for n in (4, 5))
    along, across = (dx * a + dy * b) / scale, abs(dy * a - dx * b) / scale
    return across < 0.1 * _em(last) and 0 < along < last["adv"] * scale + 0.2 * _em(last)


def _word(page: Any, run: Sequence[Any]) -> Word:
    x0, y0 = min(c["x0"] for c in run), min(c["top"] for c in run)
    x1, y1 = max(c["x1"] for c in run), max(c["bottom"] for c in run)
    turn = _turn(run[0])
    box = {
        0: (x0, y0, x1, y1),
        90: (page.height - y1, x0, page.height - y0, x1),
        180: (page.width - x1, page.height - y1, page.width - x0, page.height - y0),
        270: (y0, page.width - x1, y1, page.width - x0),
    }[turn]
    return Word("".join(c["text"] for c in run), box, turn, _em(run[0]))


def plain(text: str) -> str:
    """Letters and figures as they are compared."""
    text = unicodedata.normalize("NFKC", text).translate(_DASHES)
    return re.sub(r"^\W+|\W+$", "", text).casefold()


def _turned(grey: Image.Image, turn: int) -> Image.Image:
    return grey.rotate(-turn, expand=True)


def _compare_words(number: int, printed: Sequence[Word], grey: Image.Image, count: Count) -> None:
    asked = [w for w in printed if re.search(r"[^\W\d_]{2}", plain(w.text)) and plain(w.text).isascii()]
    for turn in sorted({w.turn for w in asked}):
        picture = _turned(grey, turn)
        passes = [_read(picture, "--psm", mode, "tsv") for mode in MODES]
        found = [list(_boxes(tsv)) for tsv in passes]
        for word in (w for w in asked if w.turn == turn):
            count.printed += 1
            if any(_is_read(word, boxes) for boxes in found):
                count.read += 1
            else:
                count.missed.append((number, word.text))


def _is_read(word: Word, found: Sequence[tuple[str, Box]]) -> bool:
    x0, y0, x1, y1 = word.box
    there = [text for text, b in found if b[0] < x1 + 2 and b[2] > x0 - 2 and b[1] < y1 + 1 and b[3] > y0 - 1]
    wanted = plain(word.text)
    return wanted in there or wanted in "".join(there)  # the second: a word that was read in two pieces


def _boxes(tsv: str) -> Iterator[tuple[str, Box]]:
    for line in tsv.splitlines()[1:]:
        cells = line.split("\t")
        if len(cells) > 11 and (text := plain(cells[11])):
            x, y, w, h = (float(v) / _SCALE for v in cells[6:10])
            yield text, (x, y, x + w, y + h)


def _read(picture: Image.Image, *arguments: str) -> str:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "page.png"
        picture.save(path)
        command = ["tesseract", str(path), "-", "--dpi", str(DPI), "-l", "eng", *arguments]
        one_thread = {**os.environ, "OMP_THREAD_LIMIT": "1"}
        done = subprocess.run(command, capture_output=True, text=True, check=True, env=one_thread)
    return done.stdout


def _compare_digits(number: int, printed: Sequence[Word], grey: Image.Image, count: Count) -> None:
    figures = [w for w in printed if w.text.isdecimal() and w.text.isascii()]
    for start in range(0, len(figures), _ABREAST):
        some = figures[start : start + _ABREAST]
        wanted = "".join(w.text for w in some).replace("0", "")
        text = _read(
            _abreast([_cut(w, grey) for w in some]), "--psm", "7", "-c", "tessedit_char_whitelist=0123456789"
        )
        got = "".join(text.split())
        read = sum(block.size for block in SequenceMatcher(None, wanted, got, False).get_matching_blocks())
        count.printed += len(wanted)
        count.read += read
        if read < len(wanted):
            count.missed.append((number, f"{' '.join(w.text for w in some)} read as {got}"))


def _cut(word: Word, grey: Image.Image) -> Image.Image:
    """The picture of a number from just above its figures to just below them, without the ring about it."""
    x0, y0, x1, y1 = word.box
    box = (x0, y0 - 0.04 * word.size, x1, y1 - 0.24 * word.size)
    left, top, right, bottom = (round(v * _SCALE) for v in box)
    tile = _turned(grey, word.turn).crop((left, top, right, bottom))
    dark = sum(tile.histogram()[:128]) / (tile.width * tile.height)
    return ImageOps.autocontrast(ImageOps.invert(tile)) if dark > 0.55 else tile  # the stops of a walk


def _abreast(tiles: Sequence[Image.Image]) -> Image.Image:
    gap = 24
    for tile in tiles:
        tile.thumbnail((tile.width, _TALLEST))  # large figures in a line with small ones are not read
    sheet = Image.new("L", (sum(t.width + gap for t in tiles) + gap, max(t.height for t in tiles) + gap), 255)
    x = gap
    for tile in tiles:
        sheet.paste(tile, (x, gap // 2))
        x += tile.width + gap
    return sheet
