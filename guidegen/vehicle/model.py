"""The vehicle that every later stage works from: immutable, resolved, in mm."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Literal, TypeAlias

from msgspec import Struct, field

from guidegen.errors import Mark
from guidegen.vehicle.layout import Layout

if TYPE_CHECKING:
    from guidegen.vehicle.description import Checks, Dealer, Equipment, ExtraStep, Figures

Height: TypeAlias = Literal[
    "under-floor", "floor", "under-seat", "low", "worktop", "eye-level", "ceiling", "roof"
]
HEIGHTS: tuple[Height, ...] = (
    "under-floor",
    "floor",
    "under-seat",
    "low",
    "worktop",
    "eye-level",
    "ceiling",
    "roof",
)
# Outside: the side a person stands at, or the roof, or under the floor. Inside: "inside".
Where: TypeAlias = Literal["inside", "front", "rear", "nearside", "offside", "roof", "under"]


def day_in_words(day: date | None) -> str:
    """ "14 March 2026"; nothing for no day."""
    return f"{day:%d %B %Y}".lstrip("0") if day else ""


class ServicePoint(Struct, frozen=True):
    """One thing to find. x from the front, y from the nearside, z above ground, in mm."""

    id: str
    kind: str
    system: str  # letter
    name: str  # as printed, starts with a capital: "Fresh water drain"
    note: str
    x: float
    y: float
    z: float
    height: Height
    where: Where
    room: str  # id, "" outside
    furniture: str  # id, "" when none
    place: str  # "Inside, rear lounge, under the nearside bench, front end"
    serves: tuple[str, ...]  # appliances or equipment that it isolates, feeds or controls
    number: int  # 0 until numbered
    pinned: bool
    photo: Path | None = None
    web: str = ""
    mark: Mark = Mark()
    photo_at: tuple[float, float] | None = None  # its place in the photo: shares from the left, from the top
    opening: str = ""  # id of the outside locker or the door that it is in or at

    @property
    def inside(self) -> bool:
        return self.where == "inside"


def under_bonnet(point: ServicePoint, layout: Layout) -> bool:
    """Whether it lies ahead of the cab, in no piece of furniture."""
    return point.inside and not point.furniture and point.x < layout.bonnet


class ToLocate(Struct, frozen=True):
    """A point that the equipment requires and the description does not place."""

    kind: str
    name: str
    reason: str
    serves: tuple[str, ...] = ()


def sought_mark(number: int, known: bool) -> str:
    """What stands for the so-manieth point to locate until it has a number: on every sheet the same.

    known: whether points with numbers of their own stand beside it.
    """
    return f"?{number}" if known else str(number)


class Vehicle(Struct, frozen=True):
    id: str
    name: str
    kind: Literal["motorhome", "campervan", "caravan"]
    steering: Literal["left", "right", "none"]
    nearside: Literal["left", "right"]
    stock_number: str
    owner: str
    printed_on: date | None  # the file's date or SOURCE_DATE_EPOCH; None: no date is printed
    web: str
    photo: Path | None
    dealer: Dealer | None
    layout: Layout
    equipment: Equipment
    figures: Figures
    facts: frozenset[str]
    points: tuple[ServicePoint, ...]
    to_locate: tuple[ToLocate, ...]
    extra_steps: tuple[ExtraStep, ...]
    orders: Mapping[str, tuple[str, ...]]  # hand-made orders by sequence name
    checks: Checks | None
    mark: Mark
    marks: Mapping[str, Mark] = field(default_factory=dict)  # by dotted path: "equipment.fridge"
    rule_of_the_road: Literal["left", "right"] = "left"
    folder: Path = Path()  # where pictures named in the file are looked for

    def of_kind(self, *kinds: str) -> tuple[ServicePoint, ...]:
        """Points of these kinds, by number and then in file order."""
        return tuple(sorted((p for p in self.points if p.kind in kinds), key=lambda p: p.number))

    def point(self, id: str) -> ServicePoint | None:
        return next((p for p in self.points if p.id == id), None)
