"""Data put into a file that exists: what is the same stays as it was written, to the byte."""

from __future__ import annotations

import copy
import random
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from msgspec.structs import replace

from guidegen import cli
from guidegen.desk.description_text import description_text
from guidegen.desk.keeping import Said, kept
from guidegen.desk.merging_points import Vehicles
from guidegen.errors import DescriptionError
from guidegen.trade.load import load_trade
from guidegen.vehicle.description import Description
from guidegen.vehicle.model import Vehicle
from guidegen.vehicle.reading import vehicle_from_source
from guidegen.vehicle.source import Source, parse_source

Data = dict[str, Any]
SAMPLES = sorted((Path(__file__).parents[2] / "sample_vehicles").glob("*.yaml"))
HERE = Path()


FEW = [sample for sample in SAMPLES if sample.stem in ("fern", "hazel", "sorrel")]


@pytest.mark.parametrize(
    ("sample", "table"),
    [*((s, "book.xlsx") for s in FEW), *((s, "points.csv") for s in SAMPLES)],
    ids=lambda value: getattr(value, "stem", value),
)
@pytest.mark.usefixtures("without_picture")
def test_read_back_unchanged_a_file_stays_the_same_to_the_byte(
    sample: Path, table: str, tmp_path: Path
) -> None:
    stays_the_same(sample, table, tmp_path)


@pytest.mark.bench
@pytest.mark.parametrize("sample", SAMPLES, ids=lambda s: s.stem)
def test_every_sample_stays_the_same_to_the_byte_by_way_of_a_workbook(sample: Path, tmp_path: Path) -> None:
    stays_the_same(sample, "book.xlsx", tmp_path)


def stays_the_same(sample: Path, table: str, tmp_path: Path) -> None:
    yard = shutil.copytree(sample.parent, tmp_path / "yard")
    vehicle = yard / sample.name
    assert cli.run(["sheet", str(vehicle), "-o", str(tmp_path / table)]) == 0
    assert cli.run(["read", str(tmp_path / table), "-o", str(vehicle)]) == 0
    assert vehicle.read_bytes() == sample.read_bytes()
    assert not vehicle.with_suffix(".yaml.old").exists()


HEAD = "guidegen: 1\nid: fir\nname: Fir\nkind: campervan\nlayout: van-short\n"
GAS = "equipment:\n  gas:  # behind the flap\n    cylinders:\n      - {size: 6 kg}  # spare\n"


def put_into(text: str, **new: Any) -> str | None:
    """The text with these top-level values in place of its own; None takes one away."""
    data = parse_source(text.encode(), "").data
    wanted = {key: value for key, value in {**data, **new}.items() if value is not None}
    vehicles = Vehicles(vehicle_of(data), vehicle_of(wanted), load_trade())
    found = kept(text.encode(), Said(wanted), vehicles)
    return None if found is None else found.decode()


def vehicle_of(data: Data) -> Vehicle:
    return vehicle_from_source(Source("x", data, {}, {}), HERE)


@pytest.mark.parametrize(
    ("text", "new", "wanted"),
    [
        (HEAD + "owner:  # of the vehicle\n", {"owner": "A. Owner"}, "owner: A. Owner  # of the vehicle\n"),
        (HEAD + "owner: B  # old\n", {"owner": "A: x # y"}, 'owner: "A: x # y"  # old\n'),
        (HEAD + "# one\nowner: B\n# two\n", {"owner": None}, "layout: van-short\n# one\n# two\n"),
        (HEAD + "masses: {seats: , berths: }  # people\n", {"masses": {"seats": 4}},
         "masses: {seats: 4, berths: }  # people\n"),
        (HEAD + "masses: {seats: 4, berths: 2}  # people\n", {"masses": {"berths": 2}},
         "masses: {berths: 2}  # people\n"),
        (HEAD + "masses:\n  seats: 4  # belts\n  # beds\n  berths: 2\n",
         {"masses": {"seats": 3, "berths": 2, "miro": "2 t"}},
         "masses:\n  seats: 3  # belts\n  # beds\n  berths: 2\n  miro: 2 t\n"),
        (HEAD + 'sizes: {length: "5,41 m"}\n', {"sizes": {"length": "5.41 m"}}, 'sizes: {length: "5,41 m"}\n'),
        (HEAD + GAS, {"equipment": {"gas": {"cylinders": [{"size": "6 kg"}, {"size": "11 kg"}]}}},
         "    cylinders:\n      - {size: 6 kg}  # spare\n      - {size: 11 kg}\n"),
        (HEAD + GAS, {"equipment": {"gas": {"cylinders": [{"size": "6 kg"}]}, "hob": {}}},
         "      - {size: 6 kg}  # spare\n  hob: {}\n"),
        (HEAD + "# checks:\n#   first: {by: , on: }\n", {"checks": {"first": {"by": "A", "on": "2026-03-14"}}},
         "layout: van-short\nchecks:\n  first:\n    by: A\n    on: 2026-03-14\n"),
        (HEAD.replace("\n", "\r\n"), {"owner": "A"}, "kind: campervan\r\nowner: A\r\n"),
        (HEAD.strip(), {"persons": 2}, "layout: van-short\npersons: 2\n"),
    ],
)  # fmt: skip
def test_only_what_is_new_is_written(text: str, new: Data, wanted: str) -> None:
    assert wanted in (put_into(text, **new) or "")


POINTS = """equipment: {hook_up: {inlet: 16 A}}
points:
  # 230 V electrics
  - kind: consumer-unit  # behind the seat
    in: dinette-seat
#  - {kind: charger, grid: , height: }  # because a battery charger is fitted
#  - {kind: hookup-inlet, grid: , on: , height: }  # because a hook-up is fitted
  # Safety
  - {kind: torch, grid: F3}  # charged
"""
UNIT, TORCH = {"kind": "consumer-unit", "in": "dinette-seat"}, {"kind": "torch", "grid": "F3"}


def test_a_point_that_was_found_takes_its_blank_line() -> None:
    inlet = {"kind": "hookup-inlet", "on": "offside", "from_front": "3 m"}
    changed = put_into(HEAD + POINTS, points=[inlet, TORCH, UNIT])
    line = POINTS.splitlines(keepends=True)[6]
    assert changed == HEAD + POINTS.replace(line, "  - {kind: hookup-inlet, on: offside, from_front: 3 m}\n")


def test_a_point_of_another_system_stands_with_its_like() -> None:
    alarm = {"kind": "smoke-alarm", "grid": "E3"}
    changed = put_into(HEAD + POINTS, points=[UNIT, alarm, TORCH])
    assert changed == HEAD + POINTS + "  - {kind: smoke-alarm, grid: E3}\n"
    tap = {"kind": "pump", "grid": "E3"}
    assert "# charged\n  # Fresh water\n  - {kind: pump, " in str(
        put_into(HEAD + POINTS, points=[UNIT, TORCH, tap])
    )


def test_a_point_that_is_gone_leaves_a_blank_line_where_it_is_needed() -> None:
    changed = str(put_into(HEAD + POINTS, points=[TORCH]))
    assert "#  - {kind: consumer-unit, grid: , height: }  # because a hook-up is fitted\n" in changed
    assert "  - kind: consumer-unit" not in changed
    assert "behind the seat" not in changed


def test_blank_lines_go_with_the_equipment_that_needed_them() -> None:
    changed = str(put_into(HEAD + POINTS, equipment={}))
    assert "hookup-inlet" not in changed
    assert "# behind the seat" in changed


def marked(text: str, to_check: set[Any], markable: set[Any], **new: Any) -> str:
    data = parse_source(text.encode(), "").data | new
    said = Said(data, to_check, markable)
    vehicles = Vehicles(vehicle_of(data), vehicle_of(data), load_trade())
    return (kept(text.encode(), said, vehicles) or b"").decode().removeprefix(HEAD)


def test_marks_come_and_go_with_the_cells_and_a_new_value_loses_its_mark() -> None:
    text = HEAD + "lead_length: 25 m  # to check\n"
    lead = ("lead_length",)
    assert marked(text, {lead}, {lead}) == "lead_length: 25 m  # to check\n"
    assert marked(text, set(), {lead}) == "lead_length: 25 m\n"
    assert marked(text, {lead}, {lead}, lead_length="20 m") == "lead_length: 20 m\n"
    assert marked(text, set(), set()) == "lead_length: 25 m  # to check\n"  # no cell could say so
    assert marked(HEAD + "lead_length: 25 m\n", {lead}, {lead}) == "lead_length: 25 m  # to check\n"


def test_a_file_of_another_form_is_left_to_be_written_anew() -> None:
    assert kept(b"- a list\n", Said({}), Vehicles(*[vehicle_of(parse_source(HEAD.encode(), "").data)] * 2, load_trade())) is None  # fmt: skip


# By chance


def with_remarks(text: str, rng: random.Random) -> tuple[str, list[str]]:
    """The text with remarks on lines of their own."""
    lines = text.splitlines()
    remarks = [f"# remark {n}" for n in range(8)]
    for remark in remarks:
        lines.insert(rng.randint(1, len(lines)), remark)
    newline = rng.choice(["\n", "\n", "\r\n"])
    return newline.join([*lines, ""]), remarks


def changed_by_chance(data: Data, other: Data, rng: random.Random) -> Data:
    new = copy.deepcopy(data)
    fixed = {"guidegen", "id", "kind", "layout", "layout_changes", "points", "equipment", "name"}
    for mine, theirs in ((new, other), (new["equipment"], other["equipment"])):
        for key in theirs.keys() - fixed:
            chance = rng.random()
            if chance < 0.3:
                mine[key] = theirs[key]
            elif chance < 0.4:
                mine.pop(key, None)
    points = [point for point in new["points"] if rng.random() < 0.9]
    if rng.random() < 0.3:
        rng.shuffle(points)
    for point in points:
        if rng.random() < 0.2:
            point |= {"height": "ceiling", "name": "New: name, #1"}
        if rng.random() < 0.1:
            point.pop("note", None)
    kinds = sorted(load_trade().kinds)
    points += [{"kind": rng.choice(kinds), "grid": "D3"} for _ in range(rng.randint(0, 4))]
    return {**new, "points": points}


def try_by_chance(seed: int, description_by_chance: Callable[[int], Data]) -> None:
    rng, trade = random.Random(seed), load_trade()
    data = description_by_chance(seed)
    before = vehicle_of(data)
    text, remarks = with_remarks(description_text(data, before, trade), rng)
    assert kept(text.encode(), Said(data), Vehicles(before, before, trade)) == text.encode()
    new = changed_by_chance(data, description_by_chance(seed + 10_000), rng)
    try:
        after = vehicle_of(new)
    except DescriptionError:  # such as an own step at a point that is gone
        return
    found = kept(text.encode(), Said(new), Vehicles(before, after, trade))
    assert found is not None
    read = Description.read(parse_source(found, "").data)
    wanted = Description.read(new)
    assert sorted(map(repr, read.points)) == sorted(map(repr, wanted.points))
    assert replace(read, points=()) == replace(wanted, points=())
    assert sum(remark in found.decode() for remark in remarks) >= 5  # of blocks that went, theirs went too
    assert (b"\r\n" in found) == ("\r\n" in text)


@pytest.mark.parametrize("seed", range(8))
def test_any_change_is_made_and_remarks_stay(seed: int, description_by_chance: Callable[[int], Data]) -> None:
    try_by_chance(seed, description_by_chance)


@pytest.mark.bench
@pytest.mark.parametrize("seed", range(1000, 1200))
def test_many_changes_are_made_and_remarks_stay(
    seed: int, description_by_chance: Callable[[int], Data]
) -> None:
    try_by_chance(seed, description_by_chance)
