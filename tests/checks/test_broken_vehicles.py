"""Sample vehicles with one defect each: the finding expected, and nothing else new."""

from __future__ import annotations

import copy
from functools import cache
from pathlib import Path
from typing import Any

import pytest
import yaml

from guidegen.checks import check
from guidegen.errors import DescriptionError, Finding
from guidegen.trade.load import load_trade
from guidegen.vehicle.reading import vehicle_from_text
from guidegen.vehicle.source import read_source

ROOT = Path(__file__).parents[2]
SAMPLES = ROOT / "sample_vehicles"
Data = dict[str, Any]
BROKEN: list[Data] = list(read_source(ROOT / "tests" / "data" / "broken_vehicles.yaml").data["vehicles"])
PLACE = ("in", "spot", "on", "from_front", "from_nearside", "x", "y", "height", "grid")


@cache
def sample(name: str) -> Data:
    data: Data = read_source(SAMPLES / f"{name}.yaml").data
    return data


class Plain(yaml.SafeDumper):
    """Writes every value in full: a description has no anchors."""

    def ignore_aliases(self, data: object) -> bool:
        return True


def findings_of(data: Data) -> tuple[Finding, ...]:
    text = yaml.dump(data, Dumper=Plain, allow_unicode=True, sort_keys=False)
    try:
        return check(vehicle_from_text(text, SAMPLES, "broken.yaml"), load_trade())
    except DescriptionError as error:
        return error.findings


def broken(case: Data) -> Data:
    """The sample with the defect of the case."""
    data = copy.deepcopy(sample(case["sample"]))
    for path, value in case.get("put", {}).items():
        parent, key = parent_of(data, path)
        parent[key] = value
    for path in case.get("drop", ()):
        parent, key = parent_of(data, path)
        del parent[key]
    for wanted in case.get("without", ()):
        wanted = {"kind": wanted} if isinstance(wanted, str) else wanted
        gone = [p for p in data["points"] if wanted.items() <= p.items()]
        assert gone, wanted
        data["points"] = [p for p in data["points"] if p not in gone]
    for kind, keys in case.get("changed", {}).items():
        first(data, kind).update(keys)
    for kind, place in case.get("moved", {}).items():
        point = first(data, kind)
        for key in PLACE:
            point.pop(key, None)
        point.update(place)
    data["points"] += case.get("added", [])
    return data


def parent_of(data: Data, path: str) -> tuple[Data, str]:
    *parents, last = path.split(".")
    for key in parents:
        data = data[key]
    return data, last


def first(data: Data, kind: str) -> Data:
    point: Data = next(p for p in data["points"] if p["kind"] == kind)
    return point


@pytest.mark.parametrize("name", ["alder", "larch"])
def test_the_unbroken_samples_are_clean(name):
    assert findings_of(sample(name)) == ()


@pytest.mark.parametrize("case", BROKEN, ids=[f"{c['sample']}: {c['defect']}" for c in BROKEN])
def test_one_defect_gives_its_finding_and_no_other(case):
    found = findings_of(broken(case))
    assert {f.rule for f in found} == {case["rule"]}, [f"{f.rule}: {f.message}" for f in found]
    assert all(f.hint and f.mark.line for f in found)


def test_the_matrix_is_broad():
    assert len(BROKEN) >= 60
    assert len({case["rule"] for case in BROKEN}) >= 35
