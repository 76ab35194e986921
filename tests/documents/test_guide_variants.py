"""What the guide tells of a sequence under other circumstances: the right numbers, checks and few words."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from msgspec.structs import replace

from guidegen.documents.guide.look import A4_LOOK
from guidegen.documents.guide.pages import Kit
from guidegen.documents.guide.variants import derive, variant_blocks
from guidegen.drawing.primitives import Link, Sheet, Text
from guidegen.paper.blocks import Paragraph
from guidegen.sequence.planner import make_plan
from guidegen.vehicle.reading import read_vehicle

SAMPLES = Path(__file__).parents[2] / "sample_vehicles"


@pytest.fixture
def vehicle_of():
    """A sample, its points numbered in the order of the file."""

    def read(sample):
        vehicle = read_vehicle(SAMPLES / f"{sample}.yaml")
        points = tuple(replace(p, number=n) for n, p in enumerate(vehicle.points, 1))
        return replace(vehicle, points=points)

    return read


@pytest.fixture
def told(vehicle_of, context_of, seen):
    """The rows of a sample's other variant: text, targets of the badges."""

    def rows(sample, name):
        context = context_of(vehicle_of(sample))
        sequence = context.sequences.sequences[name]
        found = []
        for block in variant_blocks(Kit(context, A4_LOOK), sequence, lambda other: ()):
            drawn = Sheet(210.0, 297.0, block.draw(0.0, 0.0, A4_LOOK.column), "row")
            items = [one.item for one in seen(drawn)]
            text = " ".join(i.text for i in items if isinstance(i, Text) and not i.text.isdigit())
            found.append((text, [i.target for i in items if isinstance(i, Link)]))
        return found

    return rows


def row(rows, start):
    return next(one for one in rows if one[0].startswith(start))


@pytest.mark.parametrize(
    ("sample", "name"), [("bramble", "recommission"), ("juniper", "lay-up"), ("sorrel", "arrive")]
)
def test_a_column_that_begins_amid_them_says_what_its_steps_are(vehicle_of, context_of, sample, name):
    """Else steps to leave out read as steps to take."""
    context = context_of(vehicle_of(sample))
    sequence = context.sequences.sequences[name]
    title, said, *rows = variant_blocks(Kit(context, A4_LOOK), sequence, lambda other: ())
    assert title.text.startswith(("Without", "In a", "Outdoors")) and said.keep_with_next
    assert len(rows) > 1
    changed = False
    for block in rows:
        if isinstance(block, Paragraph):
            assert block.text == f"{title.text}, changed steps:"
            changed = True
            continue
        what = "changed steps" if changed else "leave out"
        assert block.carried.text == f"{title.text}, continued: {what}"


def test_a_step_that_changes_bears_the_number_of_where_it_is_done_then(told):
    """On gas the water heater of this vehicle has a switch of its own, away from that for 230 V."""
    _, points = row(told("sorrel", "arrive"), "Start the water heater on gas.")
    assert points == ["#point-water-heater-gas-switch"]


def test_a_new_step_bears_its_number(told):
    _, points = row(told("larch", "lay-up"), "Leave the battery charger on")
    assert points == ["#point-charger-switch"]


def test_what_shows_that_a_changed_step_worked_is_told_anew(told):
    """A fridge that chooses by itself is switched on alike, and chooses gas where there is no hook-up."""
    text, _ = row(told("larch", "arrive"), "Start the fridge on automatic.")
    assert "It chooses gas by itself" in text


def test_a_new_step_does_not_put_off_the_steps_behind_it(told, vehicle_of, context_of):
    rows = told("larch", "lay-up")
    assert not [text for text, _ in rows if re.match("When nobody needs it, press the switch", text)]
    context = context_of(vehicle_of("larch"))
    printed = context.sequences.sequences["lay-up"]
    plan = make_plan(context.trade, "lay-up", "heated-store", context.vehicle.facts, ())
    assert list(derive(printed, plan).later) == ["charger-leave"]


def test_a_new_step_stands_behind_what_must_be_done_before_it_not_what_happens_to_be(told):
    """The charger stays on once nothing else runs on 230 V: cushions and labels have no say in that."""
    text, _ = row(told("larch", "lay-up"), "Leave the battery charger on")
    assert re.search(r"This comes after “Switch the (fridge|heating|water heater) off”\.$", text)


def test_a_changed_step_that_also_waits_says_both_in_one_sentence(told):
    text, _ = row(told("alder", "recommission"), "Start the heating on gas.")
    assert "This comes after “Open the isolation valve of each gas appliance that you want” and is" in text
    assert "instead of “Start the heating on 230 V”" in text
