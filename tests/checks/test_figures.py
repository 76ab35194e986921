"""Rules on figures that cannot be: each with a vehicle that passes and one that fails."""

from __future__ import annotations

import pytest

from guidegen.checks import thresholds

MASSES = {"mtplm": "3500 kg", "miro": "2900 kg", "seats": 4}

# rule, figures that pass, figures that fail, words of the message
FIGURES = [
    (
        "miro-above-mtplm",
        {"masses": MASSES},
        {"masses": {**MASSES, "miro": "3600 kg"}},
        "MIRO 3600 kg is greater",
    ),
    ("overloaded", {"masses": MASSES}, {"masses": {**MASSES, "luggage": "500 kg"}}, "125 kg too heavy"),
    (
        "overloaded",
        {"masses": MASSES, "sizes": {"length": "6 m"}},
        {"masses": {**MASSES, "miro": "3220 kg"}, "sizes": {"length": "6 m"}},
        "the rule asks for 100 kg",
    ),
    ("berths-above-layout", {"masses": {"berths": 2}}, {"masses": {"berths": 3}}, "3 berths are stated"),
    (
        "persons-above-berths",
        {"masses": {"berths": 2}, "persons": 2},
        {"masses": {"berths": 2}, "persons": 3},
        "3 persons, but 2",
    ),
    (
        "persons-above-seats",
        {"masses": {"seats": 4, "berths": 4}, "persons": 4},
        {"masses": {"seats": 2, "berths": 4}, "persons": 4},
        "4 persons, but seats for 2",
    ),
    ("seats-unusual", {"masses": {"seats": 2}}, {"masses": {"seats": 0}}, "no seats"),
    (
        "size-unlike-layout",
        {"sizes": {"length": "6.1 m"}},
        {"sizes": {"length": "6.3 m"}},
        "length is stated as 6.3 m",
    ),
    ("size-unlike-layout", {"sizes": {"width": "2.3 m"}}, {"sizes": {"width": "1.9 m"}}, "width"),
    ("size-unlike-layout", {"sizes": {"height": "2.9 m"}}, {"sizes": {"height": "3.5 m"}}, "height"),
    (
        "figure-implausible",
        {"sizes": {"length": "6 m"}},
        {"sizes": {"length": "60 m"}},
        "sizes: length: 60 m",
    ),
    ("figure-implausible", {"water_per_person_day": "15 l"}, {"water_per_person_day": "1500 l"}, "1500 l"),
    ("lead-unusual", {"lead_length": "25 m"}, {"lead_length": "40 m"}, "longer than the usual"),
]

# rule, equipment that passes, equipment that fails, words of the message
EQUIPMENT = [
    (
        "figure-implausible",
        {"fresh_water": {"tank": "100 l"}},
        {"fresh_water": {"tank": "1000 l"}},
        "fresh water: tank: 1000 l",
    ),
    ("figure-implausible", {"hob": {"gas": "5 kW"}}, {"hob": {"gas": "5 W"}}, "hob: gas: 0"),
    (
        "figure-implausible",
        {"gas": {"cylinders": [{"size": "6 kg"}]}},
        {"gas": {"cylinders": [{"size": "60 kg"}]}},
        "60 kg",
    ),
    (
        "figure-implausible",
        {"leisure_battery": {"capacity": "100 Ah", "type": "agm"}},
        {"leisure_battery": {"capacity": "5 Ah", "type": "agm"}},
        "5 Ah",
    ),
    (
        "figure-implausible",
        {"heating": {"type": "wet", "mains": ["1 kW"]}},
        {"heating": {"type": "wet", "mains": ["10 kW"]}},
        "10000 W",
    ),
    (
        "hours-above-day",
        {"hob": {"hours_per_day": "24 h"}},
        {"hob": {"hours_per_day": "25 h"}},
        "hob: 25 h a day",
    ),
    (
        "hours-above-day",
        {},
        {"dc_loads": [{"name": "fan", "power": "5 W", "hours_per_day": "30 h"}]},
        "fan: 30 h",
    ),
    ("inlet-unusual", {"hook_up": {"inlet": "10 A"}}, {"hook_up": {"inlet": "13 A"}}, "13 A"),
    (
        "load-above-inlet",
        {"hook_up": {"inlet": "16 A"}, "oven": {"mains": "3.6 kW"}},
        {"hook_up": {"inlet": "10 A"}, "oven": {"mains": "3.6 kW"}},
        "3600 W is more",
    ),
    (
        "load-above-inlet",
        {"hook_up": {"inlet": "15 A"}, "oven": {"mains": "3.4 kW"}},
        {"hook_up": {"inlet": "15 A"}, "oven": {"mains": "9 kW"}},
        "9000 W is more than the inlet's 15 A",
    ),
    (
        "water-heater-mismatch",
        {"water_heater": {"type": "combined"}, "heating": {"type": "combined-air"}},
        {"water_heater": {"type": "combined"}, "heating": {"type": "gas-convector"}},
        "combined with the heating",
    ),
    (
        "water-heater-mismatch",
        {"water_heater": {}, "heating": {"type": "gas-convector"}},
        {"water_heater": {}, "heating": {"type": "combined-air"}},
        "storage one",
    ),
    (
        "energy-unlike-type",
        {"fridge": {"type": "absorption", "gas": "16 g/h"}},
        {"fridge": {"type": "compressor", "gas": "16 g/h"}},
        "compressor",
    ),
    (
        "energy-unlike-type",
        {"heating": {"type": "gas-convector", "gas": "3 kW"}},
        {"heating": {"type": "gas-convector", "diesel": "3 kW"}},
        "diesel",
    ),
    (
        "energy-unlike-type",
        {"heating": {"type": "diesel-air", "diesel": "3 kW"}},
        {"heating": {"type": "diesel-air", "gas": "3 kW"}},
        "gas",
    ),
    (
        "changeover-one-cylinder",
        {"gas": {"cylinders": [{"size": "6 kg"}] * 2, "changeover": "manual"}},
        {"gas": {"cylinders": [{"size": "6 kg"}], "changeover": "manual"}},
        "1 cylinder",
    ),
]


@pytest.mark.parametrize(("rule", "good", "bad", "words"), FIGURES)
def test_figures_that_pass_and_figures_that_fail(workshop, rule, good, bad, words):
    assert workshop.findings(rule, workshop.vehicle(figures=good)) == ()
    (finding,) = workshop.findings(rule, workshop.vehicle(figures=bad))
    assert words in finding.message
    assert finding.hint


@pytest.mark.parametrize(("rule", "good", "bad", "words"), EQUIPMENT)
def test_equipment_that_passes_and_equipment_that_fails(workshop, rule, good, bad, words):
    assert workshop.findings(rule, workshop.vehicle(equipment=good)) == ()
    (finding,) = workshop.findings(rule, workshop.vehicle(equipment=bad))
    assert words in finding.message
    assert finding.hint


@pytest.mark.parametrize(
    ("amps", "least", "thin"),
    [
        ("16 A", "2.5 mm²", "1.5 mm²"),
        ("10 A", "1.5 mm²", "1 mm²"),
        ("13 A", "2.5 mm²", "1.5 mm²"),  # as for the next usual inlet
        ("20 A", "2.5 mm²", "1.5 mm²"),  # as for the largest
    ],
)
def test_a_lead_is_thick_enough(workshop, amps, least, thin):
    equipment = {"hook_up": {"inlet": amps}}
    good = workshop.vehicle(equipment=equipment, figures={"lead_section": least})
    bad = workshop.vehicle(equipment=equipment, figures={"lead_section": thin})
    assert workshop.findings("lead-unusual", good) == ()
    assert "too thin" in workshop.findings("lead-unusual", bad)[0].message


def test_a_wrong_miro_is_said_once(workshop):
    vehicle = workshop.vehicle(figures={"masses": {**MASSES, "miro": "3600 kg"}})
    assert workshop.findings("overloaded", vehicle) == ()


def test_nobody_travels_in_a_caravan(workshop):
    layout = {"body": "caravan"}
    good = workshop.vehicle(kind="caravan", layout=layout)
    bad = workshop.vehicle(kind="caravan", layout=layout, figures={"masses": {"seats": 2}})
    assert workshop.findings("seats-unusual", good) == ()
    assert "nobody travels" in workshop.findings("seats-unusual", bad)[0].message


def test_a_caravan_has_a_caravan_layout(workshop):
    assert workshop.findings("kind-unlike-layout", workshop.vehicle()) == ()
    assert len(workshop.findings("kind-unlike-layout", workshop.vehicle(kind="caravan"))) == 1
    assert len(workshop.findings("kind-unlike-layout", workshop.vehicle(layout={"body": "caravan"}))) == 1


def test_a_caravan_may_be_measured_with_its_drawbar(workshop):
    layout = {"body": "caravan", "drawbar": 1300}
    for length in ("6 m", "7.3 m"):
        vehicle = workshop.vehicle(kind="caravan", layout=layout, figures={"sizes": {"length": length}})
        assert workshop.findings("size-unlike-layout", vehicle) == ()


def test_every_range_names_a_figure_of_the_description(workshop):
    """A path that nothing answers to would be a rule that cannot fail."""
    from guidegen.vehicle.description import Equipment, Figures
    from guidegen.vehicle.schema import schema_of

    for path in thresholds.RANGES:
        root, _, rest = path.partition(".")
        model = schema_of(Equipment if root == "equipment" else Figures)
        names = rest.split(".") if root == "equipment" else path.split(".")
        for name in names:
            field = model.model_fields[name.removesuffix("[]")]
            inner = [a for a in _classes(field.annotation) if hasattr(a, "model_fields")]
            model = inner[0] if inner else None
        assert model is None, path


def _classes(annotation):
    from typing import get_args

    yield annotation
    for argument in get_args(annotation):
        yield from _classes(argument)


@pytest.mark.parametrize("path", thresholds.RANGES)
def test_ranges_are_ranges(path):
    least, greatest, unit, factor = thresholds.RANGES[path]
    assert 0 <= least < greatest and unit and factor > 0
