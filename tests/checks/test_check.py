"""All rules together."""

from __future__ import annotations

from guidegen.checks import RULES
from guidegen.errors import Mark


def test_rule_ids_are_used_once_and_explained():
    ids = [rule.id for rule in RULES]
    assert len(ids) == len(set(ids))
    assert all(rule.about.endswith(".") or rule.about.endswith(").") for rule in RULES)


def test_errors_are_few():
    errors = {rule.id for rule in RULES if rule.severity == "error"}
    assert errors == {
        "number-twice",
        "place-outside",
        "place-unknown",
        "appliance-no-energy",
        "gas-without-supply",
        "water-heater-without-water",
    }


def test_findings_come_by_line(workshop):
    marks = {f"equipment.{name}": Mark("box.yaml", line, 3) for name, line in (("oven", 9), ("hob", 4))}
    vehicle = workshop.vehicle(equipment={"oven": {}, "hob": {}}, marks=marks)
    lines = [f.mark.line for f in workshop.all(vehicle)]
    assert lines == sorted(lines)


def test_every_finding_says_what_to_do_and_where(workshop):
    vehicle = workshop.vehicle(
        workshop.point("smoke-alarm", height="floor", number=1),
        workshop.point("pump", furniture="sofa", number=1),
        equipment={"hob": {}, "oven": {"gas": "5 W"}, "toilet": {}},
        figures={"masses": {"mtplm": "1 kg", "berths": 9}},
    )
    findings = workshop.all(vehicle)
    assert len(findings) > 8
    for finding in findings:
        assert finding.message and finding.hint and finding.rule
        assert finding.mark.file == "box.yaml" and finding.mark.line > 0


def test_an_empty_vehicle_asks_only_for_safety(workshop):
    assert {f.rule for f in workshop.all(workshop.vehicle())} == {"to-locate"}
