"""The sample vehicles: complete, believable, invented, and between them everything a file can say."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from guidegen.checks import check
from guidegen.trade.load import load_trade
from guidegen.vehicle.layout_reading import layout_ids
from guidegen.vehicle.model import Vehicle
from guidegen.vehicle.places import opening_area
from guidegen.vehicle.reading import read_vehicle, vehicle_from_text
from guidegen.vehicle.source import read_source

FOLDER = Path(__file__).parents[2] / "sample_vehicles"
FILES = sorted(FOLDER.glob("*.yaml"))
VEHICLES = {file.stem: read_vehicle(file) for file in FILES}
POINTS = {
    "alder": (65, 80),
    "bramble": (50, 75),
    "fern": (45, 60),
    "hazel": (20, 30),
    "juniper": (65, 85),
    "larch": (85, 100),
    "rowan": (55, 75),
    "sorrel": (40, 55),
    "willow": (45, 60),
}
# Warnings that a sample shows on purpose, by rule; the file says so in a comment.
MEANT = {"sorrel": ["to-locate"]}


@pytest.fixture(params=sorted(VEHICLES))
def name(request: pytest.FixtureRequest) -> str:
    return request.param


@pytest.fixture
def vehicle(name: str) -> Vehicle:
    return VEHICLES[name]


def values(data: Any) -> Iterator[str]:
    """Every text in the data of a file, keys too."""
    if isinstance(data, dict):
        for key, value in data.items():
            yield str(key)
            yield from values(value)
    elif isinstance(data, list):
        for item in data:
            yield from values(item)
    elif data is not None:
        yield str(data)


def test_file_is_named_after_the_vehicle(name: str, vehicle: Vehicle) -> None:
    assert vehicle.id == name


def test_number_of_points(name: str, vehicle: Vehicle) -> None:
    low, high = POINTS[name]
    assert low <= len(vehicle.points) <= high


def test_checks_find_nothing_but_what_is_meant(name: str, vehicle: Vehicle) -> None:
    findings = check(vehicle, load_trade())
    assert [f.rule for f in findings] == MEANT.get(name, []), [f.message for f in findings]
    assert not [f for f in findings if f.severity == "error"]


def test_nothing_is_left_to_locate_but_where_the_file_says_so(name: str, vehicle: Vehicle) -> None:
    missing = [m.kind for m in vehicle.to_locate]
    assert missing == (["water-filter"] if name == "sorrel" else [])
    assert ("to be located" in (FOLDER / f"{name}.yaml").read_text()) == bool(missing)


def test_ids_and_pinned_numbers_are_unique(vehicle: Vehicle) -> None:
    ids = [p.id for p in vehicle.points]
    pinned = [p.number for p in vehicle.points if p.pinned]
    assert len(ids) == len(set(ids))
    assert len(pinned) == len(set(pinned))


def test_points_can_be_told_apart_by_name_or_place(vehicle: Vehicle) -> None:
    said = [(p.name, p.place) for p in vehicle.points]
    assert len(said) == len(set(said))


def test_names_read_well(vehicle: Vehicle) -> None:
    for point in vehicle.points:
        assert not point.name[0].islower() and not point.name.endswith("."), point.name
        assert len(point.name) <= 40, point.name
        assert not point.note or (point.note[0].isupper() and point.note.endswith(".")), point.note


def test_nothing_inside_lies_in_an_outside_locker(vehicle: Vehicle) -> None:
    """A locker is a box of its own: what stands in the room behind it cannot stand in it as well."""
    caught = [
        (point.id, hatch.id)
        for hatch in vehicle.layout.hatches
        if "flap" not in hatch.id and "cassette" not in hatch.id
        for point in vehicle.points
        if point.inside
        and opening_area(vehicle.layout, hatch).contains(point.x, point.y)
        and hatch.bottom_mm <= point.z <= hatch.top_mm
    ]
    assert caught == []


def test_nothing_real_is_named(name: str) -> None:
    source = read_source(FOLDER / f"{name}.yaml")
    texts = list(values(source.data))
    for address in (text for text in texts if "://" in text or "www." in text):
        assert re.match(r"https://example\.org(/|$)", address), address
    dealer = source.data["dealer"]
    for number in (dealer["phone"], *dealer["emergency"].values()):
        assert number.startswith("000"), number
    assert not [text for text in texts if "@" in text]
    assert any(word in source.data.get("owner", "Example") for word in ("Exam", "Sample", "Eksemp", "Exemp"))
    assert "invented" in (FOLDER / f"{name}.yaml").read_text().split("guidegen: 1")[0]


def test_every_layout_has_a_sample() -> None:
    assert {v.layout.id for v in VEHICLES.values()} == set(layout_ids())


def test_samples_differ_in_what_matters() -> None:
    facts = set().union(*(v.facts for v in VEHICLES.values()))
    assert {v.kind for v in VEHICLES.values()} == {"motorhome", "campervan", "caravan"}
    assert {v.steering for v in VEHICLES.values()} == {"left", "right", "none"}
    assert {v.nearside for v in VEHICLES.values() if v.kind == "caravan"} == {"left", "right"}
    assert facts >= {
        *("gas.tank", "gas.cylinders", "gas.butane", "gas.crash-protected", "gas.changeover-manual"),
        *("water-heater.storage", "water-heater.combined"),
        *("heating.convector", "heating.air", "heating.wet", "heating.diesel", "heating.approved-on-road"),
        *("fridge.absorption", "fridge.compressor", "fridge.automatic", "fridge.manual"),
        *("fresh-water.tank", "fresh-water.container", "waste-water.tank", "waste-water.container"),
        *("toilet.own-tank", "toilet.fresh-flush", "toilet.fan", "hob.gas", "hob.mains"),
        *("battery.lithium", "solar", "inverter", "air-conditioner", "steadies", "drop-down-bed"),
    }
    assert any("gas" not in v.facts for v in VEHICLES.values())


def test_all_four_ways_of_saying_a_place_are_used() -> None:
    entries = [entry for file in FILES for entry in read_source(file).data["points"]]
    for way in ("in", "on", "grid", "x"):
        assert sum(way in entry for entry in entries) >= 5, way
    assert any("left" in entry.get("spot", "") for entry in entries)


def test_names_go_beyond_english_letters() -> None:
    texts = " ".join(text for file in FILES for text in values(read_source(file).data))
    polish, czech, nordic = "ąęłóŚŻŁ", "ěříý", "åÅäöøØ"
    assert set(polish + czech + nordic) <= set(texts)


def test_dealers_own_steps_name_steps_and_points_that_exist() -> None:
    vehicle = VEHICLES["sorrel"]
    assert {step.sequence for step in vehicle.extra_steps} == {"arrive", "leave", "lay-up"}
    assert any(step.at for step in vehicle.extra_steps)
    # As in ASD-STE100, rule 5.1: at most 20 words in a sentence of a procedure.
    for step in vehicle.extra_steps:
        assert all(len(sentence.split()) <= 20 for sentence in step.text.split(". "))


def test_pictures_are_small_and_used() -> None:
    pictures = {*FOLDER.glob("photos/*.jpg"), *FOLDER.glob("photos/*.png"), *FOLDER.glob("logos/*.svg")}
    used = {p.photo for v in VEHICLES.values() for p in v.points if p.photo}
    used |= {v.photo for v in VEHICLES.values() if v.photo}
    used |= {FOLDER / v.dealer.logo for v in VEHICLES.values() if v.dealer and v.dealer.logo}
    assert used == pictures
    assert all(picture.stat().st_size < 60_000 for picture in pictures)


def test_readme_tells_of_every_sample() -> None:
    told = set(re.findall(r"^\| `([a-z]+)\.yaml`", (FOLDER / "README.md").read_text(), re.MULTILINE))
    assert told == set(VEHICLES)


@pytest.mark.parametrize("name", ["alder", "larch", "juniper", "willow"])
def test_the_steering_side_changes_the_drawing_and_no_place(name: str) -> None:
    text = (FOLDER / f"{name}.yaml").read_text()
    assert "steering: right" in text
    other = vehicle_from_text(text.replace("steering: right", "steering: left"), FOLDER)
    assert (VEHICLES[name].nearside, other.nearside) == ("left", "right")
    for a, b in zip(VEHICLES[name].points, other.points, strict=True):
        assert (a.x, a.y, a.z, a.where, a.place) == (b.x, b.y, b.z, b.where, b.place)


def test_no_socket_of_230_v_is_placed_over_a_sink(vehicle: Vehicle) -> None:
    """Water and 230 V keep apart (common practice, no source)."""
    wet = [f.area for f in vehicle.layout.furniture if f.kind in ("sink", "washbasin", "shower")]
    sockets = vehicle.of_kind("socket-230v")
    assert [p.id for p in sockets if any(area.contains(p.x, p.y) for area in wet)] == []


def test_a_valve_of_a_combined_heater_is_named_for_both_that_it_heats(vehicle: Vehicle) -> None:
    """Who shuts the valve of “the water heater” would wonder that the rooms grow cold."""
    valves = [p.name for p in vehicle.of_kind("isolation-valve") if "water-heater" in p.serves]
    combined = "water-heater.combined" in vehicle.facts
    assert all(name.endswith(", combined heater" if combined else ", water heater") for name in valves)
