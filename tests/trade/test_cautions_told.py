"""A caution names only what the vehicle has; which words are fit for an owner is common practice, no source."""

from __future__ import annotations

import re
import sys
from itertools import combinations
from pathlib import Path

import pytest
import yaml

from guidegen import prepare
from guidegen.sequence import sequences_json
from guidegen.trade.load import load_trade
from guidegen.vehicle.description import Equipment, Fridge, Heating, Hob, Oven
from guidegen.vehicle.facts import facts_of

SAMPLES = sorted((Path(__file__).parents[2] / "sample_vehicles").glob("*.yaml"))
samples = pytest.mark.parametrize("path", SAMPLES, ids=lambda p: p.stem)
TOLD = [(id, told) for id, caution in load_trade().cautions.items() for told in caution.told + caution.before]
BURNERS = [("heating", "gas"), ("heating", "diesel"), ("water_heater", "gas"), ("water_heater", "diesel")]


def fitted(path: Path) -> dict[str, dict[str, object]]:
    equipment: dict[str, dict[str, object]] = yaml.safe_load(path.read_text(encoding="utf-8"))["equipment"]
    return equipment


@samples
def test_nobody_is_warned_of_a_cooker_that_is_not_there(path):
    text = prepare(path).trade.cautions["co"].text
    named = {word for word in ("hob", "grill", "oven") if word in text}
    burning = {word for word in ("hob", "grill", "oven") if "gas" in fitted(path).get(word, {})}
    assert named == burning
    assert "everyone outdoors" in text


@samples
def test_who_may_run_a_heater_that_burns_is_told_of_closed_spaces_in_the_danger_itself(path):
    """Exhaust gathers in a garage, whatever else the vehicle cooks with (common practice, no source)."""
    caution = prepare(path).trade.cautions["co"]
    burning = any(energy in fitted(path).get(heater, {}) for heater, energy in BURNERS)
    assert caution.signal == "danger"
    assert ("Never run a heater in a garage or other closed space." in caution.text) is burning


@pytest.mark.parametrize("cookers", [c for n in (1, 2, 3) for c in combinations(("hob", "grill", "oven"), n)])
def test_every_cooker_that_burns_is_named_and_no_other(cookers):
    blocks = {"hob": Hob(gas="3 kW"), "grill": Oven(gas="1 kW"), "oven": Oven(gas="1 kW")}
    facts = facts_of("campervan", Equipment(**{cooker: blocks[cooker] for cooker in cookers}))
    first = load_trade().of(facts).cautions["co"].text.split(".")[0]
    assert re.findall("hob|grill|oven", first) == list(cookers)


@samples
def test_frost_breaks_a_water_heater_only_where_there_is_one(path):
    text = prepare(path).trade.cautions["frost"].text
    assert ("water heater" in text) is ("water_heater" in fitted(path))


@samples
def test_one_flue_cover_is_one(path):
    context = prepare(path)
    cowls = context.vehicle.of_kind("water-heater-cowl", "heater-cowl")
    assert ("every flue cover" in context.trade.cautions["cowl"].text) is (len(cowls) > 1)


def test_other_programs_read_what_is_printed():
    context = prepare(next(path for path in SAMPLES if path.stem == "hazel"))
    steps = sequences_json(context.sequences, context.vehicle)["sequences"]["arrive"]
    said = " ".join(step["caution"] or "" for step in steps)
    assert "Never run a heater in a garage" in said and "hob" not in said


@pytest.mark.parametrize(("id", "told"), TOLD, ids=lambda one: one if isinstance(one, str) else "")
def test_texts_ask_for_facts_that_there_are_and_are_short(id, told):
    known = set((sys.modules[facts_of.__module__].__doc__ or "").split())
    kinds = {f"has.{kind}" for kind in load_trade().kinds}
    facts = {choice.removeprefix("!") for term in told.when for choice in term.split("|")}
    assert facts and facts <= known | kinds
    assert all(len(sentence.split()) <= 20 for sentence in re.split(r"(?<=[.!?]) ", told.text))


COOKER, FRIDGE = {"hob": Hob(gas="3 kW")}, {"fridge": Fridge(type="absorption", gas="14 g/h")}
HEATER = {"heating": Heating(type="diesel-air", diesel="2 kW")}


@pytest.mark.parametrize(
    ("burning", "first"),
    [
        (COOKER | HEATER | FRIDGE, "Never heat with the hob. Never run a heater in a garage"),
        (HEATER | FRIDGE, "Never run a heater in a garage or other closed space."),
        (FRIDGE, "Carbon monoxide kills."),
    ],
    ids=["hob", "heater", "fridge"],
)
def test_what_could_make_carbon_monoxide_is_named(burning, first):
    caution = load_trade().of(facts_of("campervan", Equipment(**burning))).cautions["co"]
    assert caution.text.startswith(f"{first} ")
