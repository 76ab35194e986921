"""Says a place as a person would, from geometry and furniture.

"Inside, rear lounge, under the nearside bench, front end"
"Outside, offside, low, just behind the rear wheel"
"""

from __future__ import annotations

from collections.abc import Iterator

from guidegen.vehicle.layout import Furniture, Layout
from guidegen.vehicle.model import Height
from guidegen.vehicle.places import SEATS, Place

_HOLLOW = {"wardrobe", "cupboard", "locker", "garage", "drawers", "shelf", "dresser", "cabinet", "shower"}
_INSIDE_HEIGHT: dict[Height, str] = {
    "under-floor": "under the floor",
    "floor": "at floor level",
    "under-seat": "low down",
    "low": "low down",
    "worktop": "at worktop height",
    "eye-level": "at eye level",
    "ceiling": "on the ceiling",
}
_OUTSIDE_HEIGHT: dict[Height, str] = {
    "under-floor": "below the body",
    "floor": "low",
    "under-seat": "low",
    "low": "low",
    "worktop": "at waist height",
    "eye-level": "at eye level",
    "ceiling": "high up",
}
_NEAR_MM, _BY_MM = 2000.0, 450.0


def place_phrase(place: Place, kind: str, layout: Layout) -> str:
    """The place in words; `kind` is the point's kind, so that a hob is not "on the hob"."""
    if place.where == "inside":
        parts = ["Inside", *_inside(place, kind, layout)]
    elif place.where == "roof":
        room = layout.room(place.room)
        parts = ["On the roof", f"above the {room.name}" if room else "", _across(place.y, layout)]
    elif place.where == "under":
        side = "nearside" if place.y < layout.width / 2 else "offside"
        across = _across(place.y, layout)
        parts = ["Under the floor", across, _landmark(place.x, side, "", layout)]
    else:
        parts = ["Outside", place.where, *_outside(place, kind, layout)]
    return ", ".join(part for part in parts if part)


def _inside(place: Place, kind: str, layout: Layout) -> Iterator[str]:
    room = layout.room(place.room)
    piece = layout.piece(place.furniture)
    height = _INSIDE_HEIGHT.get(place.height, "")
    if room and not place.door:
        yield room.name
    if place.door:
        door = next(d for d in layout.doors if d.id == place.door)
        yield from (f"by the {door.name}", height)
    elif place.height == "ceiling":
        yield from (height, _part_of_room(place, layout))
    elif piece and piece.kind == kind:
        yield _part_of_room(place, layout)
    elif piece:
        yield from _at_piece(place, piece, layout)
    else:
        yield from (_by_something(place, layout), height)


def _at_piece(place: Place, piece: Furniture, layout: Layout) -> Iterator[str]:
    above_floor = place.z - layout.floor
    height = _INSIDE_HEIGHT.get(place.height, "")
    if above_floor > piece.top_mm + 150:
        yield from (f"above the {piece.name}", height)
    elif piece.kind in SEATS:
        word = "under" if above_floor < piece.top_mm else "at"
        yield from (f"{word} the {piece.name}", _end(place, piece))
    elif piece.kind in _HOLLOW:
        yield from (f"in the {piece.name}", _end(place, piece), height)
    elif above_floor < piece.top_mm - 100:
        yield from (
            f"below the {piece.name}",
            _end(place, piece),
            "at floor level" if place.height == "floor" else "",
        )
    else:
        yield from (f"on the {piece.name}", _end(place, piece))


def _end(place: Place, piece: Furniture) -> str:
    """Which end or side of a piece, when it is off the middle."""
    area = piece.area
    dx = (place.x - area.centre[0]) / area.length * 2
    dy = (place.y - area.centre[1]) / area.width * 2
    long_way = area.length >= area.width
    words = []
    if abs(dx) > 0.4:
        words.append(("front" if dx < 0 else "rear", long_way))
    if abs(dy) > 0.4:
        words.append(("nearside" if dy < 0 else "offside", not long_way))
    if len(words) == 2:
        return f"{words[1][0]} {words[0][0]} corner"
    return f"{words[0][0]} {'end' if words[0][1] else 'side'}" if words else ""


def _part_of_room(place: Place, layout: Layout) -> str:
    room = layout.room(place.room)
    if room is None:
        return _across(place.y, layout)
    dy = (place.y - room.area.centre[1]) / room.area.width * 2
    dx = (place.x - room.area.centre[0]) / room.area.length * 2
    words = []
    if abs(dy) > 0.3:
        words.append("nearside" if dy < 0 else "offside")
    if abs(dx) > 0.5:
        words.append("front" if dx < 0 else "rear")
    return " ".join(words) + (" corner" if len(words) == 2 else "")


def _by_something(place: Place, layout: Layout) -> str:
    """The door or piece that a place on free floor is next to, else the part of the room."""
    for door in layout.doors:
        along = place.x if door.side in ("nearside", "offside") else place.y
        across = {
            "nearside": place.y,
            "offside": layout.width - place.y,
            "front": place.x,
            "rear": layout.length - place.x,
        }[door.side]
        if door.kind != "cab" and across < 600 and door.start - 300 <= along <= door.start + door.width + 300:
            return f"by the {door.name}"
    near = [
        (_gap(place, f), n) for n, f in enumerate(layout.furniture) if not f.hidden and f.room == place.room
    ]
    if near and min(near)[0] < _BY_MM:
        return f"by the {layout.furniture[min(near)[1]].name}"
    return _part_of_room(place, layout)


def _gap(place: Place, piece: Furniture) -> float:
    area = piece.area
    dx = max(area.x - place.x, 0, place.x - area.x - area.length)
    dy = max(area.y - place.y, 0, place.y - area.y - area.width)
    return float((dx * dx + dy * dy) ** 0.5)


def _outside(place: Place, kind: str, layout: Layout) -> Iterator[str]:
    height = _OUTSIDE_HEIGHT.get(place.height, "")
    if place.hatch:
        hatch = next(h for h in layout.hatches if h.id == place.hatch)
        if kind not in hatch.id:  # a gas locker is not "in the gas locker"
            yield f"in the {_plain(hatch.name, place.where)}"
            return
    if place.where in ("front", "rear"):
        yield from (height, _on_drawbar(place, layout) or _across(place.y, layout))
    else:
        yield from (height, _landmark(place.x, place.where, kind, layout))


def _on_drawbar(place: Place, layout: Layout) -> str:
    return "on the drawbar" if place.x < 0 and layout.drawbar > 0 and place.where == "front" else ""


def _plain(name: str, side: str) -> str:
    """A name without the side that was said before."""
    return name.replace(f"{side} ", "")


def _landmark(x: float, side: str, kind: str, layout: Layout) -> str:
    """The nearest thing on a side that a person standing there sees."""
    found: list[tuple[float, str]] = []
    for name, start, end in (*_wheels(layout), *_doors(side, kind, layout)):
        if start <= x <= end:
            found.append((0.0, f"by the {name}"))
            continue
        gap = x - end if x > end else start - x
        just = "just " if gap < 600 else ""
        found.append((gap, f"{just}{'behind' if x > end else 'ahead of'} the {name}"))
    ends = [(x, "near the front end"), (layout.length - x, "near the rear end")]
    found += [(max(0.0, gap - 250) + 1, words) for gap, words in ends if gap < 700]
    best = min(found, default=(9e9, ""))
    return best[1] if best[0] <= _NEAR_MM else "in the middle"


def _doors(side: str, kind: str, layout: Layout) -> Iterator[tuple[str, float, float]]:
    for door in layout.doors:
        if door.side == side and kind not in door.id:
            yield _plain(door.name, side), door.start, door.start + door.width


def _wheels(layout: Layout) -> Iterator[tuple[str, float, float]]:
    axles = sorted({round(w.x): w.diameter for w in layout.wheels}.items())
    for n, (x, diameter) in enumerate(axles):
        if layout.body == "caravan":
            name = "wheel" if len(axles) == 1 else ("front wheel", "rear wheel")[min(n, 1)]
        else:
            name = "front wheel" if n == 0 else "rear wheel"
        yield name, x - diameter / 2, x + diameter / 2


def _across(y: float, layout: Layout) -> str:
    share = y / layout.width
    return "nearside" if share < 0.4 else "offside" if share > 0.6 else "in the middle"
