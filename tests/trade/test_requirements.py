"""The requirements name kinds and facts that exist."""

from __future__ import annotations

import re

from guidegen.trade.load import load_trade
from guidegen.vehicle import facts


def known_facts() -> set[str]:
    """The words that the docstring of the facts module lists."""
    return set(re.findall(r"[a-z0-9]+(?:[-.][a-z0-9]+)*", facts.__doc__ or ""))


def test_every_required_kind_exists():
    trade = load_trade()
    assert {kind for r in trade.requirements for kind in r.kinds} <= set(trade.kinds)


def test_every_fact_asked_for_exists():
    asked = {
        word.lstrip("!") for r in load_trade().requirements for term in r.when for word in term.split("|")
    }
    assert asked <= known_facts() | {f"has.{kind}" for kind in load_trade().kinds}


def test_every_requirement_gives_a_reason_that_reads_on():
    for requirement in load_trade().requirements:
        assert requirement.reason.startswith("needed "), requirement
        assert not requirement.reason.endswith("."), requirement
