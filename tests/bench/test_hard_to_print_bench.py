"""All documents of vehicles at the edge of what paper holds: no fault on any page."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import pytest
from msgspec.structs import replace

from guidegen.documents.context import Context, Options
from guidegen.documents.registry import compose
from guidegen.drawing.pdf import write_pdf
from guidegen.trade.load import load_trade
from guidegen.vehicle.reading import read_vehicle

SAMPLES = Path(__file__).parents[2] / "sample_vehicles"
FORMS = ("guide", "booklet", "card", "handover", "survey", "check-sheet", "stickers")
EDGES = ("wordy", "foreign", "left", "photos", "bare", "few", "many", "large", "wordy-large")


@pytest.fixture(scope="module")
def larch():
    vehicle = read_vehicle(SAMPLES / "larch.yaml")
    return replace(vehicle, points=tuple(replace(p, number=n) for n, p in enumerate(vehicle.points, 1)))


@pytest.mark.bench
@pytest.mark.parametrize("edge", EDGES)
def test_every_document_is_without_fault(
    edge, larch, edge_vehicles, vehicles_by_chance, page_judge, tmp_path, capsys
):
    chance = vehicles_by_chance.random_vehicle
    vehicle = {
        "wordy": lambda: edge_vehicles.wordy(larch),
        "foreign": lambda: edge_vehicles.foreign(larch),
        "left": lambda: edge_vehicles.left_hand_drive(larch),
        "photos": lambda: edge_vehicles.photographed(larch, tmp_path, photos=40),
        "bare": lambda: edge_vehicles.bare(larch),
        "few": lambda: edge_vehicles.numbered(chance(4, points=5), larch.figures),
        "many": lambda: edge_vehicles.numbered(chance(11, points=95), larch.figures),
        "large": lambda: larch,
        "wordy-large": lambda: edge_vehicles.wordy(larch),
    }[edge]()
    context = Context(vehicle, load_trade(), (), Options(large_print=edge.endswith("large")))
    pages, faults = Counter(), {}
    for form in FORMS:
        document = compose(form, context)
        pages[form] = len(document.sheets)
        faults[form] = page_judge.faults(write_pdf(document))
    with capsys.disabled():
        print(f"\n{edge}: {sum(pages.values())} pages, {sum(map(len, faults.values()))} faults")
    assert not any(faults.values()), faults
