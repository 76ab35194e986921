"""The folded card: everything on it, in the smallest fold, with the places in few words."""

from __future__ import annotations

import re
from itertools import pairwise
from pathlib import Path

import pytest
from msgspec.structs import replace

from guidegen.documents.card import CardTooFullError, compose
from guidegen.documents.card_panels import Panels
from guidegen.documents.card_rows import short_place
from guidegen.documents.context import Context, Options
from guidegen.documents.parts import StepRow
from guidegen.documents.steps import StepLook, says_place, step_blocks
from guidegen.drawing.primitives import Group, Item, Rect, Style, Text
from guidegen.paper.blocks import Heading
from guidegen.paper.flow import Frame
from guidegen.paper.folds import fold
from guidegen.paper.text import TextStyle
from guidegen.plan.numbering import numbered
from guidegen.trade.load import load_trade
from guidegen.vehicle.reading import read_vehicle, vehicle_from_text

SAMPLES = sorted((Path(__file__).parents[2] / "sample_vehicles").glob("*.yaml"))


def card_of(path: Path, scheme: str = "auto") -> tuple[Context, list[str]]:
    """The context, and what is written on the front and the back."""
    context = Context(numbered(read_vehicle(path)), load_trade(), (), Options(fold=scheme))
    return context, [" ".join(words(sheet.items)) for sheet in compose(context).sheets]


def words(items: tuple[Item, ...]) -> list[str]:
    found: list[str] = []
    for item in items:
        if isinstance(item, Text):
            found.append(item.text)
        elif isinstance(item, Group):
            found += words(item.items)
    return found


def one_text(text: str) -> str:
    """Without the spaces at line ends, which a line break swallows."""
    return "".join(text.split())


@pytest.fixture(scope="module", params=SAMPLES, ids=lambda path: path.stem)
def printed(request: pytest.FixtureRequest) -> tuple[Context, list[str]]:
    return card_of(request.param)


class TestEverySample:
    def test_fits_the_quarter_fold_with_the_plan_on_its_back(
        self, printed: tuple[Context, list[str]]
    ) -> None:
        context, (_, back) = printed
        sheets = compose(context).sheets
        assert (sheets[0].width_mm, sheets[0].height_mm) == (210.0, 297.0)
        assert sheets[0].description == fold("quarter").title
        numbers = {word for word in back.split() if word.isdigit()}
        assert {str(point.number) for point in context.vehicle.points} <= numbers

    def test_has_every_step_of_arriving_and_leaving_with_its_numbers(
        self, printed: tuple[Context, list[str]]
    ) -> None:
        context, (front, _) = printed
        numbers = {point.id: point.number for point in context.vehicle.points}
        told = front.split()
        for name in ("arrive", "leave"):
            for step in context.sequences.sequences[name].steps:
                bare = one_text(front)
                for sentence in step.text.split(". "):
                    assert one_text(sentence)[:20] in bare, step.step
                assert all(str(numbers[point]) in told for point in step.points), step.step

    def test_has_every_caution_of_its_steps(self, printed: tuple[Context, list[str]]) -> None:
        context, (front, _) = printed
        bare = one_text(front)
        steps = [s for n in ("arrive", "leave") for s in context.sequences.sequences[n].steps]
        for id in dict.fromkeys(id for step in steps for id in step.cautions):
            if id == "drive-height":  # answered on the cover, with the figures of the vehicle
                height = context.vehicle.figures.sizes.height
                assert height and f"Height{height / 1000:.2f}m" in bare
            else:
                assert one_text(context.trade.cautions[id].text) in bare, id

    def test_has_the_dangers_that_the_vehicle_brings(self, printed: tuple[Context, list[str]]) -> None:
        context, (front, _) = printed
        assert "carbon monoxide" in front
        assert ("If you smell gas" in front) == ("gas" in context.vehicle.facts)


def test_a_caution_stands_before_its_step() -> None:
    _, (front, _) = card_of(SAMPLES[0].with_stem("larch"))
    assert front.index("Use only a dry, undamaged lead") < front.index("push the lead's connector")
    assert front.index("LPG is heavier than air") < front.index("Open the valve of each gas cylinder")


@pytest.mark.parametrize("scheme", ["quarter", "slit-booklet", "thirds", "half"])
def test_every_tick_box_takes_a_ball_pen_in_a_wet_hand(scheme: str) -> None:
    """3.5 mm from edge to edge, and never one on another (no source)."""
    context, _ = card_of(SAMPLES[1], scheme)
    found = 0
    for sheet in compose(context).sheets:
        for panel in (item for item in sheet.items if isinstance(item, Group)):
            boxes = sorted(tick_boxes(panel.items), key=lambda box: (round(box[0]), box[1]))
            found += len(boxes)
            assert all(side >= 3.5 for _, _, side in boxes)
            same = [(a, b) for a, b in pairwise(boxes) if round(a[0]) == round(b[0])]
            assert all(a[1] + a[2] < b[1] - 0.1 for a, b in same)
    assert found > 40


def tick_boxes(items: tuple[Item, ...]) -> list[tuple[float, float, float]]:
    """x, y and side of the small squares with ink about nothing, the line included."""
    found: list[tuple[float, float, float]] = []
    for item in items:
        match item:
            case Rect(style=Style(fill="#ffffff", width_mm=line)) if item.width == item.height < 6:
                found.append((item.x - line / 2, item.y - line / 2, item.width + line))
            case Group():
                dx, dy = item.transform[4:] if item.transform else (0.0, 0.0)
                found += [(x + dx, y + dy, side) for x, y, side in tick_boxes(item.items)]
    return found


def test_no_step_text_is_smaller_than_eight_and_a_half_points() -> None:
    context, _ = card_of(SAMPLES[0].with_stem("larch"))
    texts = [item for item in _flat(compose(context).sheets[0].items) if isinstance(item, Text)]
    actions = [text for text in texts if text.weight == "bold" and text.text.startswith("Close ")]
    assert actions and all(text.size_pt >= 8.5 for text in actions)


def _flat(items: tuple[Item, ...]) -> list[Item]:
    found: list[Item] = []
    for item in items:
        found += _flat(item.items) if isinstance(item, Group) else [item]
    return found


class TestRoom:
    def test_quick_help_and_figures_stand_where_the_fold_has_room(self) -> None:
        _, sides = card_of(SAMPLES[0].with_stem("hazel"), "half")
        assert "When something does not work" in " ".join(sides)
        assert "In figures" in " ".join(sides)

    def test_lay_up_stands_on_a_panel_of_its_own(self) -> None:
        _, sides = card_of(SAMPLES[0].with_stem("hazel"), "thirds")
        assert "Lay up for winter" in " ".join(sides)
        front, back = sides
        # The last panel that is read is on the front, under the check bar: no step of the lay-up spills there.
        assert one_text("Hang the tag") in one_text(back) and one_text("Hang the tag") not in one_text(front)

    @pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
    def test_eight_small_pages_hold_a_whole_card(self, path: Path) -> None:
        context, (front, _) = card_of(path, "slit-booklet")
        bare = one_text(front)
        dealer = context.vehicle.dealer
        assert dealer and one_text(dealer.name) in bare and one_text(dealer.phone or "") in bare
        assert all(one_text(number) in bare for number in dealer.emergency.values())
        for name in ("arrive", "leave"):
            for step in context.sequences.sequences[name].steps:
                assert one_text(step.text)[:20] in bare, step.step
        assert ("Ifyousmellgas" in bare) == ("gas" in context.vehicle.facts)

    @pytest.mark.parametrize("sample", ["sorrel"])
    def test_a_step_or_two_do_not_stand_alone_on_a_panel(self, sample: str) -> None:
        """In the roomiest setting a last step or two of arriving would open a third panel."""
        context = Context(
            numbered(read_vehicle(SAMPLES[0].with_stem(sample))), load_trade(), (), Options(fold="thirds")
        )
        front, back = (" ".join(words(sheet.items)) for sheet in compose(context).sheets)
        second = one_text(back)
        # Six panels: the back has the first of arriving, then both of leaving.
        assert second.index("Arrive") < second.index("Leave") < second.index(one_text("start the engine"))
        assert one_text(context.sequences.sequences["arrive"].steps[-1].text)[:20] in one_text(front)

    @pytest.mark.parametrize(
        ("scheme", "roomier"),
        [
            ("slit-booklet", ["thirds", "half"]),
            ("quarter", ["thirds", "half"]),
            ("auto", ["half"]),
            ("half", []),
        ],
    )
    def test_a_card_that_fits_nowhere_says_what_to_do(self, scheme: str, roomier: list[str]) -> None:
        vehicle = numbered(read_vehicle(SAMPLES[0].with_stem("larch")))
        wordy = replace(vehicle, name="Wohnmobil" * 20)
        context = Context(wordy, load_trade(), (), Options(fold=scheme))
        with pytest.raises(CardTooFullError) as caught:
            compose(context)
        assert re.findall(r"--fold ([a-z-]+)", str(caught.value)) == roomier

    @pytest.mark.parametrize(("sample", "scheme"), [("bramble", "quarter"), ("hazel", "slit-booklet")])
    def test_a_panel_that_begins_amid_a_sequence_says_which(self, sample: str, scheme: str) -> None:
        _, (front, _) = card_of(SAMPLES[0].with_stem(sample), scheme)
        assert "Arrive, continued" in front and "Leave, continued" in front

    def test_so_does_the_fullest_card_on_the_panels_that_have_room_for_it(self) -> None:
        _, (front, _) = card_of(SAMPLES[0].with_stem("bramble"), "slit-booklet")
        assert front.count(", continued") == 5

    @pytest.mark.parametrize("scheme", ["quarter", "slit-booklet"])
    def test_a_sequence_begins_a_panel_where_a_little_closer_makes_that_so(self, scheme: str) -> None:
        context = Context(
            numbered(read_vehicle(SAMPLES[0].with_stem("hazel"))), load_trade(), (), Options(fold=scheme)
        )
        panels = [words((item,)) for sheet in compose(context).sheets for item in sheet.items]
        assert sum("Leave" in panel for panel in panels) == 1
        assert sum(panel[:1] == ["Leave"] for panel in panels) == 1

    def test_a_panel_that_nothing_fills_has_lines_for_notes(self) -> None:
        bare = vehicle_from_text(
            "guidegen: 1\nid: bare\nname: Bare\nkind: campervan\nsteering: right\nlayout: van-short\npoints: []\n",
            Path(),
        )
        context = Context(numbered(bare), load_trade(), (), Options(fold="thirds"))
        empty = [word for sheet in compose(context).sheets for word in words(sheet.items)]
        full = card_of(SAMPLES[0].with_stem("larch"), "thirds")[1]
        assert "Notes" in empty and not any("Notes" in sheet.split() for sheet in full)

    def test_the_first_panel_keeps_no_room_for_a_line_it_does_not_have(self) -> None:
        lone = tuple(Frame(0.0, 10.0 * n, 50.0, 20.0) for n in range(3))
        rows = [Heading(text="x", style=TextStyle(20.0), keep_with_next=False)] * 3
        kept, free = Panels(lone, 9.0).flow(rows), Panels(lone).flow(rows)
        assert [page[0].y - frame.y for page, frame in zip(kept, lone, strict=True)] == [0.0, 9.0, 9.0]
        assert all(page[0].y == frame.y for page, frame in zip(free, lone, strict=True))

    def test_words_stand_near_their_number_where_no_step_has_more_than_two(self) -> None:
        """The roomy rows keep a column for two numbers only where a step has more than two."""
        columns = {}
        for name in ("hazel", "larch"):
            context, _ = card_of(SAMPLES[0].with_stem(name))
            rows = step_blocks(context, context.sequences.sequences["arrive"], StepLook())
            columns[name] = {row.badges_side_by_side for row in rows if isinstance(row, StepRow)}
        assert columns == {"hazel": {1}, "larch": {2}}

    def test_more_steps_move_the_card_to_a_roomier_fold(self) -> None:
        context, _ = card_of(SAMPLES[0].with_stem("larch"))
        arrive = context.sequences.sequences["arrive"]
        longer = replace(arrive, steps=(*arrive.steps, *arrive.steps[:8]))
        sequences = replace(context.sequences, sequences={**context.sequences.sequences, "arrive": longer})
        fuller = Context(context.vehicle, context.trade)
        fuller.__dict__["sequences"] = sequences
        assert compose(fuller).sheets[0].description == fold("thirds").title


@pytest.mark.parametrize(
    ("places", "said"),
    [
        (["Inside, dinette, above the bench, nearside end, at eye level"], "dinette, above the bench"),
        (["Inside, by the habitation door, low down"], "by the habitation door"),
        (["Outside, offside, low, ahead of the rear wheel"], "offside, low, ahead of the rear wheel"),
        (["Outside, nearside, high up, above the rear wheel"], "nearside, above the rear wheel"),
        (
            [
                "Outside, nearside, in the gas locker, rear end",
                "Outside, nearside, in the gas locker, front end",
            ],
            "nearside, in the gas locker",
        ),
        (
            ["Inside, dinette, in the ceiling", "Inside, kitchen, in the ceiling", "Inside, cab, overhead"],
            "dinette, kitchen and cab",
        ),
        (
            ["Inside, kitchen, in the cupboard", "Under the floor, in the middle"],
            "kitchen and under the floor",
        ),
        ([f"Inside, room {n}, in the ceiling" for n in range(5)], "in 5 places"),
        (
            [
                "Outside, offside, low, ahead of the rear wheel",
                "Outside, offside, at eye level, ahead of the rear wheel",
            ],
            "offside, ahead of the rear wheel",
        ),
        (["Driver's seat"], "Driver's seat"),
        (["Outside"], "Outside"),
    ],
)
def test_places_are_said_in_few_words(places: list[str], said: str) -> None:
    assert short_place(places) == said


@pytest.mark.parametrize(
    ("step", "place", "says"),
    [
        ("Close every tap.", "Inside, at every tap", True),
        ("Run each tap in turn until it no longer spits.", "Inside, at every tap", True),
        ("Push its plug into the pitch supply.", "At the pitch supply", True),
        ("Pull the plug out of the supply.", "At the pitch supply", False),
        ("Stow every loose item in a closed cupboard.", "Inside", False),
    ],
)
def test_a_place_that_the_step_names_itself_is_not_said_again(step: str, place: str, says: bool) -> None:
    assert says_place(step, place) is says
