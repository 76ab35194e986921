"""Whole documents read again by Tesseract, in grey at 200 dpi: card and guide of every sample, word by word."""

from __future__ import annotations

from pathlib import Path

import pytest

from guidegen import prepare
from guidegen.documents.registry import compose
from guidegen.drawing.pdf import write_pdf

SAMPLES = Path(__file__).parents[2] / "sample_vehicles"
WORDS_READ, DIGITS_READ = 0.99, 0.95
OF_STICKERS = 0.98  # figures 15 mm high beside a name mislead the search for lines
DOCUMENTS = [
    *((sample.stem, document) for sample in sorted(SAMPLES.glob("*.yaml")) for document in ("card", "guide")),
    *(("rowan", document) for document in ("handover", "check-sheet", "survey", "stickers", "booklet")),
]


@pytest.mark.bench
@pytest.mark.parametrize(("name", "document"), DOCUMENTS)
def test_the_printed_words_are_read_again(name, document, printed_words, capsys):
    if not printed_words.can_read():
        pytest.skip("Tesseract is not installed")
    pdf = write_pdf(compose(document, prepare(SAMPLES / f"{name}.yaml")))
    words, digits = printed_words.compare(pdf)
    with capsys.disabled():
        print(f"\n{name} {document}: words {words}; digits {digits}")
    assert words.printed > 50
    assert words.share >= (OF_STICKERS if document == "stickers" else WORDS_READ), words.missed
    assert digits.share >= DIGITS_READ, digits.missed
