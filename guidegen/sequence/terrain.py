"""Where one stands for each step, and how far it is from there to anywhere else."""

from __future__ import annotations

import math
from functools import cached_property
from typing import Literal

from msgspec import Struct

from guidegen.sequence.floor import Cell, floor_of, middle, opening_foot
from guidegen.sequence.ring import BESIDE_MM, ring_of
from guidegen.vehicle.landmarks import across_phrase
from guidegen.vehicle.layout import XY, Door, Furniture, Hatch, Layout
from guidegen.vehicle.model import ServicePoint, under_bonnet

DOOR_MM = 4000  # a passage of a door costs as much as this walk
_SAME_MM = 600  # within this walk one need not move
_SEEN_MM = 250  # further from where one stands a point is not taken to be there
DOORWAY_MM = 300 + BESIDE_MM  # from the first cell inside to the way outside
_SEAT_MM = 600 + BESIDE_MM
_RISE_MM = 600  # from the driver's seat to the floor behind it
_BY_SEAT_MM = 900  # no farther from the middle of the seat that floor begins
_POST_MM = 2000  # the pitch post stands this far off the offside rear corner: common practice, no source
_FROM_BELOW = {"aerial", "air-conditioner", "extractor-fan", "roof-light"}  # on the roof, handled from inside
_SIDES = ("front", "rear", "nearside", "offside")
_TAPS = {"sink", "washbasin", "basin", "shower"}
Ground = Literal["inside", "outside", "post", "seat"]


class Spot(Struct, frozen=True):
    """A place to stand. mark: along the ring; cell: on the floor."""

    ground: Ground
    mark: int = 0
    cell: Cell = (0, 0)


class Terrain:
    """The walk of one vehicle. Spots are numbered as they are asked for."""

    def __init__(self, layout: Layout) -> None:
        self.layout = layout
        self.ring = ring_of(layout)
        self._around = round(self.ring.length)
        door = habitation_door(layout)
        self.floor = floor_of(layout, door)
        self._door_mark = self._mark(*opening_foot(layout, door, BESIDE_MM))
        self._door_in = opening_foot(layout, door)
        self.cab = _driver_door(layout)
        self._apart: dict[tuple[int, int], tuple[int, int]] = {}
        self._stands: dict[str, Spot] = {}
        self.spots: list[Spot] = []
        self.seat = self._add(self._seat_spot())
        self.inside = self._add(Spot("inside", cell=self.floor.door))
        self.outside = self._add(Spot("outside", mark=self._door_mark))

    # Spots

    def spot_of(self, point: ServicePoint) -> int:
        return self._near(self._stand_of(point))

    def seen_at(self, k: int, point: ServicePoint) -> Spot:
        """Where one is drawn for a point that is done from a spot: outside before the point itself."""
        spot, own = self.spots[k], self._stand_of(point)
        apart = spot.ground == own.ground == "outside" and self._walk(spot, own) > _SEEN_MM
        return own if apart else spot

    def _stand_of(self, point: ServicePoint) -> Spot:
        """Where one stands for a point: all sequences ask for it, and more than once."""
        stand = self._stands.get(point.id)
        if stand is None:
            stand = self._stands[point.id] = self._stand(point)
        return stand

    def _stand(self, point: ServicePoint) -> Spot:
        piece = self.layout.piece(point.furniture) if point.furniture else None
        if piece and (way := self.layout.way_into(piece, point.y)):
            return self._before(way)
        if under_bonnet(point, self.layout):
            return Spot("outside", mark=self._mark(0.0, point.y, "front"))
        door = next((d for d in self.layout.doors if d.id == point.opening), None)
        if point.where == "inside" and door:  # whichever room its frame is in
            return self._on_floor(*opening_foot(self.layout, door))
        if point.where == "inside" or (point.where == "roof" and point.kind in _FROM_BELOW):
            return self._on_floor(*self._reach(point), point.room)
        side = point.where if point.where in _SIDES else across_phrase(point.y, self.layout)
        return Spot("outside", mark=self._mark(point.x, point.y, side if side in _SIDES else ""))

    def before(self, way: Door | Hatch) -> int:
        """The spot outside right before a door or hatch."""
        return self._add(self._before(way))

    def _before(self, way: Door | Hatch) -> Spot:
        return Spot("outside", mark=self._mark(*opening_foot(self.layout, way, BESIDE_MM)))

    def fixed(self, stop: str) -> tuple[int, ...]:
        """Spots of a fixed stop of the trade data; of several, all are visited."""
        if stop == "driver-seat":
            return (self.seat,)
        if stop == "cab":
            return (self.from_seat,)
        if stop == "round":
            return (self._near(Spot("outside", mark=self.driver_mark)),)
        if stop == "pitch-post":
            corner = (self.layout.length + BESIDE_MM, self.layout.width + BESIDE_MM)
            return (self._near(Spot("post", mark=self._mark(*corner))),)
        found: list[int] = []
        if stop in ("taps", "hot-taps"):
            found = [self._within(*_front(f), f.room) for f in self.layout.furniture if f.kind in _TAPS]
        elif stop == "windows":
            found = [self._within(*opening_foot(self.layout, w)) for w in self.layout.windows if w.opens]
        elif stop == "lockers":
            found = [self._near(self._before(hatch)) for hatch in self.layout.hatches]
        elif stop == "wheels":
            for wheel in self.layout.wheels:
                side = "offside" if wheel.y > self.layout.width / 2 else "nearside"
                found.append(self._near(Spot("outside", mark=self._mark(wheel.x, wheel.y, side))))
        usual = self.outside if stop in ("outside", "lockers", "wheels") else self.inside
        return tuple(dict.fromkeys(found)) or (usual,)

    def _within(self, x: float, y: float, room: str = "") -> int:
        """A spot inside from which one reaches the place; room: the id of its room, if known."""
        return self._near(self._on_floor(x, y, room))

    def _on_floor(self, x: float, y: float, room: str = "") -> Spot:
        found = self.layout.room(room)
        return Spot("inside", cell=self.floor.nearest(x, y, found.area if found else None))

    def _mark(self, x: float, y: float, side: str = "") -> int:
        return round(self.ring.along(x, y, side)) % self._around

    @property
    def driver_mark(self) -> int:
        """Outside the driver's door, or before the hitch."""
        if self.cab is not None:
            return self._mark(*opening_foot(self.layout, self.cab, BESIDE_MM))
        return self._mark(-self.layout.drawbar - BESIDE_MM, self.layout.width / 2)

    def _reach(self, point: ServicePoint) -> XY:
        piece = self.layout.piece(point.furniture) if point.furniture else None
        return _front(piece, point.x, point.y) if piece else (point.x, point.y)

    def _seat_spot(self) -> Spot:
        if self.cab is None and self.layout.body != "caravan":
            return Spot("inside", cell=self.floor.nearest(self.layout.bonnet + 800, self.layout.width * 0.7))
        return Spot("seat", mark=self.driver_mark)

    def _add(self, spot: Spot) -> int:
        if spot not in self.spots:
            self.spots.append(spot)
        return self.spots.index(spot)

    def _near(self, spot: Spot) -> int:
        """A known spot within a step or two, else a new one; none in another room."""
        for k, known in enumerate(self.spots):
            if (
                known.ground == spot.ground
                and k != self.seat
                and not self._parted(known, spot)
                and self._walk(known, spot) <= _SAME_MM
            ):
                return k
        return self._add(spot)

    def _parted(self, one: Spot, other: Spot) -> bool:
        """Whether two spots are in two rooms; some floor is in none."""
        rooms = {self._room(s) for s in (one, other) if s.ground == "inside"} - {""}
        return len(rooms) > 1

    def _room(self, spot: Spot) -> str:
        at = middle(spot.cell)
        return next((room.id for room in self.layout.rooms if room.area.contains(*at)), "")

    # Distances

    def distance(self, a: int, b: int) -> tuple[int, int]:
        """Walk in mm and passages of a door."""
        known = self._apart.get((a, b))
        if known is None:
            one, other = self.spots[a], self.spots[b]
            known = self._apart[a, b] = self._apart[b, a] = self._walk(one, other), self._passages(one, other)
        return known

    def _passages(self, one: Spot, other: Spot) -> int:
        if one == other:
            return 0
        cab = sum(s.ground == "seat" and self.cab is not None for s in (one, other))
        return cab + ((one.ground == "inside") != (other.ground == "inside"))

    def _walk(self, one: Spot, other: Spot) -> int:
        if one == other:
            return 0
        if one.ground == other.ground == "inside":
            return self.floor.ways_from(one.cell)[0][other.cell]
        a, b = self._out(one), self._out(other)
        apart = abs(a[0] - b[0])
        return a[1] + b[1] + min(apart, self._around - apart)

    def _out(self, spot: Spot) -> tuple[int, int]:
        """Where on the ring one comes out, and the walk to there."""
        if spot.ground == "inside":
            return self._door_mark, DOORWAY_MM + self.floor.ways_from(self.floor.door)[0][spot.cell]
        extra = {"outside": 0, "post": _POST_MM, "seat": _SEAT_MM if self.cab else 0}[spot.ground]
        return spot.mark, extra

    # Through the cab

    @cached_property
    def _behind_seat(self) -> Cell | None:
        """The floor behind the driver's seat, where it runs on into the living part; else None."""
        seats = [piece.area.centre for piece in self.layout.furniture if piece.kind == "cab-seat"]
        if self.cab is None or not seats:
            return None
        door = opening_foot(self.layout, self.cab)
        seat = min(seats, key=lambda centre: math.dist(centre, door))
        cell = self.floor.nearest(*seat)
        return cell if math.dist(middle(cell), seat) <= _BY_SEAT_MM else None

    @property
    def from_seat(self) -> int:
        """The spot inside that one gets to from the driver's seat through the cab; else the seat."""
        start = self._behind_seat
        return self.seat if start is None else self._add(Spot("inside", cell=start))

    def through_cab(self, k: int) -> tuple[int, list[XY]] | None:
        """From the driver's seat to a spot inside without getting out: mm and the line walked; else None."""
        start, spot = self._behind_seat, self.spots[k]
        if start is None or spot.ground != "inside":
            return None
        line = [self.place_of(self.seat), *self._inner(start, spot.cell)]
        return _RISE_MM + self.floor.ways_from(start)[0][spot.cell], line

    # The drawn walk

    def place_of(self, k: int) -> XY:
        return self.place(self.spots[k])

    def place(self, spot: Spot) -> XY:
        if spot.ground == "inside":
            return middle(spot.cell)
        x, y = self.ring.point(spot.mark)
        if spot.ground == "post":
            return (x + _POST_MM * 0.7, y + _POST_MM * 0.7)
        if spot.ground == "seat" and self.cab:
            return opening_foot(self.layout, self.cab, -600)
        return (x, y)

    def way(self, a: int, b: int) -> list[XY]:
        """The line walked between two spots, both ends with it."""
        return self.line(self.spots[a], self.spots[b])

    def line(self, one: Spot, other: Spot) -> list[XY]:
        """As `way`, between spots that need not be known."""
        if one == other:
            return [self.place(one)]
        if one.ground == other.ground == "inside":
            return self._inner(one.cell, other.cell)
        out = self.ring.way(self._out(one)[0], self._out(other)[0])
        head = (
            [*self._inner(one.cell, self.floor.door), self._door_in]
            if one.ground == "inside"
            else [self.place(one)]
        )
        tail = (
            [self._door_in, *self._inner(self.floor.door, other.cell)]
            if other.ground == "inside"
            else [self.place(other)]
        )
        return [*head, *out, *tail]

    def round_trip(self) -> list[XY]:
        return self.ring.round_trip(self.driver_mark)

    def _inner(self, start: Cell, end: Cell) -> list[XY]:
        before = self.floor.ways_from(start)[1]
        cells = [end]
        while cells[-1] != start:
            cells.append(before[cells[-1]])
        return [middle(c) for c in reversed(cells)]


def habitation_door(layout: Layout) -> Door | None:
    rank = {"habitation": 0, "sliding": 1, "rear": 2, "garage": 4, "cab": 5}
    return min(layout.doors, key=lambda d: rank[d.kind], default=None)


def _driver_door(layout: Layout) -> Door | None:
    """Of the cab's doors the one on the offside, where the driver sits whichever side one drives on."""
    cab = [d for d in layout.doors if d.kind == "cab"]
    return next((d for d in cab if d.side == "offside"), cab[0] if cab else None)


def _front(piece: Furniture, x: float | None = None, y: float | None = None) -> XY:
    """A point on the floor before a piece of furniture, level with the place in it."""
    a = piece.area
    px, py = (a.centre[0] if x is None else x), (a.centre[1] if y is None else y)
    return {
        "front": (a.x - 250, py),
        "rear": (a.x + a.length + 250, py),
        "nearside": (px, a.y - 250),
        "offside": (px, a.y + a.width + 250),
    }[piece.facing]
