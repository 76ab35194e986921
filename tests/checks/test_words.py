"""Rules on words that name something: each with a vehicle that passes and one that fails."""

from __future__ import annotations

from guidegen.errors import Mark


def test_serves_something_that_exists(workshop):
    good = [
        workshop.point("isolation-valve", serves=(word,)) for word in ("hob", "water-heater", "fresh-water")
    ]
    assert workshop.findings("serves-unknown", workshop.vehicle(*good)) == ()
    bad = workshop.point("isolation-valve", serves=("hobb",))
    (finding,) = workshop.findings("serves-unknown", workshop.vehicle(bad))
    assert "“hobb”" in finding.message
    assert "“hob”" in finding.hint


def test_orders_name_steps(workshop):
    assert workshop.findings("step-unknown", workshop.vehicle(orders={"arrive": ("park-level",)})) == ()
    (finding,) = workshop.findings("step-unknown", workshop.vehicle(orders={"arrive": ("park-levle",)}))
    assert "“park-levle”" in finding.message
    assert "park-level" in finding.hint


def test_extra_steps_name_steps(workshop):
    step = {"id": "lock", "sequence": "leave", "text": "Lock the door.", "after": ["drive"]}
    assert workshop.findings("step-unknown", workshop.vehicle(extra_steps=(step,))) == ()
    bad = {**step, "after": ["fly"]}
    (finding,) = workshop.findings("step-unknown", workshop.vehicle(extra_steps=(bad,)))
    assert "“fly”" in finding.message and "guidegen sequence" in finding.hint


def test_extra_steps_have_ids_of_their_own(workshop):
    step = {"id": "lock", "sequence": "leave", "text": "Lock the door."}
    assert workshop.findings("extra-step-twice", workshop.vehicle(extra_steps=(step,))) == ()
    assert len(workshop.findings("extra-step-twice", workshop.vehicle(extra_steps=(step, step)))) == 1
    taken = {**step, "id": "drive"}
    assert len(workshop.findings("extra-step-twice", workshop.vehicle(extra_steps=(taken,)))) == 1


def test_the_side_of_the_road_is_said(workshop):
    kind = {"kind": Mark("box.yaml", 4, 1)}
    said = {**kind, "steering": Mark("box.yaml", 5, 1)}
    assert workshop.findings("side-assumed", workshop.vehicle(marks=said)) == ()
    (finding,) = workshop.findings("side-assumed", workshop.vehicle(marks=kind))
    assert "right is assumed" in finding.message
    (finding,) = workshop.findings("side-assumed", workshop.vehicle(kind="caravan", marks=kind))
    assert "driving on the left is assumed" in finding.message
