"""What the planner hands on: steps in walking order, with the reason for every place in it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal, TypeAlias

from msgspec import Struct, field

from guidegen.errors import GuidegenError
from guidegen.trade.records import SequenceName
from guidegen.vehicle.layout import XY

Variant: TypeAlias = Literal["hook-up", "no-hook-up", "outdoors", "heated-store"]
ReasonKind: TypeAlias = Literal["gives", "keeps", "custom", "last", "dealer"]


class SequenceError(GuidegenError):
    """No safe order exists; the message names the steps, the conditions and the data behind it."""


class PlannedStep(Struct, frozen=True, kw_only=True):
    """One row of a sequence. x, y: where one stands, in vehicle mm."""

    step: str  # id
    sequence: SequenceName
    points: tuple[str, ...]  # ids of the vehicle's points, in the order in which they are visited
    place: str
    text: str = ""
    check: str = ""
    cautions: tuple[str, ...] = ()  # ids, to be printed before the step
    needs: tuple[str, ...] = ()  # conditions, those that apply to this vehicle
    gives: tuple[str, ...] = ()
    minutes: float = 0.0
    optional: bool = False
    stop: str  # steps with the same stop are done without walking
    x: float
    y: float
    unlocated: bool  # its point is not placed yet: the walk assumes a usual place
    outside: bool = False
    dealer: bool = False  # a step of the dealer's own
    web: str = ""
    visits: tuple[tuple[str, ...], ...] = ()  # the points; together those whose order is free
    stops: tuple[str, ...] = ()  # where else it is done, in words
    spots: tuple[XY, ...] = ()  # where one stands for it, one after another, from x, y on


class Precedence(Struct, frozen=True):
    """`before` must be done before `after`."""

    before: str
    after: str
    kind: ReasonKind
    condition: str = ""  # the condition handed on ("gives") or kept safe ("keeps")


class PlannedSequence(Struct, frozen=True):
    """A safe order with the walk it takes."""

    name: SequenceName
    variant: Variant
    steps: tuple[PlannedStep, ...]
    walk_m: float
    doors: int  # passages of a door
    proved: bool  # no order walks less
    bound_m: float  # no order costs less than this: walking plus door_m a passage
    minutes: float  # waiting, filling and emptying; walking at 1 m/s
    path: tuple[XY, ...]  # the walk, in vehicle mm
    precedences: tuple[Precedence, ...] = ()
    by_hand: bool = False  # the order is the description's own
    cost_m: float = 0.0  # walking plus the price of the door passages

    def step(self, id: str) -> PlannedStep | None:
        return next((s for s in self.steps if s.step == id), None)


class SequenceSet(Struct, frozen=True):
    """All sequences of a vehicle; `sequences` holds the variant that is printed first."""

    sequences: Mapping[SequenceName, PlannedSequence]
    variants: Mapping[tuple[SequenceName, Variant], PlannedSequence] = field(default_factory=dict)


class HelpEntry(Struct, frozen=True):
    """A complaint of quick help with the checks to make, nearest and likeliest first."""

    symptom: str
    title: str
    hints: tuple[HelpHint, ...]


class HelpHint(Struct, frozen=True):
    text: str
    points: tuple[str, ...] = ()  # ids of the points whose number is printed
    numbers: tuple[int, ...] = ()
    short: str = ""  # what to look at, in two or three words; empty: not in the short help


class ShortHelp(Struct, frozen=True):
    """One line of help: a complaint and the first things to look at, each with its numbers."""

    symptom: str
    title: str  # "No water"
    checks: tuple[tuple[str, tuple[int, ...]], ...]  # ("pump switch", (12,)), nearest and likeliest first

    @property
    def text(self) -> str:
        """ "No water: pump switch 12, gas valve 3/4"."""
        named = (" ".join([words, "/".join(map(str, numbers))]).strip() for words, numbers in self.checks)
        return f"{self.title}: {', '.join(named)}"
