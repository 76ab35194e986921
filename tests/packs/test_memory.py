"""A document that was made is freed at once: what holds itself stays until Python looks for rubbish.

Workers look seldom (`guidegen.packs.workers`), so the drawings of a hundred vehicles would pile up.
"""

from __future__ import annotations

import gc
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

import pytest

from guidegen.documents.guide.plans import FloorPlan
from guidegen.documents.guide.system_parts import Part
from guidegen.documents.registry import DOCUMENTS
from guidegen.drawing.pdf import _Writer
from guidegen.drawing.pdf_pictures import _JpegReader
from guidegen.drawing.primitives import Destination, Link, Sheet
from guidegen.packs.making import make
from guidegen.paper.flow import Placed
from guidegen.pipeline import prepare

SAMPLES = Path(__file__).parents[2] / "sample_vehicles"
LARGE = (Destination, FloorPlan, Link, Part, Placed, Sheet, _JpegReader, _Writer)


@pytest.fixture
def never_searched() -> Iterator[None]:
    gc.collect()
    gc.disable()
    yield
    gc.enable()


def held() -> Counter[str]:
    return Counter(type(thing).__name__ for thing in gc.get_objects() if isinstance(thing, LARGE))


@pytest.mark.usefixtures("never_searched")
@pytest.mark.parametrize("name", sorted(DOCUMENTS))
def test_nothing_large_of_a_document_stays_in_memory(name: str) -> None:
    context = prepare(SAMPLES / "alder.yaml")
    make(name, context)  # what is kept for the next of its kind
    before = held()
    made = make(name, context)
    assert made.files
    assert held() == before
