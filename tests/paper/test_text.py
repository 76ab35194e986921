"""Setting text: nothing too wide, nothing lost, numbers with their units, breaks where they read best."""

from __future__ import annotations

import re

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from guidegen.drawing.fonts import text_width_mm
from guidegen.drawing.primitives import Link, Text
from guidegen.paper.text import (
    DoesNotFit,
    Span,
    TextStyle,
    balance,
    fit_size,
    height_mm,
    line_count,
    plain,
    unwrap,
    wrap,
)

STYLE = TextStyle(8.5)
WORDS = st.one_of(
    st.text(alphabet="abcdefghijklmnopqrstuvwxyzäöüß", min_size=1, max_size=12),
    st.sampled_from(["12 V", "16 A", "230 V", "30 mbar", "hook-up", "drop-vent", "5 °C", "on/off", "4", "a"]),
)
TEXTS = st.lists(WORDS, min_size=1, max_size=40).map(" ".join)
SPANS = st.lists(
    st.builds(
        Span,
        TEXTS.map(lambda t: t + " "),
        st.sampled_from([None, "bold"]),
        st.sampled_from([None, "#9b1c1f"]),
    ),
    min_size=1,
    max_size=4,
).map(tuple)
WIDTHS = st.floats(min_value=30, max_value=180)


def drawn_width(line):
    """As the drawn pieces say, not as the line says."""
    items = [item for item in line.draw(0, 0) if isinstance(item, Text)]
    return max(item.x + text_width_mm(item.text, item.size_pt, item.weight) for item in items)


@settings(deadline=None, max_examples=150)
@given(st.one_of(TEXTS, SPANS), WIDTHS, st.sampled_from(["", "de-DE", "en-GB"]))
@example("Frischwassertankentleerungsventil und mehr", 30.0, "de-DE")
def test_no_line_is_wider_than_the_width_and_the_text_is_whole(words, width, language):
    lines = wrap(words, width, TextStyle(8.5, language=language))
    assert all(drawn_width(line) <= width + 1e-6 for line in lines)
    assert plain(unwrap(lines)).split() == plain(words).split()


@settings(deadline=None, max_examples=150)
@given(st.one_of(TEXTS, SPANS), st.floats(min_value=12, max_value=180), st.sampled_from(["", "de-DE"]))
@example("Frischwassertankentleerungsventil und mehr", 30.0, "de-DE")
@example("one\ntwo three", 12.0, "")
@example("mains-hook-up-cable of the awning", text_width_mm("mains-hook", 8.5), "")
def test_lines_are_counted_as_they_are_set(words, width, language):
    style = TextStyle(8.5, language=language)
    try:
        lines = wrap(words, width, style)
    except DoesNotFit as error:
        with pytest.raises(DoesNotFit, match=re.escape(str(error))):
            line_count(words, width, style)
    else:
        assert line_count(words, width, style) == len(lines)


PLAIN_WORDS = st.lists(st.text(alphabet="abcdefghijklmnop", min_size=3, max_size=9), min_size=1, max_size=9)


@settings(deadline=None, max_examples=100)
@given(PLAIN_WORDS, st.floats(min_value=22, max_value=60))
def test_of_all_ways_to_break_ours_has_the_fewest_lines_and_the_least_white(words, width):
    """Against every way there is, as far as it does not leave one word alone on the last line."""
    ours = [line.text.split() for line in wrap(" ".join(words), width, STYLE)]
    ways = list(ways_to_break(words, width))
    fewest = min(len(way) for way in ways)
    rivals = [way for way in ways if len(way) == fewest and len(way[-1]) > 1]
    assert ours in ways and len(ours) == fewest
    assert all(white(ours, width) <= white(way, width) + 1e-9 for way in rivals)


def ways_to_break(words, width):
    if not words:
        yield []
    for count in range(1, len(words) + 1):
        if text_width_mm(" ".join(words[:count]), 8.5) > width:
            break
        for rest in ways_to_break(words[count:], width):
            yield [words[:count], *rest]


def white(way, width):
    """The squared white space of all lines but the last."""
    return sum((width - text_width_mm(" ".join(words), 8.5)) ** 2 for words in way[:-1])


def test_breaks_are_weighed_together():
    """The textbook example of least raggedness (from memory): first fit sets "aaa bb / cc / ddddd"."""
    words = "aaa bb cc ddddd"
    width = text_width_mm("aaa bb", 8.5) + 0.01
    texts = [line.text for line in wrap(words, width, STYLE)]
    assert texts == ["aaa", "bb cc", "ddddd"]


@pytest.mark.parametrize(
    "pair",
    ["16 A", "230 V", "12 V", "2.5 mm²", "30 mbar", "5 °C", "80 %", "1.5 kWh", "25 m", "2 minutes", "100 l"],
)
@pytest.mark.parametrize("width", range(24, 60, 3))
def test_a_number_stays_with_its_unit(pair, width):
    """ISO 80000-1, 7.1.4: a space stands between number and unit; a line must not break there."""
    text = f"The supply gives at most {pair} and then, later on, exactly {pair} again"
    joined = "\n".join(line.text for line in wrap(text, width, STYLE))
    assert joined.count(pair) == 2


@pytest.mark.parametrize("pair", ["AUS 32", "ISO 7010", "RCD 16"])
@pytest.mark.parametrize("width", range(24, 60, 3))
def test_a_number_stays_with_the_capitals_before_it(pair, width):
    text = f"The sign is that of {pair} and the other, later on, is of {pair} again"
    joined = "\n".join(line.text for line in wrap(text, width, STYLE))
    assert joined.count(pair) == 2


def test_a_number_stays_with_its_unit_across_spans():
    words = (Span("At most "), Span("16", "bold"), Span(" A and no more than that"))
    for width in range(20, 50):
        assert any("16 A" in line.text for line in wrap(words, width, STYLE))


def test_a_short_word_is_not_left_alone_where_that_can_be_helped():
    text = "Turn the handle of the drain until it stops and the water runs out of it"
    for width in range(30, 90):
        lines = wrap(text, width, STYLE)
        assert len(lines) == 1 or len(lines[-1].text.split()) > 1


@pytest.mark.parametrize("last", ["Leave it open.", "Stow it.", "Close the bag."])
@pytest.mark.parametrize("width", range(28, 90, 2))
def test_a_short_last_sentence_is_read_at_one_glance(last, width):
    texts = [line.text for line in wrap(f"Open the drain of the fresh tank. {last}", width, STYLE)]
    assert last in texts[-1]


def test_a_short_last_sentence_may_have_a_line_of_its_own():
    first, last = "Open the drain of the fresh tank.", "Leave it open."
    lines = wrap(f"{first} {last}", text_width_mm(first, 8.5) + 1.0, STYLE)
    assert [line.text for line in lines] == [first, last]


def test_a_longer_last_sentence_breaks_as_any_text():
    texts = [line.text for line in wrap("Close it. Then go on to the drain.", 30.0, STYLE)]
    assert len(texts) == 2
    assert "Then" in texts[0]


def test_hyphens_of_the_word_are_places_to_break():
    texts = [line.text for line in wrap("habitation-door-lock", 20, STYLE)]
    assert len(texts) > 1 and "".join(texts) == "habitation-door-lock"


def test_a_long_german_word_is_hyphenated_where_duden_does():
    """Syllables after Duden (from memory): Was·ser·hei·zungs·ab·lass·ven·til, Frisch·was·ser·tank."""
    for word, syllables in {
        "Wasserheizungsablassventil": "Was ser hei zungs ab lass ven til",
        "Frischwassertank": "Frisch was ser tank",
    }.items():
        ends = {len("".join(syllables.split()[:n])) for n in range(1, len(syllables.split()))}
        lines = wrap(word, 20, TextStyle(10, language="de-DE"))
        assert len(lines) > 1
        at = 0
        for line in lines[:-1]:
            assert line.text.endswith("-")
            at += len(line.text) - 1
            assert at in ends


def test_soft_hyphens_are_places_to_break():
    texts = [line.text.replace("\u00ad", "") for line in wrap("Schalter\u00adleiste", 15, STYLE)]
    assert texts == ["Schalter-", "leiste"]


def test_what_does_not_fit_says_by_how_much():
    word = "unhyphenatable"
    with pytest.raises(DoesNotFit) as error:
        wrap(f"an {word} word", 10, STYLE)
    over = text_width_mm(word, 8.5) - 10
    assert error.value.over_mm == pytest.approx(over)
    assert f"{over:.1f} mm" in str(error.value) and word in str(error.value)
    shorter = word[: -error.value.characters]
    assert text_width_mm(shorter, 8.5) <= 10 < text_width_mm(word[: 2 - error.value.characters], 8.5)


def test_newlines_break_and_empty_text_gives_no_line():
    assert [line.text for line in wrap("one\ntwo three", 100, STYLE)] == ["one", "two three"]
    assert wrap("", 100, STYLE) == () == wrap("  \n ", 100, STYLE)
    assert plain(unwrap(wrap("one\ntwo", 100, STYLE))) == "one\ntwo"


def test_lines_add_up_to_the_height():
    lines = wrap("one two three four five six seven", 30, STYLE)
    # Leading 1.3 of 8.5 pt; a point is 25.4/72 mm.
    assert height_mm(lines) == pytest.approx(len(lines) * 8.5 * 1.3 * 25.4 / 72)


def test_balanced_lines_are_as_many_and_more_alike():
    words = "Before you drive away from the pitch and out"
    plain_lines, equal = wrap(words, 55, STYLE), balance(words, 55, STYLE)
    assert len(equal) == len(plain_lines) == 2
    difference = [abs(one.width_mm - two.width_mm) for one, two in (plain_lines, equal)]
    assert difference[1] < difference[0] / 2


def test_a_label_shrinks_no_further_than_it_needs_and_never_under_seven_points():
    text = "Fresh water drain"
    width = text_width_mm(text, 8.0)
    fitted = fit_size(text, width, TextStyle(10))
    assert fitted.size_pt == 8.0
    assert fit_size(text, 100, TextStyle(10)).size_pt == 10
    with pytest.raises(DoesNotFit):
        fit_size(text, text_width_mm(text, 6.9), TextStyle(10), smallest_pt=5)
    with pytest.raises(ValueError):
        TextStyle(6.9)


@pytest.mark.parametrize(("anchor", "left"), [("start", 50), ("middle", 45), ("end", 40)])
def test_lines_stand_at_their_anchor_and_carry_links(anchor, left):
    (line,) = wrap((Span("See "), Span("page 3", "bold", target="#p3")), 80, STYLE)
    text, bold, link = line.draw(50, 20, anchor)
    assert text.x == pytest.approx(50 - (50 - left) / 10 * line.width_mm)
    assert bold.text == "page 3" and bold.weight == "bold" and bold.y == 20
    assert isinstance(link, Link) and link.target == "#p3" and link.x == bold.x
    assert link.width == pytest.approx(text_width_mm("page 3", 8.5, "bold"))
