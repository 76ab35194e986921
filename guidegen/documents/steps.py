"""A sequence as rows to tick off: cautions before their steps, numbers, actions, places."""

from __future__ import annotations

from collections.abc import Collection, Iterator

from msgspec import Struct
from msgspec.structs import replace

from guidegen.documents.context import Context
from guidegen.documents.parts import INK, CautionBox, StepRow, place_rule
from guidegen.paper.blocks import Block
from guidegen.paper.text import Span, TextStyle
from guidegen.sequence.model import PlannedSequence, PlannedStep
from guidegen.trade.records import SequenceName

TITLES: dict[SequenceName, str] = {
    "arrive": "Arrive",
    "leave": "Leave",
    "lay-up": "Lay up for winter",
    "recommission": "First use after lay-up",
}
_RIGHT_MM = 1.2  # more than the padding: a full line ends nearer to the edge than a sign begins
_FIGURES_BESIDE = 2


class StepLook(Struct, frozen=True):
    """How closely the rows are set."""

    style: TextStyle = TextStyle(10, colour=INK, leading=1.3)
    gap_mm: float = 1.4
    inline_place: bool = False  # the place runs on behind the action
    rules: bool = True  # a hairline between places
    sign_mm: float = 8.0
    caution_pt: float = 10.0


def step_blocks(
    context: Context, sequence: PlannedSequence, look: StepLook, *, told: Collection[str] = ()
) -> tuple[Block, ...]:
    """The rows of a sequence; cautions in `told` are printed elsewhere on the same sheet."""
    return tuple(_rows(context, sequence, look, set(told)))


def _rows(context: Context, sequence: PlannedSequence, look: StepLook, told: set[str]) -> Iterator[Block]:
    numbers = {p.id: p.number for p in context.vehicle.points}
    beside = _badges_beside(context)
    previous: PlannedStep | None = None
    for step in sequence.steps:
        if look.rules and previous is not None and previous.stop != step.stop:
            yield place_rule()
        for id in step.cautions:
            if id not in told:
                told.add(id)
                yield caution_block(context, id, look)
        said = previous is not None and previous.place == step.place
        said = said or (not step.points and says_place(step.text, step.place))
        yield _row(step, tuple(numbers[p] for p in step.points), "" if said else step.place, look, beside)
        previous = step


def says_place(text: str, place: str) -> bool:
    """Whether a step names its place itself: "Close every tap", "at every tap"."""
    return " ".join(place.split()[-2:]).lower() in text.lower().replace("each ", "every ")


def _badges_beside(context: Context) -> int:
    """Badges side by side; one where no step has more than two, so that words stand near their number."""
    steps = (step for sequence in context.sequences.sequences.values() for step in sequence.steps)
    return 1 if all(len(step.points) <= _FIGURES_BESIDE for step in steps) else _FIGURES_BESIDE


def _row(step: PlannedStep, numbers: tuple[int, ...], place: str, look: StepLook, beside: int) -> StepRow:
    inline = look.inline_place and place
    action = (Span(step.text + " ", "bold"), Span(place, "regular")) if inline else step.text
    return StepRow(
        action=action,
        numbers=numbers,
        place="" if inline else place,
        style=look.style,
        badges_side_by_side=beside,
        space_before_mm=look.gap_mm,
        space_after_mm=look.gap_mm,
    )


def caution_block(context: Context, id: str, look: StepLook) -> CautionBox:
    """One caution of the trade, in the size of the steps it stands before."""
    caution = context.trade.cautions[id]
    box = CautionBox(
        signal=caution.signal,
        text=caution.text,
        sign=caution.sign,
        style=TextStyle(look.caution_pt, leading=1.2),
        sign_mm=look.sign_mm,
    )
    small = look.sign_mm < 7
    return replace(box, padding_mm=1.0 if small else 1.6, right_mm=0.0 if small else _RIGHT_MM)
