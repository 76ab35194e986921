"""A base layout: the body, openings and furniture that many vehicles share.

All lengths are mm in the vehicle's own frame: x from the front of the body backwards, y from the
nearside face to the offside, z up from the ground. The frame is the same for both steering sides;
only the drawing is mirrored.
"""

from __future__ import annotations

from typing import Literal, TypeAlias

from msgspec import Struct

XY: TypeAlias = tuple[float, float]
Corner: TypeAlias = tuple[float, float, float]  # x, y (or z), rounding radius
Side: TypeAlias = Literal["front", "rear", "nearside", "offside"]
BodyType: TypeAlias = Literal["coachbuilt", "low-profile", "a-class", "panel-van", "caravan"]


class Area(Struct, frozen=True):
    """A box in plan: its corner nearest front and nearside, then length (x) and width (y)."""

    x: float
    y: float
    length: float
    width: float

    @property
    def centre(self) -> XY:
        return (self.x + self.length / 2, self.y + self.width / 2)

    def contains(self, x: float, y: float, slack: float = 0.0) -> bool:
        return (
            self.x - slack <= x <= self.x + self.length + slack
            and self.y - slack <= y <= self.y + self.width + slack
        )


class Room(Struct, frozen=True):
    id: str
    name: str  # "rear lounge", said after "Inside, "
    area: Area
    sleeps: bool = False  # a bedroom in its own right


class Furniture(Struct, frozen=True):
    id: str
    kind: str  # see guidegen.plan.furniture: bed, bench, hob, sink, toilet, shower, wardrobe…
    name: str  # "nearside bench"
    room: str
    area: Area
    facing: Side  # where a person stands or sits towards: the free edge
    top_mm: float  # height of its top above the floor
    hidden: bool = False  # above or below the cut: drawn dashed
    berths: int = 0
    head: Side | None = None  # beds: where the pillows lie; None: away from `facing`
    rings: int = 0  # of a hob, as fitted; 0: as many as its width holds
    flame: bool = True  # of a hob: gas rings, not hotplates


class Partition(Struct, frozen=True):
    start: XY
    end: XY
    opening: tuple[float, float] | None = None  # distance from start and width of a doorway
    door: Literal["", "swing", "sliding", "curtain"] = ""
    id: str = ""
    hinge: Literal["start", "end"] = "start"  # end of the opening that the leaf hangs at
    opens: Side | None = None  # which way the leaf swings; None: rearwards or to the offside


class Door(Struct, frozen=True):
    id: str
    name: str
    side: Side
    start: float  # from the front for nearside/offside, from the nearside for front/rear
    width: float
    hinge: Literal["front", "rear", "nearside", "offside"]
    kind: Literal["habitation", "cab", "sliding", "rear", "garage"] = "habitation"


class Window(Struct, frozen=True):
    id: str
    side: Side
    start: float
    width: float
    room: str
    sill_mm: float = 1500
    top_mm: float = 2000
    opens: bool = True
    escape: bool = False


class Hatch(Struct, frozen=True):
    """An outside locker or service door."""

    id: str
    name: str
    side: Side
    start: float
    width: float
    bottom_mm: float
    top_mm: float
    depth: float = 0.0


class RoofOpening(Struct, frozen=True):
    id: str
    name: str
    area: Area
    escape: bool = False


class Wheel(Struct, frozen=True):
    x: float  # of the axle
    y: float  # of the tyre's middle
    diameter: float
    width: float
    id: str = ""


class Layout(Struct, frozen=True):
    id: str
    name: str
    about: str
    body: BodyType
    length: float  # of the body, without drawbar or steps
    width: float
    height: float  # overall, above ground
    floor: float  # of the habitation floor above ground
    wall: float  # thickness drawn
    outline: tuple[
        Corner, ...
    ]  # of the whole plan, from the front's middle along the nearside to the rear and back along the offside
    profile: tuple[Corner, ...]  # side view, x and z
    bonnet: float  # x where the windscreen's foot stands; 0 for none
    drawbar: float  # length in front of the body; 0 for none
    rooms: tuple[Room, ...]
    furniture: tuple[Furniture, ...]
    partitions: tuple[Partition, ...]
    doors: tuple[Door, ...]
    windows: tuple[Window, ...]
    hatches: tuple[Hatch, ...]
    roof: tuple[RoofOpening, ...]
    wheels: tuple[Wheel, ...]

    def piece(self, id: str) -> Furniture | None:
        return next((f for f in self.furniture if f.id == id), None)

    def door_before(self, piece: Furniture) -> Door | None:
        """The outer door that a locker faces: it is reached through that door, from outside."""
        if piece.kind != "locker" or piece.facing != "rear":
            return None
        _, across = piece.area.centre
        doors = (d for d in self.doors if d.kind == "rear" and d.side == piece.facing)
        return next((d for d in doors if d.start <= across <= d.start + d.width), None)

    def way_into(self, piece: Furniture, y: float) -> Door | Hatch | None:
        """The outer door or flap through which a locker or garage is reached; of several the nearest to y."""
        if piece.kind != "garage":
            return self.door_before(piece)
        area = piece.area
        ways: list[Door | Hatch] = [door for door in self.doors if door.kind == "garage"]
        ways += [h for h in self.hatches if area.x <= h.start + h.width / 2 <= area.x + area.length]
        off = {"nearside": y, "offside": self.width - y}
        return min(ways, key=lambda way: off.get(way.side, 0.0), default=None)

    def room(self, id: str) -> Room | None:
        return next((r for r in self.rooms if r.id == id), None)
