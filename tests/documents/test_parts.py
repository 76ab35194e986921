"""Common parts: badges, step rows, cautions, key rows, footers."""

from __future__ import annotations

from colorsys import rgb_to_hsv

import pytest

from guidegen.documents.parts import (
    BADGE_MM,
    CAUTION_GROUND,
    INK,
    KEY_BAR_MM,
    SIGNAL_COLOURS,
    SOFT_INK,
    CautionBox,
    KeyRow,
    StepRow,
    badge,
    badges,
    footer,
    scale_bar,
    signal_word,
    tick_box,
)
from guidegen.drawing.fonts import cap_height_mm, text_width_mm
from guidegen.drawing.primitives import WHITE, Circle, Group, Line, Link, Rect, Text
from guidegen.paper.marks import NOTE_STYLE
from guidegen.paper.text import DoesNotFit, Span


def flat(items, dx=0.0, dy=0.0):
    """All primitives with the shift of the groups they stand in."""
    for item in items:
        if isinstance(item, Group):
            e, f = item.transform[4:] if item.transform else (0.0, 0.0)
            yield from flat(item.items, dx + e, dy + f)
        else:
            yield item, dx, dy


def texts(items):
    return {
        item.text: (item.x + dx, item.y + dy, item) for item, dx, dy in flat(items) if isinstance(item, Text)
    }


def luminance(colour):
    """Relative luminance, WCAG 2.2."""
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    return sum(
        weight * (part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4)
        for weight, part in zip((0.2126, 0.7152, 0.0722), parts, strict=True)
    )


def grey(colour):
    """As a black-and-white printer mixes it, ITU-R BT.601."""
    level = sum(w * int(colour[i : i + 2], 16) for w, i in zip((0.299, 0.587, 0.114), (1, 3, 5), strict=True))
    return f"#{round(level):02x}" + f"{round(level):02x}" * 2


def contrast(one, other):
    """Contrast ratio, WCAG 2.2."""
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


PAIRS = [(c.text, c.ground) for c in SIGNAL_COLOURS.values()] + [
    ("#000000", CAUTION_GROUND),
    (INK, WHITE),
    (SOFT_INK, WHITE),
    (NOTE_STYLE.colour, WHITE),
]


@pytest.mark.parametrize(("text", "ground"), PAIRS)
def test_text_stands_out_seven_to_one_in_colour_and_in_grey(text, ground):
    assert contrast(text, ground) >= 7  # WCAG 2.2, success criterion 1.4.6
    assert contrast(grey(text), grey(ground)) >= 7


@pytest.mark.parametrize("number", [1, 12, 128, "7a"])
def test_a_badge_holds_its_number_with_room_to_spare(number):
    ring, text = badge(number, 20, 30)
    assert ring.css == "badge" and ring.style.fill == WHITE
    width = 2 * ring.radius if isinstance(ring, Circle) else ring.width
    assert text_width_mm(str(number), text.size_pt, "bold") <= width - ring.style.width_mm - 0.4
    middle = text.y - cap_height_mm(text.size_pt) / 2
    assert (text.x, middle) == pytest.approx((20, 30))
    assert text.size_pt == 8.5
    if isinstance(ring, Circle):
        assert 2 * ring.radius + ring.style.width_mm == pytest.approx(BADGE_MM)


def test_badges_do_not_touch():
    rings = [i for i in badges((1, 2, 3, 104), 2).items if not isinstance(i, Text)]
    boxes = [
        (i.x - i.radius, i.y - i.radius, i.x + i.radius, i.y + i.radius)
        if isinstance(i, Circle)
        else (i.x, i.y, i.x + i.width, i.y + i.height)
        for i in rings
    ]
    for n, one in enumerate(boxes):
        for other in boxes[n + 1 :]:
            assert one[2] < other[0] or other[2] < one[0] or one[3] < other[1] or other[3] < one[1]


def test_a_step_row_shows_box_number_action_place_and_check_in_that_order():
    row = StepRow(
        action="Open the gas cylinder.",
        numbers=(4,),
        place="Outside, gas locker",
        check="The gauge shows pressure.",
    )
    found = texts(row.draw(0, 0, 93))
    assert found["Open the gas cylinder."][2].weight == "bold"
    assert found["Outside, gas locker"][2].weight == "regular"
    y = [found[t][1] for t in ("Open the gas cylinder.", "Outside, gas locker", "The gauge shows pressure.")]
    assert y == sorted(y)
    assert found["4"][1] == pytest.approx(y[0])  # the number stands on the action's baseline
    box = next((i, dx) for i, dx, _ in flat(row.draw(0, 0, 93)) if isinstance(i, Rect))
    assert box[1] + box[0].x + box[0].width < found["4"][0] < found["Open the gas cylinder."][0]
    assert any(isinstance(i, Line) for i, _, _ in flat(row.draw(0, 0, 93)))  # the tick is drawn, not typed


def test_texts_of_step_rows_start_alike_whatever_the_count_of_badges():
    starts = {
        texts(StepRow(action="Act.", numbers=numbers).draw(0, 0, 93))["Act."][0]
        for numbers in ((), (1,), (1, 2), (1, 2, 3), (101,))
    }
    assert len(starts) == 1


@pytest.mark.parametrize("signal", ["danger", "warning", "caution", "notice"])
def test_a_caution_shows_its_signal_word_before_its_text_and_stays_with_its_step(signal):
    box = CautionBox(signal=signal, sign="w001", text="Never heat an empty water heater.")
    found = texts(box.draw(0, 0, 93))
    assert found[signal.upper()][1] < found["Never heat an empty water heater."][1]
    assert box.keep_with_next and box.split(93, 5) is None
    ground = next(i for i, _, _ in flat(box.draw(0, 0, 93)) if isinstance(i, Rect))
    assert ground.height <= box.height_mm(93)


@pytest.mark.parametrize(
    ("signal", "low", "high"),
    [("danger", -10, 10), ("warning", 20, 40), ("caution", 40, 60), ("notice", 200, 225)],
)
def test_signal_words_have_the_grounds_of_the_standard(signal, low, high):
    """ISO 3864-2: red, orange, yellow; ANSI Z535.6: blue. Hues in degrees, from memory."""
    ground = signal_word(signal).items[0].style.fill
    hue = 360 * rgb_to_hsv(*(int(ground[i : i + 2], 16) / 255 for i in (1, 3, 5)))[0]
    assert low <= (hue if hue <= 300 else hue - 360) <= high


def test_a_key_row_has_bar_badge_symbol_name_and_place():
    row = KeyRow(
        number=12,
        name_text="Pump switch",
        place="Above the door",
        symbol_name="pump-switch",
        colour="#00609c",
        target="#p",
    )
    items = row.draw(5, 7, 90)
    bar = items[0]
    assert (bar.x, bar.y, bar.width, bar.height) == (5, 7, KEY_BAR_MM, row.height_mm(90))
    assert bar.style.fill == "#00609c"
    found = texts(items)
    assert found["12"][0] < found["Pump switch"][0] == found["Above the door"][0]
    assert any(isinstance(i, Link) and i.target == "#p" for i, _, _ in flat(items))


@pytest.mark.parametrize("number", [1, 42, 853])
def test_a_key_row_has_room_for_the_longest_number(number: int):
    row = KeyRow(number=number, name_text="Pump switch", symbol_name="aerial")
    texts = [(t.text, t.x + dx) for t, dx, _ in flat(row.draw(0, 0, 80)) if isinstance(t, Text)]
    assert texts[0][0] == str(number)
    right = KEY_BAR_MM + 1.8 + max(BADGE_MM, badges((number,)).width)
    assert all(x >= right for text, x in texts if text != str(number))


def test_spans_of_a_name_keep_their_weight():
    row = KeyRow(number=1, name_text=(Span("Tap "), Span("(hot)", "regular")))
    assert texts(row.draw(0, 0, 80))["(hot)"][2].weight == "regular"


def test_a_footer_shrinks_to_seven_points_and_then_says_so():
    left, page = footer("A guide", "3 of 8", 10, 200, 90)
    assert (left.x, page.x, page.anchor) == (10, 100, "end")
    long = "A guide with a name of some length " * 2
    (shrunk, _) = footer(long, "3", 0, 0, text_width_mm(long, 7.1) + 4 + text_width_mm("3", 7.5))
    assert 7 <= shrunk.size_pt < 7.5
    with pytest.raises(DoesNotFit, match="footer"):
        footer(long * 3, "3", 0, 0, 90)


def test_a_scale_bar_is_as_long_as_it_says():
    bar = scale_bar(25, 10, 20, metres=2)
    assert bar.items[0].width == 50
    assert bar.items[-1].text == "2 m"


def test_a_tick_box_is_as_large_outside_as_asked():
    box = tick_box(0, 0, 3.4)
    assert box.width + box.style.width_mm == pytest.approx(3.4)
