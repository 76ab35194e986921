"""The check sheet: every point once with three boxes, the readings with what is known, a form on screen."""

from __future__ import annotations

from collections import Counter
from io import BytesIO
from pathlib import Path

import pypdf
import pytest
from msgspec.structs import replace

from guidegen.documents.check_sheet import compose
from guidegen.documents.writing import BOX_MM, LINE_MM
from guidegen.drawing.fonts import text_width_mm
from guidegen.drawing.pdf import write_pdf
from guidegen.drawing.primitives import Line
from guidegen.paper.text import DoesNotFit
from guidegen.trade.load import load_trade
from guidegen.vehicle.description import Checks
from guidegen.vehicle.reading import read_vehicle
from guidegen.vehicle.readings import judge_reading, reading_named, readings_of

SAMPLES = Path(__file__).parents[2] / "sample_vehicles"
CHECKS = ("first", "sale", "handover")


@pytest.fixture(scope="module")
def sheet(larch, context_of):
    return compose(context_of(larch))


def test_every_point_stands_once_with_name_and_place(sheet, larch, texts_of):
    found = texts_of(sheet)
    numbers = Counter(int(s.item.text) for s in found if s.item.text.isdigit() and s.item.size_pt == 8.5)
    assert numbers == Counter(p.number for p in larch.points)
    words = " ".join(s.item.text for s in found)
    for point in larch.points:
        assert point.name in words
        assert point.place.split(",")[0] in words


def test_every_point_has_three_boxes_and_a_line_for_a_reading(sheet, larch, fields_of):
    fields = {s.item.name: s for s in fields_of(sheet)}
    for point in larch.points:
        boxes = [fields[f"{point.id}-{check}"] for check in CHECKS]
        assert {s.item.kind for s in boxes} == {"tick"}
        assert len({round(s.box[1], 3) for s in boxes}) == 1, "side by side"
        assert min(s.item.width for s in boxes) >= 4
        assert fields[f"{point.id}-reading"].item.kind == "text"


def test_boxes_and_lines_suit_a_pen(sheet, fields_of):
    # A box to tick of 4 mm and 7 mm from line to line: common practice, no source.
    assert BOX_MM >= 4 and LINE_MM >= 7
    boxes = [s for s in fields_of(sheet) if s.item.kind == "tick"]
    for n, one in enumerate(boxes):
        x0, y0, x1, y1 = one.box
        for other in boxes[n + 1 :]:
            a0, b0, a1, b1 = other.box
            assert one.sheet != other.sheet or x1 < a0 or a1 < x0 or y1 < b0 or b1 < y0


def test_a_missing_point_has_a_blank_line_for_its_place(few, context_of, fields_of, texts_of):
    document = compose(context_of(few))
    assert few.to_locate
    names = {s.item.name for s in fields_of(document)}
    words = " ".join(s.item.text for s in texts_of(document))
    for number, item in enumerate(few.to_locate, 1):
        assert f"to-locate-{number}-place" in names
        assert item.name in words


def test_two_sides_hold_what_an_ordinary_vehicle_has(vehicles_by_chance, context_of):
    ordinary = vehicles_by_chance.random_vehicle(11, points=60)
    assert len(compose(context_of(ordinary)).sheets) == 2


@pytest.mark.parametrize("path", sorted(SAMPLES.glob("*.yaml")), ids=lambda path: path.stem)
def test_no_page_begins_with_the_last_few_points(path, context_of, fields_of):
    vehicle = read_vehicle(path)
    boxes = {f"{p.id}-sale" for p in vehicle.points}
    of_points = Counter(s.sheet for s in fields_of(compose(context_of(vehicle))) if s.item.name in boxes)
    assert of_points.total() == len(vehicle.points)
    assert all(points > 3 for sheet, points in of_points.items() if sheet > 0)


def test_what_gas_engineers_measured_stands_over_its_readings(sheet, texts_of):
    found = texts_of(sheet)
    note = next(s for s in found if "competent gas engineer" in s.item.text)
    below = [s for s in found if s.sheet == note.sheet and s.box[0] == note.box[0] and s.box[1] > note.box[1]]
    assert min(below, key=lambda s: s.box[1]).item.text == "Gas pressure"


def test_readings_of_the_file_are_filled_in(sheet, fields_of):
    values = {s.item.name: s.item.value for s in fields_of(sheet)}
    assert values["reading-leisure-battery-at-rest-first"] == "12.7 V"
    assert values["reading-fridge-on-gas-sale"] == "5 °C"
    assert values["first-by"] == "A. Sample"
    assert values["first-date"] == "20 March 2026", "the way the guide writes it"
    assert values["handover-by"] == ""


def test_the_longest_date_fits_its_field(larch, context_of, fields_of):
    checks = Checks.read({"sale": {"by": "X", "on": "2026-09-30"}})
    values = {s.item.name: s.item.value for s in fields_of(compose(context_of(_with_checks(larch, checks))))}
    assert values["sale-date"] == "30 September 2026"


def test_rows_are_a_writing_line_apart(sheet, fields_of):
    """A reading is written on a line of its own, 7 mm under the one before."""
    for name in ("-reading", "-sale"):
        columns = {}
        for s in fields_of(sheet):
            if s.item.kind == "text" and s.item.name.endswith(name):
                columns.setdefault((s.sheet, round(s.box[0])), []).append(s.box[3])
        for feet in columns.values():
            assert all(b - a >= 7 - 1e-6 for a, b in zip(sorted(feet), sorted(feet)[1:], strict=False))


def test_gas_is_left_to_engineers(larch, few, context_of, texts_of):
    for vehicle in (larch, few):
        words = " ".join(s.item.text for s in texts_of(compose(context_of(vehicle))))
        assert ("competent gas engineer" in words) == ("gas" in vehicle.facts)
    bare = replace(larch, facts=frozenset({"motorhome"}))
    assert "gas engineer" not in " ".join(s.item.text for s in texts_of(compose(context_of(bare))))


def test_things_stand_at_even_steps(sheet, fields_of):
    boxes = [s.box for s in fields_of(sheet) if s.item.kind == "tick" and s.item.name.startswith("out-")]
    for left in {round(box[0]) for box in boxes}:
        tops = sorted(box[1] for box in boxes if round(box[0]) == left)
        steps = [b - a for a, b in zip(tops, tops[1:], strict=False)]
        assert max(steps) - min(steps) < 4, "a name of two lines starts a little higher, and no row is lower"
        assert min(steps) >= 5.5


def test_a_column_that_begins_among_the_readings_says_so(context_of, texts_of, fields_of):
    for path in sorted(SAMPLES.glob("*.yaml")):
        document = compose(context_of(read_vehicle(path)))
        again = [s for s in texts_of(document) if s.item.text == "Readings, continued"]
        heads = [s for s in texts_of(document) if s.item.text == "Readings"]
        columns = {
            (s.sheet, s.box[0] > 105) for s in fields_of(document) if s.item.name.startswith("reading-")
        }
        headed = {(s.sheet, s.box[0] > 105) for s in (*heads, *again)}
        assert columns <= headed and len(heads) == 1, path.stem


def test_the_tyres_stand_in_one_column(context_of, fields_of):
    for path in sorted(SAMPLES.glob("*.yaml")):
        found = fields_of(compose(context_of(read_vehicle(path))))
        tyres = {(s.sheet, s.box[0] > 105) for s in found if s.item.name.startswith("reading-tyre")}
        assert len(tyres) == 1, path.stem


def test_things_side_by_side_have_their_boxes_on_one_line(sheet, fields_of):
    """Whether their words take one line or two."""
    boxes = [s for s in fields_of(sheet) if s.item.name.startswith("out-") and s.item.kind == "tick"]
    left = sorted(s.box[1] for s in boxes if s.box[0] < min(s.box[0] for s in boxes) + 5)
    right = sorted(s.box[1] for s in boxes if s.box[0] > min(s.box[0] for s in boxes) + 5)
    assert right and all(a == pytest.approx(b) for a, b in zip(left, right, strict=False))


def test_lines_for_remarks_in_a_column_of_their_own_have_a_head(context_of, texts_of):
    short = read_vehicle(SAMPLES / "hazel.yaml")
    words = [s.item.text for s in texts_of(compose(context_of(short)))]
    assert words.count("Remarks") == words.count("Remarks, continued") == 1


def test_readings_nobody_asked_for_are_not_lost(larch, context_of, texts_of, fields_of):
    reading = {"speed of the wind": "4 m/s", "polarity right": "no, swapped at socket 3"}
    checks = Checks.read({"sale": {"by": "X", "on": "2026-01-02", "readings": reading}})
    document = compose(context_of(_with_checks(larch, checks)))
    words = " ".join(s.item.text for s in texts_of(document))
    assert "Speed of the wind" in words
    assert "2: no, swapped at socket 3" in words
    values = {s.item.name: s.item.value for s in fields_of(document)}
    assert values["reading-speed-of-the-wind-sale"] == "4 m/s"


def test_a_reading_of_ones_own_is_one_row_however_it_is_written(larch, context_of, fields_of):
    """Capitals, hyphens and commas do not count; nothing written is lost."""
    checks = Checks.read(
        {
            "first": {"by": "X", "on": "2026-01-02", "readings": {"Speed of wind": "3 m/s"}},
            "sale": {
                "by": "X",
                "on": "2026-01-03",
                "readings": {
                    "speed-of wind": "4",
                    "speed of, wind": "5",
                    "gas pressure": 30,
                    "Gas Pressure": 31,
                },
            },
        }
    )
    document = compose(context_of(_with_checks(larch, checks)))
    values = {s.item.name: s.item.value for s in fields_of(document)}
    assert values["reading-speed-of-wind-first"] == "3 m/s"
    assert values["reading-speed-of-wind-sale"] == "4; 5"
    assert values["reading-gas-pressure-sale"] == "30; 31"
    assert len(pypdf.PdfReader(BytesIO(write_pdf(document))).get_fields()) == len(values)


def test_a_tyre_has_its_date_once_and_its_pressure_at_each_check(larch, context_of, fields_of, texts_of):
    """Two figures have no room in a cell; the week and year of a tyre change with the tyre alone."""
    first = {"tyre, front nearside": "4.5 bar made 2223", "tyre, rear offside": "5 bar made 0121"}
    sale = {"tyre, front nearside": "4.6 bar", "tyre, rear offside": "5 bar made 1025"}
    checks = Checks.read(
        {
            "first": {"by": "X", "on": "2026-01-02", "readings": first},
            "sale": {"by": "X", "on": "2026-01-03", "readings": sale},
        }
    )
    document = compose(context_of(_with_checks(larch, checks)))
    values = {s.item.name: s.item.value for s in fields_of(document)}
    tyre = [values[f"reading-tyre-front-nearside-{check}"] for check in (*CHECKS, "made")]
    assert tyre == ["4.5 bar", "4.6 bar", "", "2223"]
    assert values["reading-tyre-rear-offside-made"] == "1025", "the tyre was changed"
    over = [s for s in texts_of(document) if s.item.text.startswith("Tyres: ")]
    assert len(over) == 1 and "2223" in over[0].item.text


def test_a_date_to_replace_by_has_one_line_with_room_for_it(larch, context_of, fields_of):
    """It is the same at all three checks; the latest is shown."""
    readings = (
        {"carbon monoxide alarm replace by": "2030-03-31"},
        {"carbon monoxide alarm replace by": "2031"},
    )
    checks = Checks.read(
        {
            "first": {"by": "X", "on": "2026-01-02", "readings": readings[0]},
            "sale": {"by": "X", "on": "2026-01-03", "readings": readings[1]},
        }
    )
    found = fields_of(compose(context_of(_with_checks(larch, checks))))
    (one,) = [s for s in found if s.item.name.startswith("reading-carbon-monoxide-alarm-replace-by")]
    assert one.item.value == "2031"
    assert one.item.width > text_width_mm("30 September 2031", 10.0, "regular") + 2


def test_a_value_too_long_for_its_line_stands_below_the_name(larch, context_of, texts_of):
    readings = {
        "carbon monoxide alarm replace by": "label has come off, a new alarm is on its way from the maker",
        "fridge at start": "cold, set at 3",
    }
    checks = Checks.read({"sale": {"by": "X", "on": "2026-01-03", "readings": readings}})
    words = " ".join(s.item.text for s in texts_of(compose(context_of(_with_checks(larch, checks)))))
    assert "label has come off, a new alarm is on its way from the maker" in words
    assert "2: cold, set at 3" in words


def test_every_field_says_what_it_is(few, larch, context_of, fields_of):
    """To one who hears the form: no tool tip comes twice, and none is the field's own name."""
    for vehicle in (few, larch):
        fields = [s.item for s in fields_of(compose(context_of(vehicle)))]
        tips = Counter(field.tooltip for field in fields)
        assert tips.most_common(1)[0][1] == 1, tips.most_common(1)
        assert not [field.name for field in fields if field.tooltip == field.name]
    tips = {field.name: field.tooltip for field in fields}
    assert tips["sale-date"] == "Check before sale: date"
    assert tips["reading-gas-pressure-first"] == "Gas pressure, 25 to 35 mbar: first check"
    assert tips["out-vehicle-keys-count"] == "Vehicle keys: how many"


def test_fields_come_in_reading_order(sheet, fields_of):
    """A reader goes from field to field in their order in the file: column by column, row by row."""
    order = [(s.sheet, s.box[0] > 105, round(s.box[3])) for s in fields_of(sheet) if "-by" not in s.item.name]
    rows = [row for row in order if row[2] > 60 or row[0]]
    assert all(a[:2] <= b[:2] for a, b in zip(rows, rows[1:], strict=False))


def test_remarks_of_a_column_are_one_field_over_even_lines(context_of, fields_of, seen):
    for path in sorted(SAMPLES.glob("*.yaml")):
        document = compose(context_of(read_vehicle(path)))
        remarks = [s for s in fields_of(document) if s.item.name.startswith("remarks")]
        assert remarks[0].item.name == "remarks"
        assert len({(s.sheet, s.box[0]) for s in remarks}) == len(remarks) <= 2
        for field in remarks:
            x0, y0, x1, y1 = field.box
            lines = [s for s in seen(document) if isinstance(s.item, Line) and s.sheet == field.sheet]
            starts = [s.item.points[0] for s in lines]
            feet = sorted(y for x, y in starts if x0 < x < x1 and y0 < y < y1 + 2)
            steps = [b - a for a, b in zip(feet, feet[1:], strict=False)]
            assert len(feet) >= 4 and max(steps) - min(steps) < 1e-6 and min(steps) >= LINE_MM - 1e-6


def _with_checks(vehicle, checks):
    return replace(vehicle, checks=checks)


def test_readings_follow_what_is_fitted(larch, few, context_of):
    trade = load_trade()
    names = {r.name for r in readings_of(larch.facts, trade)}
    # The list of trade.md's check sheet, as this vehicle has it.
    assert {
        "leisure battery at rest", "battery charging", "RCD trips", "polarity right", "gas pressure",
        "fridge at start", "fridge on gas", "fridge on 230 V", "smoke alarm sounds",
        "water heater hot on gas",
        "carbon monoxide alarm sounds", "pump builds pressure and stops", "tank levels right",
        "tyre, front nearside", "all road lights", "damp, highest reading",
    } <= names  # fmt: skip
    bare = {r.name for r in readings_of(frozenset({"caravan"}), trade)}
    assert "gas pressure" not in bare and "tyre, nearside" in bare


def test_a_pump_is_tried_as_it_works():
    """A submersible pump builds no pressure: a tap starts and stops it."""
    facts = [read_vehicle(SAMPLES / f"{name}.yaml").facts for name in ("alder", "larch")]
    pumps = [[r.name for r in readings_of(f, load_trade()) if r.name.startswith("pump")] for f in facts]
    assert pumps == [["pump runs at an open tap and stops"], ["pump builds pressure and stops"]]


@pytest.mark.parametrize(("sample", "tyres"), [("fern", 4), ("bramble", 2), ("larch", 4)])
def test_every_tyre_has_a_reading(sample, tyres):
    vehicle = read_vehicle(SAMPLES / f"{sample}.yaml")
    asked = [r for r in readings_of(vehicle.facts, load_trade()) if r.group == "Tyres"]
    assert len({r.name for r in asked}) == len(asked) == tyres == len(vehicle.layout.wheels)
    assert {r.usual for r in asked} == {(2, 5) if vehicle.kind == "caravan" else (2.5, 6)}


def test_a_gas_pressure_of_en_437_is_usual_and_others_are_not():
    """EN 437, third family at 30 mbar: 25 to 35 mbar at the appliance (from memory)."""
    (pressure,) = [r for r in load_trade().readings if r.name == "gas pressure"]
    assert pressure.usual == (25, 35)
    assert judge_reading(pressure, "30 mbar") == judge_reading(pressure, "29,5 mbar") == ""
    assert "cannot be" in judge_reading(pressure, "3000 mbar")
    assert "not the unit" in judge_reading(pressure, "30 bar")
    assert "not a figure" in judge_reading(pressure, "fine")


def test_readings_are_known_by_their_names_whatever_the_capitals():
    readings = load_trade().readings
    assert reading_named("Tyre front-nearside", readings).name == "tyre, front nearside"
    assert reading_named("tyre", readings) is None
    assert judge_reading(reading_named("fridge on gas", readings), "5 °C after 6 h") == ""
    assert "not a figure" in judge_reading(reading_named("fridge on gas", readings), "5 °C after lunch")


def test_an_independent_reader_finds_every_field(sheet, fields_of):
    reader = pypdf.PdfReader(BytesIO(write_pdf(sheet)))
    fields = reader.get_fields()
    assert len(fields) == len(fields_of(sheet))
    assert fields["gas-locker-first"].field_type == "/Btn"
    assert fields["reading-gas-pressure-first"].value == "30 mbar"


def test_the_form_looks_empty_where_it_is_empty(sheet, fields_of):
    assert {s.item.value for s in fields_of(sheet) if s.item.kind == "tick"} == {""}


def test_long_names_and_many_points_fit(wordy, many, context_of, texts_of):
    for vehicle in (wordy, many):
        document = compose(context_of(vehicle))
        words = "".join(s.item.text for s in texts_of(document)).replace(" ", "").replace("-", "")
        assert all(p.name.replace(" ", "").replace("-", "") in words for p in vehicle.points)
        for text in texts_of(document):
            x0, y0, x1, y1 = text.box
            assert x0 >= 5 and x1 <= 205 and y0 >= 5 and y1 <= 292


def test_a_name_too_long_for_its_line_is_an_error(larch, context_of):
    checks = Checks.read({"first": {"by": "N" * 150, "on": "2026-01-02"}})
    with pytest.raises(DoesNotFit, match="shorten it"):
        compose(context_of(_with_checks(larch, checks)))
