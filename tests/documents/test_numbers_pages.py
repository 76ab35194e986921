"""The numbers on paper: read back from the PDF by a reader of its own, and measured in the drawing."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise, repeat
from pathlib import Path

import pypdfium2
import pytest
import yaml

from guidegen.documents.context import Context, Options
from guidegen.documents.guide.look import A5_LOOK
from guidegen.documents.number_bars import Bar, BarRows, HookUpBars, Ladder
from guidegen.documents.number_look import LARGE_PRINT
from guidegen.documents.number_pictures import Battery, ColdScale, Cylinders, Tank, Tanks
from guidegen.documents.number_words import outside_brackets
from guidegen.documents.numbers_pages import compose_numbers, compose_numbers_blocks
from guidegen.drawing.pdf import write_pdf
from guidegen.drawing.primitives import Circle, Destination, Group, Item, Line, Rect, Text
from guidegen.drawing.primitives import Path as Outline
from guidegen.drawing.typography import as_printed
from guidegen.numbers.model import PayloadRow, PayloadTable
from guidegen.numbers.power import supplies
from guidegen.paper.flow import Frame, draw_all, flow
from guidegen.trade.load import load_trade
from guidegen.vehicle.description import Equipment
from guidegen.vehicle.reading import vehicle_from_text

BASE = """
id: pages
name: Pages
kind: motorhome
steering: right
layout: coachbuilt-rear-lounge
sizes: {length: 7.35 m}
masses: {mtplm: 3500 kg, miro: 2950 kg, seats: 4, berths: 4, luggage: 30 kg}
persons: 2
water_per_person_day: 15 l
lead_length: 25 m
lead_section: 2.5 mm²
equipment:
  gas: {cylinders: [{size: 11 kg, gas: propane}, {size: 6 kg, gas: butane}]}
  hob: {gas: 5 kW, hours_per_day: 1 h}
  water_heater: {type: storage, water: 10 l, gas: 1.5 kW, mains: [850 W], hours_per_day: 1 h}
  heating: {type: gas-convector, gas: 3 kW, mains: [500 W, 1000 W, 2000 W], hours_per_day: 4 h}
  fridge: {type: absorption, gas: 16 g/h, mains: 135 W, hours_per_day: 20 h}
  hook_up: {inlet: 16 A, charger: 300 W}
  fresh_water: {tank: 100 l}
  waste_water: {tank: 90 l}
  leisure_battery: {capacity: 100 Ah, type: agm}
  mains_loads: [{name: Kettle, power: 2200 W}]
  dc_loads: [{name: Lights, power: 20 W, hours_per_day: 4 h}]
"""


def context(large_print: bool = False, **changes) -> Context:
    data = yaml.safe_load(BASE) | changes
    vehicle = vehicle_from_text(yaml.safe_dump(data, allow_unicode=True), Path())
    return Context(vehicle, load_trade(), options=Options(large_print=large_print))


def words(document) -> str:
    """All text in the order of drawing, without white space."""
    pages = pypdfium2.PdfDocument(write_pdf(document))
    return squeezed("".join(page.get_textpage().get_text_range() for page in pages))


def squeezed(text: str) -> str:
    """As it is printed, without white space."""
    return "".join(as_printed(text).split())


def leaves(items: tuple[Item, ...], dx: float = 0.0, dy: float = 0.0) -> Iterator[tuple[Item, float, float]]:
    for item in items:
        if isinstance(item, Group):
            move = item.transform or (1, 0, 0, 1, 0, 0)
            yield from leaves(item.items, dx + move[4], dy + move[5])
        else:
            yield item, dx, dy


def spans(items: tuple[Item, ...]) -> Iterator[tuple[float, float]]:
    """From left to right edge of every shape that is not text."""
    for item, dx, _ in leaves(items):
        if isinstance(item, Rect):
            yield item.x + dx, item.x + item.width + dx
        elif isinstance(item, Line):
            xs = [p[0] + dx for p in item.points]
            yield min(xs), max(xs)
        elif isinstance(item, Circle):
            yield item.x - item.radius + dx, item.x + item.radius + dx
        else:
            assert isinstance(item, (Text, Outline)), item


def filled(items: tuple[Item, ...]) -> list[Rect]:
    return [item for item, _, _ in leaves(items) if isinstance(item, Rect) and item.style.fill]


# The whole chapter


def test_every_sentence_for_owners_is_on_paper():
    made = context()
    text = words(compose_numbers(made))
    shown = ("water.", "battery.days", "battery.usable", "gas.heat", "gas.days", "gas.cold", "mass.", "lead.")
    for number in made.numbers.numbers:
        if number.id.startswith(shown) and number.id != "water.waste-days":
            said = number.text[:1].upper() + number.text[1:]
            assert squeezed(said) in text, number.id


def test_every_formula_and_reason_is_on_paper():
    made = context(masses={})
    text = words(compose_numbers(made))
    warm_ups = made.numbers.of("hot-water")
    assert len(warm_ups) > 1, "alike but for the power: worked out once"
    for number in (*made.numbers.of("battery"), *made.numbers.of("lead"), warm_ups[-1]):
        assert squeezed(number.formula) in text, number.id
    for _, reason in made.numbers.missing:
        assert squeezed(reason) in text


def test_every_assumption_is_on_paper():
    """Save those of numbers that stand in the workings alone, and hours that the bars tell."""
    made = context()
    text = words(compose_numbers(made))
    for number in made.numbers.numbers:
        for assumption in number.assumptions:
            told = number.id in ("water.waste-days", "mass.minimum") or assumption.startswith("Hours a day")
            assert told or squeezed(assumption) in text, (number.id, assumption)
    for use in made.numbers.gas_uses:
        if use.hours_per_day:
            assert squeezed(f"{use.appliance} {use.hours_per_day:g} h").lower() in text.lower()


def test_nothing_is_under_the_smallest_size():
    for sheet in compose_numbers(context()).sheets:
        sizes = [item.size_pt for item, _, _ in leaves(sheet.items) if isinstance(item, Text)]
        assert {size for size in sizes if size < 8.5} == {7.5}, "of the running footer alone"
        assert sizes.count(7.5) == 2


@pytest.mark.parametrize("width", [130.0, 186.0])
def test_pictures_stay_in_their_frame(width):
    frames = (Frame(10, 10, width, 250) for _ in range(20))
    for page in flow(compose_numbers_blocks(context()), frames):
        for left, right in spans([item for item in draw_all(page) if not isinstance(item, Destination)]):
            assert left >= 10 - 0.01
            assert right <= 10 + width + 0.01


def test_a_well_fitted_vehicle_takes_two_pages():
    assert len(compose_numbers(context()).sheets) == 2


def test_large_print_is_larger():
    sizes = [
        item.size_pt
        for sheet in compose_numbers(context(large_print=True)).sheets
        for item, _, _ in leaves(sheet.items)
        if isinstance(item, Text) and item.size_pt != 7.5  # the running footer
    ]
    assert min(sizes) >= 14 and max(sizes) > 16


def test_the_booklet_has_the_sentences_in_the_type_of_its_other_pages():
    frame = Frame(0, 0, A5_LOOK.width, A5_LOOK.height)
    items = [
        item
        for page in flow(compose_numbers_blocks(context(), frame), repeat(frame))
        for item in draw_all(page)
    ]
    texts = [item for item, _, _ in leaves(tuple(items)) if isinstance(item, Text)]
    sentence = next(item for item in texts if "may be used" in item.text)
    assert sentence.size_pt == A5_LOOK.body.size_pt
    assert min(item.size_pt for item in texts) >= 7


def test_a_vehicle_without_figures_says_so():
    text = words(compose_numbers(context(equipment={}, masses={}, sizes={})))
    assert "Notworkedout" in text and "MTPLMisnotgiven" in text


def test_what_stays_on_is_told_by_watts_and_darkness():
    """In grey print the bars that stay on are still darker than the others (relative luminance of WCAG 2)."""
    text = words(compose_numbers(context()))
    assert "Thegreypartstayson:fridge(135W)andcharger(300W)." in text
    equipment = Equipment.read(yaml.safe_load(BASE)["equipment"])
    items = HookUpBars(supply=supplies(equipment)[-1], full_w=3680, colour="#d4601a").draw(0, 0, 200)
    bars = filled(items)
    base, other = luminance(bars[0].style.fill), luminance(bars[1].style.fill)
    assert (other + 0.05) / (base + 0.05) > 1.2
    on_base = [i for i, _, _ in leaves(items) if isinstance(i, Text) and bars[0].x < i.x < bars[1].x]
    assert on_base and all((base + 0.05) / (luminance(text.colour) + 0.05) > 7 for text in on_base)


def luminance(colour: str) -> float:
    parts = [int(colour[n : n + 2], 16) / 255 for n in (1, 3, 5)]
    red, green, blue = (p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def test_the_workings_do_not_stand_alone_on_a_page():
    pages = pypdfium2.PdfDocument(write_pdf(compose_numbers(context(equipment={}))))
    texts = [page.get_textpage().get_text_range() for page in pages]
    (last,) = [text for text in texts if "How it was worked out" in text]
    assert "What you may still load" in last


def test_in_large_print_no_page_but_the_last_is_left_half_empty():
    """The workings begin below the payload and go on overleaf."""
    frame = Frame(0.0, 0.0, 178.0, 248.0)
    pages = flow(compose_numbers_blocks(context(large_print=True), frame), repeat(frame))
    feet = [max(one.y + one.height for one in page) for page in pages]
    assert len(pages) > 3 and min(feet[:-1]) > frame.height / 2
    *_, before, last = [[one.block.name for one in page] for page in pages]
    assert "How it was worked out" in before and "How it was worked out" not in last


def test_voltages_beside_a_battery_stand_clear_of_one_another_in_large_print():
    frame = Frame(0.0, 0.0, 178.0, 248.0)
    pages = flow(compose_numbers_blocks(context(large_print=True), frame), repeat(frame))
    drawn = [item for page in pages for item, _, _ in leaves(draw_all(page)) if isinstance(item, Text)]
    baselines = sorted(t.y for t in drawn if t.text in ("12.7 V", "12.4 V", "12.2 V", "12.0 V", "11.9 V"))
    assert len(baselines) == 5
    capitals_mm = 14 * 0.3528 * 0.7
    assert min(b - a for a, b in pairwise(baselines)) > capitals_mm + 0.5


@pytest.mark.parametrize(("type", "said"), [("agm", "Voltages at rest"), ("lithium", "read its display")])
def test_a_battery_is_judged_by_its_voltage_but_one_of_lithium_by_its_display(type, said):
    equipment = yaml.safe_load(BASE)["equipment"] | {"leisure_battery": {"capacity": "100 Ah", "type": type}}
    told = words(compose_numbers(context(equipment=equipment)))
    other = {"Voltages at rest", "read its display"} - {said}
    assert squeezed(said) in told and squeezed(other.pop()) not in told


# The pictures are true to scale


def test_hook_up_bars_are_as_long_as_their_power():
    equipment = Equipment.read(yaml.safe_load(BASE)["equipment"])
    for supply in supplies(equipment):
        block = HookUpBars(supply=supply, full_w=3680, colour="#d4601a")
        bars = filled(block.draw(0, 0, 200))
        watts = [
            w
            for shown in supply.shown
            for w in (435.0, *(use.watts for use in shown.uses if use.load not in ("fridge", "charger")))
        ]
        scale = bars[0].width / 435
        assert [bar.width / scale for bar in bars] == pytest.approx(watts, rel=0.001)


def test_bars_are_as_long_as_their_values():
    rows = (Bar("gas", 20, "20"), Bar("mains", 50, "50"), Bar("both", 10, "10"))
    widths = [r.width for r in filled(BarRows(rows=rows, colour="#a3243b").draw(0, 0, 90))]
    assert widths[1] / widths[0] == pytest.approx(2.5) and widths[1] / widths[2] == pytest.approx(5)


def test_the_ladder_ends_at_what_is_left():
    rows = tuple(PayloadRow(n, kg) for n, kg in (("MTPLM", 3500.0), ("MIRO", -3000.0), ("Water", -100.0)))
    table = PayloadTable(rows, 400.0, 400.0, None)
    whole, water, left = filled(Ladder(table=table, colour="#6b4a35").draw(0, 0, 180))
    assert whole.width == pytest.approx(water.width + left.width)
    assert left.x == pytest.approx(whole.x)
    assert water.x == pytest.approx(left.x + left.width)


def test_an_overloaded_ladder_goes_below_nothing():
    rows = tuple(PayloadRow(n, kg) for n, kg in (("MTPLM", 3500.0), ("MIRO", -3400.0), ("Luggage", -200.0)))
    table = PayloadTable(rows, -100.0, 100.0, None)
    items = Ladder(table=table, colour="#6b4a35").draw(0, 0, 180)
    texts = [item.text for item, _, _ in leaves(items) if isinstance(item, Text)]
    assert "Too heavy by" in texts and "100 kg" in texts


def test_tank_levels_stand_at_a_days_use():
    tank = Tank("Fresh", 100, 25, False, "#00609c")
    items = Tanks(tanks=(tank,)).draw(0, 0, 80)
    body = next(r for r in filled(items))
    levels = sorted({item.points[0][1] for item, _, _ in leaves(items) if isinstance(item, Line)})
    shares = [(level - body.y) / body.height for level in levels]
    assert shares == pytest.approx([0.25, 0.5, 0.75, 1.0])


def test_tanks_stand_to_one_scale():
    tanks = (Tank("Fresh", 120, 25, False, "#00609c"), Tank("Waste", 24, 25, True, "#1a1a1a"))
    bodies = [r for r in filled(Tanks(tanks=tanks).draw(0, 0, 80)) if r.style.stroke is None]
    fresh, *_, waste = [body.height for body in bodies]
    assert waste / fresh == pytest.approx(24 / 120)


@pytest.mark.parametrize(
    ("days", "said"), [(0.2, "about 4 hours"), (1.5, "part of day 2"), (30.0, "about 30 days")]
)
def test_battery_says_its_days(days, said):
    block = Battery(usable_share=0.5, days=days, rest_volts=((12.7, 100), (11.9, 0)), colour="#d4601a")
    texts = [item.text for item, _, _ in leaves(block.draw(0, 0, 90)) if isinstance(item, Text)]
    assert said in texts and "12.7 V" in texts


def test_cold_scale_starts_where_the_fuel_boils():
    propane, butane = filled(ColdScale(fuels=("propane", "butane"), colour="#b07e3c").draw(0, 0, 70))
    assert propane.x == pytest.approx(-42.1 + 45) and butane.x == pytest.approx(-0.5 + 45)


def test_one_cylinder_is_drawn_for_each_on_board():
    block = Cylinders(load=(("propane", 11.0), ("butane", 6.0)), tank=False, colour="#b07e3c")
    texts = [item.text for item, _, _ in leaves(block.draw(0, 0, 60)) if isinstance(item, Text)]
    assert texts == ["11 kg", "propane", "6 kg", "butane"]


def test_a_working_breaks_before_its_terms_and_never_within_a_product():
    drawn = [s for sheet in compose_numbers(context()).sheets for s in leaves(sheet.items)]
    lines = [item.text.strip() for item, _, _ in drawn if isinstance(item, Text)]
    assert any(line.startswith("= ") for line in lines)
    assert [line for line in lines if line.endswith(("·", "=", "/", "+", "−"))] == []
    assert [line for line in lines if line.startswith(("· ", "/ "))] == []


@pytest.mark.parametrize(
    ("formula", "parts"),
    [
        ("10 · (n + L) = 10 · (4 + 7.45) = 114.5 kg", ["10 · (n + L)", "= 10 · (4 + 7.45)", "= 114.5 kg"]),
        ("U = 3 V + 2 V", ["U", "= 3 V", "+ 2 V"]),
        ("t = m·c / (2 W · 0.8 + (1 W + 3 W))", ["t", "= m·c / (2 W · 0.8 + (1 W + 3 W))"]),
    ],
)
def test_a_formula_breaks_outside_its_brackets_first(formula, parts):
    assert outside_brackets(formula) == parts


@pytest.mark.parametrize(("large_print", "columns", "size_pt"), [(False, 2, 12.0), (True, 1, 16.8)])
def test_panels_stand_side_by_side_but_in_large_print(large_print, columns, size_pt):
    frame = Frame(0.0, 0.0, 178.0, 250.0)
    made = flow(compose_numbers_blocks(context(large_print), frame), repeat(frame))
    titles = [
        round(item.x + dx)
        for page in made
        for item, dx, _ in leaves(draw_all(page))
        if isinstance(item, Text) and item.size_pt == pytest.approx(size_pt) and item.weight == "bold"
    ]
    assert len(titles) > 5 and len(set(titles)) == columns


def test_how_long_a_battery_lasts_stands_within_it_in_large_print():
    block = Battery(usable_share=0.5, days=0.7, rest_volts=(), colour="#d4601a", look=LARGE_PRINT)
    drawn = block.draw(10.0, 0.0, 178.0)
    (words,) = [item for item in drawn if isinstance(item, Text) and item.text.startswith("about")]
    half = LARGE_PRINT.label.bold.width_mm(words.text) / 2
    body = max((i for i in drawn if isinstance(i, Rect)), key=lambda i: i.height)
    assert body.x < words.x - half and words.x + half < body.x + body.width
