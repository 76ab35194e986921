"""Conditions as the trade data write them, and the facts that a variant of a sequence adds."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TypeAlias

from guidegen.sequence.model import Variant
from guidegen.trade.records import SequenceName, Trade, holds

Atom: TypeAlias = tuple[str, str]  # condition, its value: "yes", "no", or an energy
UNSET = {"water_heater": "off", "heating": "off", "fridge": "off"}  # what holds when nobody says more


def atom(words: str) -> Atom:
    """ "!mains_on" → (mains_on, no), "heating=gas" → (heating, gas), "primed" → (primed, yes)."""
    if words.startswith("!"):
        return (words[1:], "no")
    name, _, value = words.partition("=")
    return (name, value or "yes")


def words_of(found: Atom) -> str:
    name, value = found
    return {"yes": name, "no": f"!{name}"}.get(value, f"{name}={value}")


def condition_words(trade: Trade, condition: str) -> str:
    """ "!mains_on" → "the main switch is off"; an unknown condition as it is written."""
    name, value = atom(condition)
    words = trade.conditions.get(name)
    if words is None:
        return condition
    said = {"mains": "230 V", "12v": "12 V"}.get(value, value)
    return words.fails if value in ("no", "off") else words.holds.replace("{value}", said)


def applying(entries: Iterable[str], facts: frozenset[str]) -> Iterator[str]:
    """The entries "a?fact+fact" whose facts hold, without their condition."""
    for entry in entries:
        name, _, when = entry.partition("?")
        if not when or holds(tuple(when.split("+")), facts):
            yield name


def start_state(entries: Iterable[str], facts: frozenset[str]) -> dict[str, str]:
    return dict(UNSET) | dict(atom(words) for words in applying(entries, facts))


def value_in(state: dict[str, str], name: str) -> str:
    return state.get(name, "no")


def variants_of(sequence: SequenceName, facts: frozenset[str]) -> tuple[Variant, ...]:
    """The variants that make sense for the vehicle; the first is printed first."""
    if sequence == "lay-up":
        return ("outdoors", "heated-store")
    return ("hook-up", "no-hook-up") if "hook-up" in facts else ("no-hook-up",)


def chosen_facts(sequence: SequenceName, variant: Variant, facts: frozenset[str]) -> frozenset[str]:
    """The vehicle's facts with those of the variant, and the energy each appliance runs on.

    Mains is chosen when hooked up, gas otherwise; heaters fall back on diesel. A compressor fridge
    runs on 12 V; an absorption fridge without gas or mains stays off.
    """
    hooked = "hook-up" in facts and variant != "no-hook-up"
    extra = {f"in.{sequence}", f"at.{variant}"}
    if hooked:
        extra.add("at.hook-up")
    if variant == "heated-store" and "hook-up.charger" in facts:
        extra.add("store.charged")
    for appliance, rest in (("water-heater", ("diesel",)), ("heating", ("diesel",)), ("fridge", ())):
        order = (*(("mains",) if hooked else ()), "gas", *rest)
        energy = next((e for e in order if f"{appliance}.{e}" in facts), None)
        if appliance == "fridge" and "fridge.compressor" in facts:
            energy = "12v"
        if energy:
            extra.add(f"use.{appliance}.{energy}")
    return facts | extra
