"""The numbers in the guide: the payload and how it was worked out stand together, unless that costs a page."""

from __future__ import annotations

from pathlib import Path

import pytest

from guidegen.documents.guide import book
from guidegen.documents.guide.book import numbers_chapter
from guidegen.documents.guide.look import A5_LOOK
from guidegen.documents.guide.pages import Kit
from guidegen.drawing.primitives import Sheet
from guidegen.vehicle.reading import read_vehicle

SAMPLES = Path(__file__).parents[3] / "sample_vehicles"


@pytest.mark.parametrize("sample", ["bramble", "sorrel"])
def test_in_a_booklet_the_payload_stands_with_its_workings(context_of, texts_of, sample):
    kit = Kit(context_of(read_vehicle(SAMPLES / f"{sample}.yaml")), A5_LOOK)
    pages = [
        {one.item.text for one in texts_of(Sheet(A5_LOOK.width, A5_LOOK.bottom, page))}
        for page in numbers_chapter(kit).pages
    ]
    (payload,) = (page for page in pages if "What you may still load" in page)
    assert "How it was worked out" in payload


def test_they_part_where_that_saves_a_page(context_of, monkeypatch):
    kit = Kit(context_of(read_vehicle(SAMPLES / "hazel.yaml")), A5_LOOK)
    parted = len(numbers_chapter(kit).pages)
    monkeypatch.setattr(book, "_FEWEST_NUMBERS", 99)
    assert parted < len(numbers_chapter(kit).pages)
