"""The contact sheet shows every symbol twice, at its true sizes, beside its name."""

from __future__ import annotations

import io
from collections import Counter
from collections.abc import Iterator

import pdfplumber
import pytest

from guidegen.documents.contact_sheet import LARGE_MM, SMALL_MM, compose_contact_sheet
from guidegen.drawing.pdf import write_pdf
from guidegen.drawing.primitives import Document, Group, Item
from guidegen.drawing.symbols import GRID, symbol, symbol_names
from guidegen.trade.load import load_trade

TRADE = load_trade()


@pytest.fixture(scope="module")
def document() -> Document:
    return compose_contact_sheet(TRADE)


def symbols_in(items: tuple[Item, ...]) -> Iterator[Group]:
    for item in items:
        if isinstance(item, Group):
            yield from [item] if item.css == "symbol" else symbols_in(item.items)


def test_every_symbol_is_shown_at_five_and_at_twelve_millimetres(document: Document) -> None:
    groups = [group for sheet in document.sheets for group in symbols_in(sheet.items)]
    shown = Counter((group.items, round(group.transform[0] * GRID, 6)) for group in groups if group.transform)
    expected = {
        (symbol(name, 0, 0, 1).items, size) for name in symbol_names() for size in (SMALL_MM, LARGE_MM)
    }
    assert (SMALL_MM, LARGE_MM) == (5, 12)
    assert set(shown) == expected


def test_every_name_and_id_is_in_the_printed_text_within_the_margins(document: Document) -> None:
    text = ""
    with pdfplumber.open(io.BytesIO(write_pdf(document))) as pdf:
        for page in pdf.pages:
            assert (round(float(page.width)), round(float(page.height))) == (595, 842)  # A4 in points
            words = page.extract_words()
            five_mm = 5 / 25.4 * 72
            assert min(w["x0"] for w in words) >= five_mm and max(w["x1"] for w in words) <= 595 - five_mm
            text += " ".join(w["text"] for w in words) + " "
    for kind in TRADE.kinds.values():
        assert kind.id in text
        assert all(word in text for word in (kind.name[0].upper() + kind.name[1:]).split())
    assert all(system.name[1:] in text for system in TRADE.systems.values())


def test_same_bytes_every_time(document: Document) -> None:
    assert write_pdf(document) == write_pdf(compose_contact_sheet(TRADE))
