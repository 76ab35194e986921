"""Reading layouts: what a file may say, what a vehicle may change, and how mistakes are told."""

from __future__ import annotations

import time
from collections.abc import Callable
from pathlib import Path

import pytest
import yaml
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from guidegen.errors import DescriptionError
from guidegen.vehicle.layout import Area, Layout
from guidegen.vehicle.layout_reading import LayoutError, layout_file, layout_ids, read_layout

BASE = "coachbuilt-rear-lounge"


def faults(changes: object, id: str = BASE) -> LayoutError:
    with pytest.raises(LayoutError) as caught:
        read_layout(id, changes)  # type: ignore[arg-type]
    return caught.value


def test_a_layout_is_read_into_typed_records() -> None:
    layout = read_layout(BASE)
    assert isinstance(layout, Layout)
    assert (layout.length, layout.width, layout.body) == (7350, 2310, "coachbuilt")
    hob = layout.piece("hob")
    assert hob is not None
    assert hob.kind == "hob"
    assert hob.area == Area(4180, 1744, 520, 480)


def test_every_id_leads_to_its_file_and_stands_in_it() -> None:
    for id in layout_ids():
        assert read_layout(id).id == id == layout_file(id).stem


def test_the_offside_mirrors_the_nearside() -> None:
    layout = read_layout(BASE)
    there = {(x, y) for x, y, _ in layout.outline}
    assert there == {(x, layout.width - y) for x, y in there}


def test_an_unknown_layout_is_answered_with_the_nearest() -> None:
    with pytest.raises(LayoutError) as caught:
        read_layout("coachbuilt-rear-louge")
    assert BASE in caught.value.findings[0].hint


def test_changes_add_change_and_remove_pieces_by_id() -> None:
    layout = read_layout(
        BASE,
        {
            "furniture": {
                "remove": ["lounge-table"],
                "change": {"fridge": {"name": "tall fridge", "top_mm": 1750}},
                "add": {
                    "shoe-locker": {
                        "kind": "locker",
                        "name": "shoe locker",
                        "room": "kitchen",
                        "area": [4120, 1000, 150, 300],
                        "facing": "front",
                        "top_mm": 400,
                    }
                },
            },
            "hatches": {"remove": ["gas-locker"]},
            "height": 3150,
        },
    )
    fridge = layout.piece("fridge")
    assert fridge is not None
    assert (fridge.name, fridge.top_mm, fridge.kind) == ("tall fridge", 1750, "fridge")
    assert layout.piece("lounge-table") is None
    assert layout.piece("shoe-locker") is not None
    assert "gas-locker" not in {h.id for h in layout.hatches}
    assert layout.height == 3150


def test_a_layout_may_build_on_another() -> None:
    short, long = read_layout("caravan-end-washroom"), read_layout("caravan-twin-beds")
    assert long.length > short.length
    assert long.drawbar == short.drawbar
    assert {p.id for p in long.furniture} >= {"nearside-bed", "offside-bed", "toilet"}
    assert len(long.wheels) == 4


@pytest.mark.parametrize(
    ("changes", "message", "hint", "path"),
    [
        (
            {"furniture": {"change": {"hobb": {"top_mm": 900}}}},
            "no “hobb”",
            "“hob”",
            ("furniture", "change", "hobb"),
        ),
        ({"furniture": {"remove": ["friidge"]}}, "no “friidge”", "“fridge”", ("furniture", "remove")),
        ({"furnitur": {}}, "“furnitur” is no key", "“furniture”", ("furnitur",)),
        (
            {"furniture": {"change": {"hob": {"hight": 900}}}},
            "“hight” is no field",
            "",
            ("furniture", "change", "hob", "hight"),
        ),
        (
            {"doors": {"change": {"habitation-door": {"width": 8000}}}},
            "wider than its side",
            "",
            ("doors", "change", "habitation-door", "width"),
        ),
        (
            {"furniture": {"change": {"fridge": {"area": [7200, 1694, 560, 580]}}}},
            "outside the body",
            "7350 mm long",
            ("furniture", "change", "fridge", "area"),
        ),
        (
            {"furniture": {"change": {"fridge": {"room": "kichen"}}}},
            "“kichen”, which there is not",
            "“kitchen”",
            ("furniture", "change", "fridge", "room"),
        ),
        (
            {"furniture": {"change": {"fridge": {"kind": "frige"}}}},
            "not known",
            "“fridge”",
            ("furniture", "change", "fridge", "kind"),
        ),
        (
            {"partitions": {"change": {"washroom-side": {"opening": [900, 800]}}}},
            "longer than the partition",
            "",
            ("partitions", "change", "washroom-side", "opening"),
        ),
        ({"height": "3 m"}, "not a plain number", "", ("height",)),
        ({"doors": {"delete": ["habitation-door"]}}, "no change", "add, change, remove", ("doors", "delete")),
        ({"windows": {"add": [1, 2]}}, "keyed by their ids", "", ("windows", "add")),
    ],
)
def test_a_mistake_in_a_change_is_told_with_its_place(
    changes: dict[str, object], message: str, hint: str, path: tuple[str, ...]
) -> None:
    error = faults(changes)
    assert message in error.findings[0].message
    assert hint in error.findings[0].hint
    assert error.paths[0] == path


def test_several_mistakes_are_told_at_once() -> None:
    error = faults({"doors": {"remove": ["a", "b"]}, "windos": {}})
    assert len(error.findings) == 3


def test_a_mistake_in_a_layout_file_is_told_with_line_and_column(tmp_path: Path) -> None:
    text = layout_file(BASE).read_text("utf-8").replace("kind: hob,", "kind: hobb,")
    (tmp_path / "mine.yaml").write_text(text, "utf-8")
    with pytest.raises(LayoutError) as caught:
        read_layout("mine", folder=tmp_path)
    mark = caught.value.findings[0].mark
    line = text.splitlines()[mark.line - 1]
    assert mark.file.endswith("mine.yaml")
    assert line[mark.column - 1 :].startswith("kind: hobb")


@pytest.mark.parametrize("text", ["", "[]", "a: [", "builds_on: mine", "\x00", "unit: mm", "&a [*a]"])
def test_a_broken_layout_file_is_told_plainly(tmp_path: Path, text: str) -> None:
    (tmp_path / "mine.yaml").write_text(text, "utf-8")
    with pytest.raises(DescriptionError):
        read_layout("mine", folder=tmp_path)


PLAIN = st.recursive(
    st.none() | st.booleans() | st.integers(-(10**9), 10**9) | st.floats() | st.text(max_size=12),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=8), inner, max_size=4),
    max_leaves=12,
)
KEYS = st.sampled_from(
    ["furniture", "doors", "hatches", "wheels", "rooms", "half_outline", "profile", "width", "x"]
)
ACTS = st.dictionaries(
    st.sampled_from(["add", "change", "remove", "y"]),
    st.one_of(PLAIN, st.dictionaries(st.sampled_from(["hob", "habitation-door", "kitchen", "z"]), PLAIN)),
    max_size=3,
)


@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(st.dictionaries(KEYS, st.one_of(ACTS, PLAIN), min_size=1, max_size=3))
def test_no_change_whatever_ends_in_anything_but_a_layout_or_a_message(changes: dict[str, object]) -> None:
    try:
        assert isinstance(read_layout("van-short", changes), Layout)
    except LayoutError as error:
        assert error.findings
        assert all(f.message and f.severity == "error" for f in error.findings)
        assert len(error.paths) == len(error.findings)


def test_one_layout_is_read_fast() -> None:
    """Not much longer than libyaml alone takes for its file, the least of ten; machines differ and are shared."""
    text = layout_file("caravan-twin-beds").read_text("utf-8")
    reading, yaml_alone = 1.0, 1.0
    for _ in range(10):
        reading = min(reading, seconds_of(lambda: read_layout("caravan-twin-beds")))
        yaml_alone = min(yaml_alone, seconds_of(lambda: yaml.load(text, yaml.CSafeLoader)))
    assert reading < 6 * yaml_alone


def seconds_of(work: Callable[[], object]) -> float:
    start = time.process_time()
    work()
    return time.process_time() - start


def test_files_hold_plain_numbers_in_mm() -> None:
    for id in layout_ids():
        assert yaml.safe_load(layout_file(id).read_text("utf-8"))["unit"] == "mm"
