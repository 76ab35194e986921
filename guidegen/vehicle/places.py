"""Resolves where a point is: four ways to say it, one geometry.

By furniture, room, door or outside locker (`in`), by the outside (`on`), by the printed grid
(`grid`, with `on` for a point on the outside), or by coordinates (`x`, `y`). All results are mm in the
vehicle's frame.
"""

from __future__ import annotations

from collections.abc import Iterable
from difflib import get_close_matches
from typing import cast

from msgspec import Struct
from msgspec.structs import replace

from guidegen.trade.records import Kind
from guidegen.vehicle.description import PointEntry
from guidegen.vehicle.grid import grid_of
from guidegen.vehicle.layout import Area, Door, Hatch, Layout
from guidegen.vehicle.model import Height, Where
from guidegen.vehicle.outline import edge_at, edge_x, edge_y, inside_body, nearest_side, room_at
from guidegen.vehicle.spots import PlaceError, spot_in

# Usual middles of the height words: inside above the floor, outside above the ground.  [common practice]
_INSIDE_MM: dict[Height, float] = {
    "under-floor": -150,
    "floor": 30,
    "under-seat": 250,
    "low": 400,
    "worktop": 900,
    "eye-level": 1500,
    "ceiling": 1950,
}
_OUTSIDE_MM: dict[Height, float] = {
    "under-floor": 250,
    "floor": 400,
    "under-seat": 550,
    "low": 650,
    "worktop": 1050,
    "eye-level": 1600,
    "ceiling": 2300,
}
_END_MM = 300.0  # of the body: so near to an end is on it
_RIM_MM = 60.0  # from a locker's edge to what is in it
_UNDER_BEDS = {"garage", "locker"}  # rooms of their own below a bed
_OUTSIDE_SLACK_MM = 600  # open steps, awnings and bike racks stand out this far
SEATS = {"bench", "bed", "bunk", "dinette-seat", "cab-seat", "seat", "sofa", "drop-down-bed", "over-cab-bed"}


class Place(Struct, frozen=True):
    """A resolved place, in mm."""

    x: float
    y: float
    z: float
    height: Height
    where: Where
    room: str = ""
    furniture: str = ""
    hatch: str = ""
    door: str = ""


def resolve(entry: PointEntry, kind: Kind, layout: Layout, nearside: str) -> Place:
    """The place that an entry says.

    Raises PlaceError when it says none, more than one, or one that does not exist.
    """
    ways = {
        "in": entry.in_ is not None,
        "on": entry.on is not None,
        "grid": entry.grid is not None,
        "x": entry.x is not None or entry.y is not None,
    }
    said = [way for way, used in ways.items() if used]
    if not said:
        raise PlaceError(
            "no place is said",
            "add “in: …” (furniture or room), “on: …” with “from_front: …”, “grid: …”, or “x: …” and “y: …”",
            "kind",
            "place-missing",
        )
    along_side = said == ["on", "grid"] and entry.from_front is None and entry.from_nearside is None
    if len(said) > 1 and not along_side:
        raise PlaceError(
            f"the place is said in {len(said)} ways ({', '.join(said)})",
            "keep one of them",
            said[1],
            "place-twice",
        )
    if entry.spot and said != ["in"]:
        raise PlaceError("“spot” goes with “in”", "use from_front or from_nearside here", "spot")
    if along_side:
        return _on_outside(_along_side(entry, layout), kind, layout, nearside)
    way = {"in": _inside_something, "on": _on_outside, "grid": _in_grid, "x": _at_coordinates}[said[0]]
    return way(entry, kind, layout, nearside)


def _inside_something(entry: PointEntry, kind: Kind, layout: Layout, nearside: str) -> Place:
    name = entry.in_ or ""
    piece, room = layout.piece(name), layout.room(name)
    hatch = next((h for h in layout.hatches if h.id == name), None)
    door = next((d for d in layout.doors if d.id == name), None)
    if piece:
        x, y = spot_in(entry.spot, piece.area, piece.facing, nearside)
        height, z = _height(
            entry, kind, layout, inside=True, top=piece.top_mm if piece.kind in SEATS else None
        )
        return Place(x, y, z, height, "inside", piece.room or room_at(layout, x, y), piece.id)
    if room:
        x, y = spot_in(entry.spot, room.area, None, nearside)
        height, z = _height(entry, kind, layout, inside=True)
        return Place(x, y, z, height, "inside", room.id, _furniture_under(layout, x, y, z))
    if hatch:
        area = opening_area(layout, hatch)
        x, y = spot_in(entry.spot, area, hatch.side, nearside)
        height, z = _height(entry, kind, layout, inside=False, between=(hatch.bottom_mm, hatch.top_mm))
        return Place(x, y, z, height, hatch.side, hatch=hatch.id)
    if door:
        return _at_door(entry, kind, layout, door, nearside)
    groups = (layout.furniture, layout.rooms, layout.hatches, layout.doors)
    known = [part.id for group in groups for part in group]
    raise PlaceError(
        f"this layout has no furniture, room, locker or door “{name}”",
        _meant(name, known),
        "in",
        "place-unknown",
    )


def _at_door(entry: PointEntry, kind: Kind, layout: Layout, door: Door, nearside: str) -> Place:
    area = opening_area(layout, door, depth=150)
    x, y = spot_in(entry.spot, area, door.side, nearside)
    inside = not kind.outside
    height, z = _height(entry, kind, layout, inside=inside)
    if inside:
        garage = next((f.id for f in layout.furniture if f.kind == door.kind == "garage"), "")
        return Place(x, y, z, height, "inside", room_at(layout, x, y), garage, door=door.id)
    return Place(*edge_at(layout, door.side, x, y), z, height, door.side, door=door.id)


def opening_area(layout: Layout, opening: Hatch | Door, depth: float | None = None) -> Area:
    """The floor area just inside a hatch or door."""
    deep = depth if depth is not None else max(getattr(opening, "depth", 0.0), 150.0)
    start, width = opening.start, opening.width
    if opening.side in ("nearside", "offside"):
        edge = edge_y(layout, opening.side, start + width / 2)
        return Area(start, edge if opening.side == "nearside" else edge - deep, width, deep)
    edge = edge_x(layout, opening.side, start + width / 2)
    return Area(edge if opening.side == "front" else edge - deep, start, deep, width)


def _on_outside(entry: PointEntry, kind: Kind, layout: Layout, nearside: str) -> Place:
    side = entry.on or "nearside"
    x, y = entry.from_front, entry.from_nearside
    if side in ("front", "rear"):
        if y is None:
            raise PlaceError(
                f"how far from the nearside is it, on the {side}?",
                "add “from_nearside: 1.1 m”",
                "on",
                "place-missing",
            )
        if x is None:
            x, y = edge_at(layout, side, 0, y)
        elif x > _END_MM if side == "front" else x < layout.length - _END_MM:
            raise PlaceError(f"{x / 1000:g} m from the front is not on the {side}", "delete it", "from_front")
    else:
        if x is None:
            raise PlaceError(
                "how far from the front is it?", "add “from_front: 4.1 m”", "on", "place-missing"
            )
        if side in ("nearside", "offside"):
            if y is not None:
                raise PlaceError(f"“from_nearside” says nothing on the {side}", "delete it", "from_nearside")
            x, y = edge_at(layout, side, x, 0)
        elif y is None:
            y = layout.width / 2
    _must_be_near(layout, x, y, "from_front" if entry.from_front is not None else "from_nearside")
    if side in ("roof", "under-floor") and isinstance(entry.height, float):
        where = "on the roof" if side == "roof" else "under the floor"
        raise PlaceError(f"a height says nothing of what is {where}", "delete it", "height")
    if side == "roof":
        return Place(x, y, layout.height, "roof", "roof", room_at(layout, x, y))
    if side == "under-floor":
        return Place(x, y, layout.floor - 150, "under-floor", "under")
    height, z = _height(entry, kind, layout, inside=False)
    hatch = next(
        (
            h
            for h in layout.hatches
            if h.side == side and _within(h, side, x, y) and h.bottom_mm <= z <= h.top_mm
        ),
        None,
    )
    return Place(x, y, z, height, side, hatch=hatch.id if hatch else "")


def _within(opening: Hatch, side: str, x: float, y: float) -> bool:
    along = x if side in ("nearside", "offside") else y
    return opening.start <= along <= opening.start + opening.width


def _along_side(entry: PointEntry, layout: Layout) -> PointEntry:
    """The entry with the middle of its square as its distances along the side, roof or floor."""
    x, y = _square(entry, layout).centre
    ends, both = entry.on in ("front", "rear"), entry.on in ("roof", "under-floor")
    return replace(entry, from_front=None if ends else x, from_nearside=y if ends or both else None)


def _in_grid(entry: PointEntry, kind: Kind, layout: Layout, nearside: str) -> Place:
    x, y = _square(entry, layout).centre
    return _by_position(entry, kind, layout, x, y, "grid")


def _square(entry: PointEntry, layout: Layout) -> Area:
    grid = grid_of(layout)
    square = grid.square(entry.grid or "")
    if square is None:
        raise PlaceError(
            f"the grid of this layout has no square {entry.grid}",
            f"columns A to {grid.columns[-1]} from the front, rows 1 to {len(grid.rows)} from the nearside",
            "grid",
            "place-outside",
        )
    return square


def _at_coordinates(entry: PointEntry, kind: Kind, layout: Layout, nearside: str) -> Place:
    if entry.x is None or entry.y is None:
        missing, present = ("x", "y") if entry.x is None else ("y", "x")
        raise PlaceError(
            f"“{present}” needs “{missing}” as well", f"add “{missing}: 1.2 m”", present, "place-missing"
        )
    _must_be_near(layout, entry.x, entry.y, "x")
    return _by_position(entry, kind, layout, entry.x, entry.y, "x")


def _by_position(entry: PointEntry, kind: Kind, layout: Layout, x: float, y: float, key: str) -> Place:
    """A place known by its position alone: the kind tells whether it is reached from outside."""
    if entry.height == "roof" or (kind.usual == ("roof",) and entry.height is None):
        return Place(x, y, layout.height, "roof", "roof", room_at(layout, x, y))
    if entry.height == "under-floor" and kind.outside is not False:
        return Place(x, y, layout.floor - 150, "under-floor", "under")
    if kind.outside or not inside_body(layout, x, y):
        side = nearest_side(layout, x, y)
        if inside_body(layout, x, y):
            x, y = edge_at(layout, side, x, y)
        height, z = _height(entry, kind, layout, inside=False)
        return Place(x, y, z, height, side)
    height, z = _height(entry, kind, layout, inside=True)
    return Place(x, y, z, height, "inside", room_at(layout, x, y), _furniture_under(layout, x, y, z))


def _height(
    entry: PointEntry,
    kind: Kind,
    layout: Layout,
    *,
    inside: bool,
    top: float | None = None,
    between: tuple[float, float] | None = None,
) -> tuple[Height, float]:
    """Height word and z above ground; a length in the file is above the floor inside, the ground outside.

    between: lower and upper edge of the locker that it is in, which a word keeps to.
    """
    table, base = (_INSIDE_MM, layout.floor) if inside else (_OUTSIDE_MM, 0.0)
    if isinstance(entry.height, float):
        if base + entry.height > layout.height + 300:
            raise PlaceError(
                "this is higher than the vehicle", f"its height is {layout.height / 1000:g} m", "height"
            )
        if between and not between[0] - _RIM_MM <= base + entry.height <= between[1] + _RIM_MM:
            low, high = ((edge - base) / 1000 for edge in between)
            from_where = "floor" if inside else "ground"
            hint = f"the locker is from {low:.2f} to {high:.2f} m above the {from_where}"
            raise PlaceError("this is above or below the locker that it is in", hint, "height")
        return _word_of(entry.height, table, layout, inside, top), base + entry.height
    if between and entry.height is None:
        middle = sum(between) / 2
        return _word_of(middle, table, layout, inside, None), middle
    word = entry.height or _usual(kind, top)
    if word == "roof":
        return word, layout.height
    usual = base + table[word]
    return word, min(max(usual, between[0] + _RIM_MM), between[1] - _RIM_MM) if between else usual


def height_above_ground(word: Height, layout: Layout) -> float:
    """The usual middle of a height inside, in mm above ground."""
    return layout.height if word == "roof" else layout.floor + _INSIDE_MM[word]


def _usual(kind: Kind, top: float | None) -> Height:
    usual = cast(tuple[Height, ...], kind.usual)
    if top is not None and (not usual or "under-seat" in usual):
        return "under-seat"
    return usual[0] if usual else "low"


def _word_of(
    mm: float, table: dict[Height, float], layout: Layout, inside: bool, top: float | None
) -> Height:
    above_ground = mm + (layout.floor if inside else 0)
    if above_ground > layout.height - 60:
        return "roof"
    if top is not None and 0 < mm < top:
        return "under-seat"
    words: Iterable[Height] = (h for h in table if h != "under-seat")
    return min(words, key=lambda h: (abs(table[h] - mm), table[h]))


def _must_be_near(layout: Layout, x: float, y: float, key: str) -> None:
    slack = _OUTSIDE_SLACK_MM
    if not -layout.drawbar - slack <= x <= layout.length + slack:
        raise PlaceError(
            f"{x / 1000:g} m from the front is outside the vehicle",
            f"the body is {layout.length / 1000:g} m long",
            key,
            "place-outside",
        )
    if not -slack <= y <= layout.width + slack:
        raise PlaceError(
            f"{y / 1000:g} m from the nearside is outside the vehicle",
            f"the body is {layout.width / 1000:g} m wide",
            "y" if key == "x" else "from_nearside",
            "place-outside",
        )


def _furniture_under(layout: Layout, x: float, y: float, z: float) -> str:
    """The piece that a person would name: a garage or locker under a bed, else the smallest visible one."""
    there = [f for f in layout.furniture if f.area.contains(x, y, 1)]
    below = [f for f in there if f.hidden and f.kind in _UNDER_BEDS and z < layout.floor + f.top_mm]
    holding = below or [f for f in there if not f.hidden]
    return min(holding, key=lambda f: f.area.length * f.area.width).id if holding else ""


def _meant(word: str, known: list[str]) -> str:
    close = get_close_matches(word, known, 3, 0.5)
    if close:
        return "did you mean " + " or ".join(f"“{c}”" for c in close) + "?"
    return "there are: " + ", ".join(known[:30])
