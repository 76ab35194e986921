"""Stickers: one for each point, in the place asked for, large, never clipped; warnings beside them."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import pytest
from msgspec.structs import replace

from guidegen.documents.parts import SIGNAL_COLOURS
from guidegen.documents.stickers import compose
from guidegen.drawing.fonts import cap_height_mm
from guidegen.drawing.primitives import Rect
from guidegen.errors import GuidegenError
from guidegen.paper.labels import label_sheet, label_sheet_names, positions
from guidegen.paper.text import DoesNotFit
from guidegen.plan.numbering import numbered
from guidegen.trade.load import load_trade
from guidegen.vehicle.reading import read_vehicle

SAMPLES = Path(__file__).parents[2] / "sample_vehicles"
# The labels of a4-24 measured from its own figures: 3 × 64 + 2 × 2.5 wide and 8 × 33.9 high, in the middle.
A4_24_LEFT, A4_24_TOP = (210 - 197) / 2, (297 - 271.2) / 2


def numbers_on(found, least_pt=20):
    """The large numbers, by text."""
    return [s for s in found if s.item.text.isdigit() and s.item.size_pt >= least_pt]


@pytest.mark.parametrize("sheet", label_sheet_names())
def test_every_point_has_one_sticker_with_its_name(larch, context_of, texts_of, sheet):
    found = texts_of(compose(context_of(larch, sticker_sheet=sheet)))
    counted = Counter(int(s.item.text) for s in numbers_on(found))
    assert counted == Counter(p.number for p in larch.points)
    printed = " ".join(s.item.text for s in found)
    for point in larch.points:
        assert point.name in printed


@pytest.mark.parametrize("sheet", label_sheet_names())
def test_words_stay_on_their_label(larch, context_of, texts_of, sheet):
    labels = label_sheet(sheet)
    places = positions(labels)
    boxes = [next(places).ink for _ in range(labels.per_sheet)]
    document = compose(context_of(larch, sticker_sheet=sheet))
    for number in numbers_on(texts_of(document)):
        x0, y0, x1, y1 = number.box
        inside = [
            box for box in boxes
            if box[0] <= x0 and x1 <= box[0] + box[2] and box[1] <= y0 and y1 <= box[1] + box[3]
        ]  # fmt: skip
        assert len(inside) == 1, number.item.text


def test_first_sticker_stands_on_the_first_free_label(larch, context_of, texts_of):
    found = numbers_on(texts_of(compose(context_of(larch, sticker_start=8))))
    first = next(s for s in found if s.item.text == "1")
    x0, y0, x1, y1 = first.box
    # Label 8 is the second of the third row.
    assert x0 > A4_24_LEFT + 66.5 and x1 < A4_24_LEFT + 66.5 + 64
    assert y0 > A4_24_TOP + 2 * 33.9 and y1 < A4_24_TOP + 3 * 33.9
    assert all(s.sheet > 0 or s.box[1] > A4_24_TOP + 2 * 33.9 for s in found)


def test_a_start_off_the_sheet_is_refused(larch, context_of):
    with pytest.raises(GuidegenError, match="it has 1 to 24"):
        compose(context_of(larch, sticker_start=25))


def test_numbers_are_read_at_arms_length(larch, context_of, texts_of):
    # Capitals of 1/200 of the distance are read with ease (common practice, no source): 0.7 m gives 3.5 mm.
    for sheet, least_mm in (("a4-24", 10.0), ("a4-65", 7.0)):
        found = numbers_on(texts_of(compose(context_of(larch, sticker_sheet=sheet))))
        assert min(cap_height_mm(s.item.size_pt) for s in found) >= least_mm


@pytest.mark.parametrize("sheet", label_sheet_names())
def test_numbers_of_a_set_are_of_one_size_and_stand_on_one_line(larch, context_of, texts_of, sheet):
    found = numbers_on(texts_of(compose(context_of(larch, sticker_sheet=sheet))))
    assert len({round(s.item.size_pt, 6) for s in found}) == 1
    pitch = label_sheet(sheet).height_mm + label_sheet(sheet).gap_y_mm
    steps = {round(s.box[3] / pitch % 1, 3) for s in found}
    assert len(steps) <= 3, "one line in every row; a row by the edge may be cut by what a printer reaches"


def test_most_names_of_a_set_are_of_one_size(larch, context_of, texts_of):
    names = {p.name for p in larch.points}
    for sheet, least_pt in (("a4-24", 12.0), ("a4-65", 8.0)):
        sizes = Counter(
            s.item.size_pt
            for s in texts_of(compose(context_of(larch, sticker_sheet=sheet)))
            if s.item.text in names
        )
        size, many = sizes.most_common(1)[0]
        assert size == max(sizes) >= least_pt and many >= 0.9 * sizes.total()


@pytest.mark.parametrize("sheet", ["a4-24", "a4-24-wide"])
def test_a_name_too_long_for_one_line_takes_two_before_it_is_smaller(sheet, context_of, texts_of):
    """On a set of which all other names fit in one line."""
    vehicle = numbered(read_vehicle(SAMPLES / "hazel.yaml"))
    found = texts_of(compose(context_of(vehicle, sticker_sheet=sheet)))
    size = next(s.item.size_pt for s in found if s.item.text == "Roof light, bed")
    assert {s.item.text for s in found if s.item.size_pt == size} >= {"Carbon monoxide", "alarm"}
    assert min(cap_height_mm(s.item.size_pt) for s in numbers_on(found)) >= 17, "numbers as large as before"


def test_the_head_of_a_sheet_says_what_the_letters_of_the_systems_stand_for(larch, context_of, texts_of):
    sheets = compose(context_of(larch)).sheets
    assert all(
        "M\N{NO-BREAK SPACE}230 V electrics" in words_at_the_head(texts_of(sheet)) for sheet in sheets[:2]
    )


def words_at_the_head(found):
    return " ".join(s.item.text for s in found if s.box[3] < A4_24_TOP)


def test_a_single_line_has_as_much_white_above_it_as_two_have_together(larch, context_of, texts_of):
    """It stands in the middle of their room: labels are cut out, and each is seen alone."""
    found = texts_of(compose(context_of(larch)))
    first, second, single = (
        next(s.item.y % 33.9 for s in found if s.item.text == text and s.item.size_pt > 10)
        for text in ("Gas isolation valve,", "combined heater", "Fridge control")
    )
    assert single == pytest.approx((first + second) / 2, abs=0.01)


def test_a_name_is_broken_behind_its_comma(larch, context_of, texts_of):
    words = [s.item.text for s in texts_of(compose(context_of(larch)))]
    assert "Gas isolation valve," in words and "combined heater" in words


def test_what_qualifies_a_word_stands_with_it(larch, context_of, texts_of):
    """No line ends within "carbon monoxide", "battery charger" or "AUS 32"."""
    found = [s.item.text for s in texts_of(compose(context_of(larch)))]
    for pair, broken in (
        ("Battery charger", "charger switch"),
        ("Carbon monoxide", "monoxide alarm"),
        ("(AUS 32) filler", "Exhaust fluid (AUS"),
    ):
        assert pair in " / ".join(found)
        assert broken not in found


@pytest.mark.parametrize("sample", ["alder", "hazel", "larch", "willow"])
def test_words_keep_clear_of_the_cut_and_of_their_frame(sample, context_of, texts_of, seen):
    """A sheet fed 1 mm askew loses no letter: names end 1.7 mm from the cut, warnings from their frame."""
    document = compose(context_of(read_vehicle(SAMPLES / f"{sample}.yaml")))
    cuts = [A4_24_LEFT + n * 66.5 + 64 for n in range(3)]
    names = [s for s in texts_of(document) if s.item.weight == "bold" and s.item.size_pt < 28]
    panels = [s for s in seen(document) if isinstance(s.item, Rect) and s.item.style.width_mm in (0.35, 0.8)]
    assert names and panels
    for s in texts_of(document):
        x0, y0, x1, y1 = s.box
        frame = next(
            (
                p.box for p in panels
                if p.sheet == s.sheet and p.box[0] < x0 < p.box[2] and p.box[1] < y0 < p.box[3]
            ), None,
        )  # fmt: skip
        if frame:
            assert x1 <= frame[2] - 1.7 and y1 <= frame[3] - 0.9, s.item.text
        elif s in names:
            assert x1 <= next(cut for cut in cuts if cut > x0) - 1.7, s.item.text


def test_points_and_warnings_are_chosen_by_id_or_number(larch, context_of, texts_of):
    pump = larch.point("pump-switch")
    assert pump
    document = compose(context_of(larch, sticker_points=(pump.id, "3", "carbon-monoxide"), sticker_copies=2))
    found = texts_of(document)
    assert Counter(s.item.text for s in numbers_on(found)) == {str(pump.number): 2, "3": 2}
    assert sum(s.item.text == "DANGER" for s in found) == 2
    with pytest.raises(GuidegenError, match="no point or warning “pump-swich”"):
        compose(context_of(larch, sticker_points=("pump-swich",)))


def test_one_keep_clear_sticker_for_each_drop_vent(larch, context_of, texts_of):
    printed = Counter(s.item.text for s in texts_of(compose(context_of(larch))))
    assert printed["Drop vent, keep clear"] == len(larch.of_kind("gas-drop-vent")) == 4


@pytest.mark.parametrize("sheet", label_sheet_names())
def test_warnings_are_read_without_glasses(larch, context_of, texts_of, sheet):
    """8.5 pt at least, as the steps of the card; 7.5 pt for the signal word alone, which is bold."""
    names = tuple(load_trade().stickers)
    found = texts_of(compose(context_of(larch, sticker_sheet=sheet, sticker_points=names)))
    signals = {"DANGER", "WARNING", "CAUTION", "NOTICE"}
    words = [s for s in found if s.item.text[0].isalnum() and s.box[1] > 20 and s.box[3] < 285]
    printed = " ".join(s.item.text for s in words)
    assert "Connect in this order" in printed and "Drop vent" in printed
    assert min(s.item.size_pt for s in words if s.item.text not in signals) >= 8.5
    assert min(s.item.size_pt for s in words if s.item.text in signals) >= 7.5


def test_a_danger_stands_out_in_a_grey_print_too(larch, context_of, seen):
    edges = {
        name: [
            (item.item.style.width_mm, item.item.style.stroke)
            for item in seen(compose(context_of(larch, sticker_points=(name,))))
            if isinstance(item.item, Rect) and item.item.style.stroke and item.item.width > 50
        ]
        for name in ("gas-leak-cylinders", "drop-vent")
    }
    (danger,), (warning, *_) = edges.values()
    assert danger[0] > 2 * warning[0] and danger[1] == SIGNAL_COLOURS["danger"].ground


def test_hook_up_stickers_keep_the_order_of_the_user_instruction(larch, context_of, texts_of):
    """BS 7671, section 721, "Instructions for electricity supply": off, inlet, outlet, on, test.

    The lead is uncoiled before it is plugged in, as the step of the guide says it.
    """
    wanted = ("hook-up-connect", "hook-up-disconnect")
    words = [s.item.text for s in texts_of(compose(context_of(larch, sticker_points=wanted)))]
    order = [
        "off.",
        "Uncoil",
        "Connector into",
        "Plug into",
        "on.",
        "RCD",
        "off.",
        "Plug out",
        "Connector out",
    ]
    at = -1
    for part in order:
        at = next(n for n, word in enumerate(words) if n > at and part in word)
    unit = larch.of_kind("consumer-unit")[0]
    assert f"Main switch ({unit.number}) off." in words


def test_system_drained_is_a_tag_with_room_for_date_and_name(larch, context_of, texts_of):
    words = [s.item.text for s in texts_of(compose(context_of(larch)).sheets[-1])]
    assert "System drained" in words
    assert {"Date", "By"} <= set(words)


@pytest.mark.parametrize(("sample", "hob"), [("hazel", False), ("willow", True)])
def test_nobody_is_warned_of_a_gas_hob_that_is_not_there(sample, hob, context_of, texts_of):
    context = context_of(read_vehicle(SAMPLES / f"{sample}.yaml"))
    context = replace(context, trade=context.trade.of(context.vehicle.facts))
    words = " ".join(s.item.text for s in texts_of(compose(context)))
    assert "Carbon monoxide" in words
    assert ("heat with the hob" in words) is hob
    assert "a heater in a garage" in words  # both burn fuel for heat
    assert context.trade.cautions["co"].text in words  # the same words as in guide, card and handover


@pytest.mark.parametrize(("sample", "said"), [("hazel", "in the pipes"), ("willow", "in the heater")])
def test_the_tag_of_a_drained_system_names_what_there_is(sample, said, context_of, texts_of):
    context = context_of(read_vehicle(SAMPLES / f"{sample}.yaml"))
    words = " ".join(s.item.text for s in texts_of(compose(context).sheets[-1]))
    assert (
        said in words and "tank" not in words
    )  # water comes from a container, or the heater is what freezes


def test_nothing_burns_no_gas_stickers(few, context_of, texts_of):
    bare = replace(few, facts=frozenset())
    words = {s.item.text for s in texts_of(compose(context_of(bare)))}
    assert not words & {"DANGER", "WARNING"}


def test_long_names_shrink_and_wrap_and_are_never_cut(wordy, context_of, texts_of):
    found = texts_of(compose(context_of(wordy)))
    printed = "".join(s.item.text.rstrip("-") for s in found).replace(" ", "")
    for point in wordy.points:
        assert point.name.replace(" ", "") in printed
    assert min(s.item.size_pt for s in found) >= 7


def test_a_name_that_cannot_fit_is_an_error_that_says_so(larch, context_of):
    named = replace(larch.points[0], name="Valve " * 33)
    with pytest.raises(DoesNotFit, match="shorten it"):
        compose(context_of(replace(larch, points=(named,)), sticker_sheet="a4-65"))


def test_check_bar_where_the_sheet_has_room(larch, context_of, texts_of):
    # Eight rows of 36 mm leave 4.5 mm above and below: no room that a printer could reach.
    for sheet, room in (("a4-24", True), ("a4-24-wide", False)):
        document = compose(context_of(larch, sticker_sheet=sheet))
        caption = any("100 mm" in s.item.text for s in texts_of(document.sheets[0]))
        assert caption is room
