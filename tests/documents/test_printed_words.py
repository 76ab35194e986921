"""What is printed is read again: by Tesseract, in grey at 200 dpi, as from a plain office printer."""

from __future__ import annotations

from pathlib import Path

import pytest

from guidegen.documents import guide
from guidegen.drawing.pdf import write_pdf
from guidegen.drawing.primitives import Document, Rect, Sheet, Style, Text
from guidegen.pipeline import prepare

SAMPLES = Path(__file__).parents[2] / "sample_vehicles"
WORDS_READ, DIGITS_READ = 0.99, 0.95


@pytest.fixture(autouse=True)
def _reader(printed_words):
    if not printed_words.can_read():
        pytest.skip("Tesseract is not installed")


def test_safety_and_plan_of_the_guide_are_read_in_grey(printed_words):
    larch = prepare(SAMPLES / "larch.yaml")
    words, digits = printed_words.compare(write_pdf(guide.compose(larch)), pages=(2, 4))
    assert words.printed > 100
    assert digits.printed > 150
    assert words.share >= WORDS_READ, words.missed
    assert digits.share >= DIGITS_READ, digits.missed


def test_the_judge_sees_what_cannot_be_read(printed_words):
    """Pale words, covered words and words through which a line runs are not read; turned ones are."""
    fine = [Text(20, 30 + 12 * n, "Close the drain before filling", 10) for n in range(3)]
    turned = Text(150, 120, "Turned on its side", 10, turn_deg=-90)
    pale = Text(20, 90, "Nobody sees this sentence", 10, colour="#f8f8f8")
    covered = Text(20, 110, "Hidden words", 10)
    cover = Rect(18, 105, 60, 8, Style(fill="#ffffff"))
    page = Sheet(210, 297, (*fine, turned, pale, covered, cover))
    words, _ = printed_words.compare(write_pdf(Document((page,))))
    assert {text for _, text in words.missed} == {"Nobody", "sees", "this", "sentence", "Hidden", "words"}
    assert words.printed == 15 + 4 + 4 + 2
