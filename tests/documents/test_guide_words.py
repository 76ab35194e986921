"""What the guide says is true of the vehicle: its words against the equipment in the vehicle's file."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path
from typing import Any

import pypdfium2
import pytest
import yaml
from msgspec.structs import replace

from guidegen.documents import guide
from guidegen.documents.context import Context
from guidegen.documents.guide.walk_map import stop_tags
from guidegen.drawing.pdf import write_pdf
from guidegen.drawing.primitives import Destination, Group, Rect, Text
from guidegen.trade.load import load_trade
from guidegen.vehicle.reading import read_vehicle

SAMPLES = sorted((Path(__file__).parents[2] / "sample_vehicles").glob("*.yaml"))
samples = pytest.mark.parametrize("path", SAMPLES, ids=lambda p: p.stem)


@cache
def context_of(path: Path) -> Context:
    vehicle = read_vehicle(path)
    return Context(vehicle, load_trade().of(vehicle.facts))


@cache
def pages_of(path: Path) -> tuple[str, ...]:
    """The words of each page of the guide."""
    pdf = pypdfium2.PdfDocument(write_pdf(guide.compose(context_of(path))))
    texts = (page.get_textpage().get_text_range() for page in pdf)
    return tuple(" ".join(t.replace("\N{NO-BREAK SPACE}", " ").split()) for t in texts)


def whole(path: Path) -> str:
    return " ".join(pages_of(path))


def data_of(path: Path) -> dict[str, Any]:
    data: dict[str, Any] = yaml.safe_load(path.read_text(encoding="utf-8"))
    return data


@samples
def test_nothing_is_said_of_equipment_that_is_not_there(path):
    data, text = data_of(path), whole(path)
    fitted = data["equipment"]
    heater, heating = fitted.get("water_heater") or {}, fitted.get("heating") or {}
    absent = {
        "LPG": "gas" in fitted,
        "gas valve": "gas" in fitted,
        "Unclip": "gas" in heater or "gas" in heating,
        "cylinder": fitted.get("gas", {}).get("supply") == "cylinders",
        "in the tank under the floor": fitted.get("gas", {}).get("supply") == "underslung-tank",
        "makes warm air and hot water": heating.get("type") == "combined-air",
        "pipes and convectors": heating.get("type") == "wet",
        "hard jolt": bool(fitted.get("gas", {}).get("crash_protected")),
        "water heater": bool(heater),
        "engine on the road": data["kind"] != "caravan",
        "vehicle battery is for the engine": data["kind"] != "caravan",
        "tow car": data["kind"] == "caravan",
        "cassette": "toilet" in fitted,
        "awning": "awning" in fitted,
        "the polarity light": any(p["kind"] == "polarity-light" for p in data["points"]),
        "energy and warmth": len({"gas", "mains", "diesel"} & {*heater, *heating}) > 1,
    }
    for words, there in absent.items():
        assert there or words not in text, words


@samples
def test_volts_are_those_of_the_battery_on_board(path):
    """At rest 12.2 V is half the charge of a lead battery and next to none of a lithium iron phosphate one.

    The voltage of the latter says little: its display tells.
    """
    lithium = data_of(path)["equipment"]["leisure_battery"].get("type") == "lithium"
    text = whole(path)
    assert ("12.2 V" in text) is not lithium
    assert ("shows enough charge" in text) is lithium
    assert ("A flat battery freezes" in text) is not lithium


@samples
def test_the_light_of_the_awning_is_no_switch(path):
    assert ("Lights are switched here" in whole(path)) is ("lights-switch" in context_of(path).vehicle.facts)


@samples
def test_the_dealers_numbers_for_an_emergency_stand_where_help_sends_for_them(path):
    dealer = data_of(path)["dealer"]
    numbers = {**dealer.get("emergency", {}), dealer["name"]: dealer["phone"]}
    assert len(numbers) > 1, "every sample has some"
    document, pages = guide.compose(context_of(path)), pages_of(path)
    safety = next(
        n for n, sheet in enumerate(document.sheets) if "chapter-safety" in destinations(sheet.items)
    )
    for label, number in numbers.items():
        assert f"{label}: {number}" in pages[safety]
    assert f"Numbers to call: page {safety + 1}." in whole(path)


def destinations(items) -> set[str]:
    found = {item.name for item in items if isinstance(item, Destination)}
    return found.union(*(destinations(item.items) for item in items if isinstance(item, Group)))


def test_without_any_number_nobody_is_sent_for_one():
    context = context_of(SAMPLES[0])
    dealer = replace(context.vehicle.dealer, emergency={}, phone=None)
    bare = replace(context, vehicle=replace(context.vehicle, dealer=dealer))
    pdf = pypdfium2.PdfDocument(write_pdf(guide.compose(bare)))
    assert not any("Numbers to call" in page.get_textpage().get_text_range() for page in pdf)


# Other circumstances


def switches(context: Context) -> tuple[int, int] | None:
    """The numbers of a water heater's own switches: 230 V, gas."""
    found = [context.vehicle.of_kind(f"water-heater-{energy}-switch") for energy in ("mains", "gas")]
    return (found[0][0].number, found[1][0].number) if all(found) else None


TWO_SWITCHES = [p for p in SAMPLES if switches(context_of(p))]


@pytest.mark.parametrize("path", TWO_SWITCHES, ids=lambda p: p.stem)
def test_on_gas_the_water_heater_is_worked_at_its_gas_switch(path):
    mains, gas = switches(context_of(path))
    told = re.findall(r"(\d+) Start the water heater on gas", whole(path))
    assert told and set(told) == {str(gas)}
    assert re.search(rf"\b{mains} Start the water heater on 230 V", whole(path))


@pytest.mark.parametrize("path", TWO_SWITCHES, ids=lambda p: p.stem)
@pytest.mark.parametrize("sequence", ["leave", "lay-up"])
def test_both_switches_of_the_water_heater_go_off(path, sequence):
    """On hook-up it may run on either, or on both at once."""
    context = context_of(path)
    step = context.sequences.sequences[sequence].step("water-heater-off")
    assert {context.vehicle.point(id).number for id in step.points} == set(switches(context))


@samples
def test_marks_of_quotation_within_others_are_single_ones(path):
    assert not re.search(r"“[^”]*“", whole(path))


@samples
def test_no_stop_sends_anybody_up_on_the_roof(path):
    """A stop is where one stands; what is worked from inside has its place below the step."""
    for page in pages_of(path):
        assert not re.search(r"\b\d+ On the roof, [^.]*\b\d+ (?:If you want|Lower)", page)


# Maps


def test_the_numbers_of_stops_at_one_place_stand_apart():
    """1 and 9 must not read as 19: there is white between their squares."""
    tags = stop_tags((1, 9, 12), 8.5)
    squares = [(g.transform[4], inner) for g in tags.items for inner in g.items if isinstance(inner, Rect)]
    edges = [(x + square.x, x + square.x + square.width) for x, square in squares]
    assert [b[0] - a[1] for a, b in zip(edges, edges[1:], strict=False)] == pytest.approx([0.45, 0.45])
    assert edges[-1][1] == pytest.approx(tags.width)
    words = [inner.text for g in tags.items for inner in g.items if isinstance(inner, Text)]
    assert words == ["1", "9", "12"]
