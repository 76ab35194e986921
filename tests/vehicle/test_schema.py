"""A description is read by msgspec where it is sound, by pydantic else: both must read it alike."""

from __future__ import annotations

import random
import subprocess
import sys
from pathlib import Path
from typing import Any

import msgspec
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pydantic import ValidationError

from guidegen.errors import DescriptionError
from guidegen.vehicle import schema, written
from guidegen.vehicle.description import Description, Part, PointEntry
from guidegen.vehicle.schema import schema_of
from guidegen.vehicle.source import parse_source, read_source

SAMPLES = sorted((Path(__file__).parents[2] / "sample_vehicles").glob("*.yaml"))
KINDS = [kind for kind in vars(written).values() if isinstance(kind, type(written.Written))]
READ = [kind for kind in KINDS if kind not in (written.Written, written.Text, written.Quantity)]


def quickly(part: type[Part], data: Any) -> Part | None:
    try:
        return msgspec.convert(data, part, dec_hook=written.read_written)
    except msgspec.ValidationError:
        return None


def in_full(part: type[Part], data: Any) -> Part | None:
    try:
        return schema.read(part, data)
    except ValidationError:
        return None


@pytest.mark.parametrize("sample", SAMPLES, ids=lambda p: p.stem)
def test_a_sample_is_read_alike(sample):
    data = read_source(sample).data
    quick, full = quickly(Description, data), in_full(Description, data)
    assert quick is not None
    assert repr(quick) == repr(full)  # types and all


@settings(deadline=None, max_examples=60)
@given(st.randoms(use_true_random=False))
def test_what_is_read_quickly_is_what_pydantic_reads(descriptions_by_chance, chance: random.Random):
    """Not the reverse: what only pydantic takes, such as “yes” for true, is left to it."""
    data = descriptions_by_chance.described(chance)
    quick = quickly(Description, data)
    assert quick is None or repr(quick) == repr(in_full(Description, data))


def test_many_are_read_quickly(descriptions_by_chance):
    """Else the test before would say little."""
    many = [descriptions_by_chance.described(random.Random(seed)) for seed in range(60)]
    quick = [quickly(Description, data) is not None for data in many]
    full = [in_full(Description, data) is not None for data in many]
    assert sum(full) > 15
    assert sum(quick) >= 0.9 * sum(full)


@settings(deadline=None)
@given(st.integers(0, 9999))
def test_broken_files_are_not_read_more_leniently(descriptions_by_chance, seed: int):
    try:
        data = parse_source(descriptions_by_chance.by_chance(2 * seed), "").data
    except DescriptionError:
        return
    quick = quickly(Description, data)
    assert quick is None or repr(quick) == repr(in_full(Description, data))


ANYTHING = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(-5, 2000),
    st.integers(),
    st.floats(),
    st.text(max_size=8),
    st.text(st.characters(categories=["Zs", "Cc", "Cs", "Ll", "Nd"]), max_size=8),
    st.from_regex(r"[-+]?[0-9]{1,7}([.,][0-9]{1,3})? ?(mm|m|kg|l|W|kW|h|A|Ah|g/h|mm²)\n?", fullmatch=True),
    st.from_regex(r"[a-z0-9]+(-[a-z0-9]+){0,2}\n?", fullmatch=True),
    st.from_regex(r"https?://[a-z.:@/0-9\[\]]{1,20}", fullmatch=True),
    st.from_regex(r"#[0-9a-fA-F]{6}|[A-Z][0-9]{1,2}", fullmatch=True),
    st.sampled_from(
        [
            "",
            "~",
            "no",
            "-1",
            "1e999",
            ".nan",
            "-5 m",
            "7,35 m",
            "99999 km",
            "low",
            "roof",
            "x" * 200,
            "x" * 201,
            " a ",
            "a\n b",
            "\x1ca",
            "\u00a0a",
        ]
    ),
    st.lists(st.from_regex(r"[a-z]+", fullmatch=True), max_size=3),
)


@pytest.mark.parametrize("kind", READ, ids=lambda kind: kind.__name__)
@settings(deadline=None)
@given(value=ANYTHING)
def test_a_written_value_is_read_alike(kind, value):
    held = msgspec.defstruct("Held", [("it", kind)], bases=(Part,), frozen=True)
    quick = quickly(held, {"it": value})
    assert quick is None or repr(quick) == repr(in_full(held, {"it": value}))


def test_a_sound_file_is_read_without_pydantic():
    """It takes longer to load than the rest of a card."""
    said = f"""
import sys
from guidegen import read_vehicle
assert read_vehicle({str(SAMPLES[0])!r}).points
print(*sys.modules)
"""
    done = subprocess.run([sys.executable, "-c", said], capture_output=True, text=True, check=True)
    assert "pydantic" not in done.stdout.split()
    assert "msgspec" in done.stdout.split()


def test_every_fault_is_told():
    data = {"id": "A B", "kind": "boat", "points": [{"kind": "pump", "number": 0}], "colour": "red"}
    with pytest.raises(ValidationError) as refused:
        Description.read(data)
    places = {".".join(map(str, fault["loc"])) for fault in refused.value.errors()}
    assert places == {"id", "name", "kind", "layout", "points.0.number", "colour"}


def test_a_twin_has_the_same_fields():
    for part in _all(Part):
        own = {f.encode_name: f.required for f in msgspec.structs.fields(part)}
        assert own == {f.alias or n: f.is_required() for n, f in schema_of(part).model_fields.items()}


def _all(part: type[Part]) -> list[type[Part]]:
    below = [p for p in part.__subclasses__() if p.__module__ == "guidegen.vehicle.description"]
    return [*below, *(p for b in below for p in _all(b))]


def test_a_heading_with_nothing_below_it_is_an_empty_list():
    data = {"id": "a", "name": "A", "kind": "caravan", "layout": "x", "points": None}
    assert Description.read(data).points == ()


def test_a_number_stands_for_its_words():
    """An owner whose stock number is a plain number need not quote it."""
    assert PointEntry.read({"kind": "pump-switch", "name": 12}).name == "12"


@pytest.mark.parametrize("name", ["", "   ", "\n\t"])
def test_a_name_of_blanks_is_none(name):
    with pytest.raises(ValueError, match="too_short"):
        Description.read({"guidegen": 1, "id": "t", "name": name, "kind": "campervan", "layout": "van-short"})
