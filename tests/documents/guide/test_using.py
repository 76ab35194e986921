"""The words of a use fit the number of points that it is about."""

from __future__ import annotations

import re

import pytest

from guidegen.documents.guide.using import counted
from guidegen.trade.uses import load_uses

TEXTS = [use.text for system in load_uses().values() for use in system.use if "|" in use.text]


@pytest.mark.parametrize(("points", "said"), [(1, "the vent"), (2, "every vent"), (0, "every vent")])
def test_one_point_is_the_one_and_several_are_every_one(larch, points, said):
    assert counted("Keep {the|every} vent free.", larch.points[:points]) == f"Keep {said} free."


def test_what_holds_no_choice_stays(larch):
    assert counted("Here: {sizes}.", larch.points[:1]) == "Here: {sizes}."


@pytest.mark.parametrize("text", TEXTS)
def test_both_ways_of_a_text_are_plain_and_short(larch, text):
    for points in (larch.points[:1], larch.points[:2]):
        said = counted(text, points)
        assert not re.search(r"[{}|]|  ", said)
        assert all(len(sentence.split()) <= 20 for sentence in re.split(r"(?<=[.!?]) ", said))
