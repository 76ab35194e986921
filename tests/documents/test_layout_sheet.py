"""The contact sheet of layouts: every one is there, drawn to one scale, inside the margins."""

from __future__ import annotations

from pathlib import Path

import pdfplumber
import pytest

from guidegen import cli
from guidegen.documents.layout_sheet import compose_layout_sheet
from guidegen.drawing.primitives import Document, Group, Item
from guidegen.drawing.primitives import Path as Curve
from guidegen.vehicle.layout_reading import layout_ids, read_layout

LAYOUTS = [read_layout(id) for id in layout_ids()]


@pytest.fixture(scope="module")
def sheet() -> Document:
    return compose_layout_sheet(LAYOUTS)


def bodies(items: tuple[Item, ...]) -> list[Curve]:
    found: list[Curve] = []
    for item in items:
        if isinstance(item, Group):
            found += bodies(item.items)
        elif isinstance(item, Curve) and item.css == "body":
            found.append(item)
    return found


def test_every_layout_is_drawn_to_one_scale(sheet: Document) -> None:
    drawn = [body for page in sheet.sheets for body in bodies(page.items)]
    assert len(drawn) == len(LAYOUTS)
    ratios = []
    for body, layout in zip(drawn, LAYOUTS, strict=True):
        xs = [v for command in body.commands for v in command[1::2]]
        ratios.append(layout.length / (max(xs) - min(xs)))  # type: ignore[type-var]
    assert ratios == pytest.approx([ratios[0]] * len(ratios), rel=0.01)


def test_the_printed_sheet_names_them_and_keeps_clear_of_the_edges(tmp_path: Path) -> None:
    file = tmp_path / "layouts.pdf"
    assert cli.run(["list", "layouts", "-o", str(file)]) == 0
    with pdfplumber.open(file) as document:
        words = [word for page in document.pages for word in page.extract_words()]
        width = float(document.pages[0].width)
    said = {word["text"] for word in words}
    assert {layout.id for layout in LAYOUTS} <= said
    edge = 5 / 25.4 * 72
    assert all(edge <= word["x0"] and word["x1"] <= width - edge for word in words)


def test_other_lists_cannot_be_drawn(tmp_path: Path) -> None:
    assert cli.run(["list", "kinds", "-o", str(tmp_path / "a.pdf")]) == 2
