"""Says a place as a person would, from geometry and furniture.

"Inside, rear lounge, under the nearside bench, front end"
"Outside, offside, low, just behind the rear wheel"
"""

from __future__ import annotations

from collections.abc import Iterator

from guidegen.vehicle.landmarks import Level, across_phrase, landmark_phrase, without_side
from guidegen.vehicle.layout import Area, Door, Furniture, Hatch, Layout, Room
from guidegen.vehicle.model import Height
from guidegen.vehicle.outline import nearest_side
from guidegen.vehicle.places import SEATS, Place, opening_area

_HOLLOW = {"wardrobe", "cupboard", "locker", "drawers", "shelf", "dresser", "cabinet", "shower"}
_SMALL = {"toilet", "washbasin", "fridge", "hob", "sink", "oven", "microwave"}  # need no end named
_COOKERS = {
    ("oven", "hob"): "below the hob",
    ("grill", "hob"): "below the hob",
    ("grill", "oven"): "above the oven",
}
_WINDOWS = {"escape-window", "opening-window"}
_OPENINGS = {"roof-light", "extractor-fan", *_WINDOWS}
_ALARMS = {"smoke-alarm", "co-alarm"}
_ON_CEILING = {*_ALARMS, "aerial", "air-conditioner"}
# What shows on the face of furniture, so that nobody has to open anything to reach it.
_ON_FACE = {
    "blown-air-control",
    "charger-switch",
    "co-alarm",
    "control-panel",
    "fire-blanket",
    "fire-extinguisher",
    "gas-alarm",
    "heater-control",
    "level-gauge",
    "lights-switch",
    "polarity-light",
    "pump-switch",
    "socket-12v",
    "socket-230v",
    "step-switch",
    "usb-socket",
    "warm-air-outlet",
    "water-heater-gas-switch",
    "water-heater-mains-switch",
}
_INSIDE_HEIGHT: dict[Height, str] = {
    "under-floor": "under the floor",
    "floor": "at floor level",
    "under-seat": "low down",
    "low": "low down",
    "worktop": "at waist height",
    "eye-level": "at eye level",
    "ceiling": "near the ceiling",
    "roof": "near the ceiling",
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
_RAISED = {"worktop", "eye-level", "ceiling"}  # above the wheels
_CHEST_MM = {"inside": 1100.0, "outside": 1250.0}  # above floor or ground: higher than a waist
_BY_MM = 450.0
_TALL_MM = 1200.0
_FULL_MM = 1700.0  # a cupboard as high as the room
_SMALL_ROOM_MM = 1300.0
_WALL_MM = 150.0


def place_phrase(place: Place, kind: str, layout: Layout) -> str:
    """The place in words; `kind` is the point's kind, so that a hob is not "on the hob"."""
    say = {"inside": _inside, "roof": _on_roof, "under": _under_floor}.get(place.where, _outside)
    return ", ".join(part for part in say(place, kind, layout) if part)


# Inside


def _inside(place: Place, kind: str, layout: Layout) -> Iterator[str]:
    room, piece = layout.room(place.room), layout.piece(place.furniture)
    if place.x < layout.bonnet and not piece:
        yield from ("Under the bonnet", across_phrase(place.y, layout))
        return
    if piece and (way := layout.way_into(piece, place.y)):
        yield from ("Outside", f"through the {way.name}")
        if piece.kind == "garage":
            yield from _in_garage(place, piece, layout)
        elif _is_itself(piece, kind):
            yield _beyond_its_name(piece, kind)
        else:
            yield from _at_piece(place, piece, kind, layout)
        return
    yield "Inside"
    if place.door:
        yield from _by_door(place, layout)
        return
    if piece and piece.kind == "garage":
        yield from (piece.name, _end(place, piece, layout), _level(place, layout))
        return
    if room and not (piece and piece.name == room.name):
        yield room.name
    if kind in _WINDOWS and place.height != "ceiling":
        yield f"{nearest_side(layout, place.x, place.y)} window"
    elif place.height in ("ceiling", "roof"):
        yield from _overhead(place, kind, piece, layout)
    elif piece and (words := _by_cooker(piece, kind, layout)):
        yield words
    elif piece and piece.hidden and piece.kind == kind:
        yield "overhead"
    elif piece and _is_itself(piece, kind):
        yield from (_beyond_its_name(piece, kind), _part_of_room(place, layout))
    elif piece:
        yield from _at_piece(place, piece, kind, layout)
    else:
        yield from (_by_something(place, layout), _level(place, layout))


def _by_cooker(piece: Furniture, kind: str, layout: Layout) -> str:
    """Where an oven or a grill is by the hob or oven that it is built in with, also below it."""
    hobs = [f.kind for f in layout.furniture if f.kind == "hob" and f.area.contains(*piece.area.centre)]
    return next((_COOKERS[kind, other] for other in (piece.kind, *hobs) if (kind, other) in _COOKERS), "")


def _by_door(place: Place, layout: Layout) -> Iterator[str]:
    door = next(d for d in layout.doors if d.id == place.door)
    if place.height in ("ceiling", "roof"):
        yield from (f"above the {door.name}", _end_of_opening(place.x, door))
        return
    yield from (f"by the {door.name}", _level(place, layout))


def _level(place: Place, layout: Layout) -> str:
    """The height inside in words."""
    high = place.z - layout.floor >= _CHEST_MM["inside"]
    return "at chest height" if place.height == "worktop" and high else _INSIDE_HEIGHT[place.height]


def _in_garage(place: Place, piece: Furniture, layout: Layout) -> Iterator[str]:
    """What lies beyond the door or flap, which tells the side; nothing of what is right behind it."""
    if place.door:
        yield _level(place, layout)
        return
    _, dy = _off_middle(place.x, place.y, piece.area)
    yield from (_end(place, piece, layout, ("x",)), "far in" if abs(dy) < 0.4 else "")
    yield _level(place, layout)


def _overhead(place: Place, kind: str, piece: Furniture | None, layout: Layout) -> Iterator[str]:
    if kind in _OPENINGS:
        yield from ("in the ceiling", _part_of_room(place, layout))
    elif piece and piece.kind in _HOLLOW and piece.top_mm > _FULL_MM and kind not in _ALARMS:
        yield from (f"in the {_short(piece, layout)}", "at the top")
    elif kind in _ON_CEILING:
        yield from ("on the ceiling", _part_of_room(place, layout))
    elif piece and piece.kind == kind:
        yield "overhead"
    elif piece:
        yield from (f"above the {_short(piece, layout)}", _end(place, piece, layout), "near the ceiling")
    else:
        yield from (_by_something(place, layout), "near the ceiling")


def _is_itself(piece: Furniture, kind: str) -> bool:
    hotplate = kind == "hotplate-230v" and piece.kind == "hob"
    return piece.kind == kind or hotplate or piece.name.startswith(kind.replace("-", " "))


def _beyond_its_name(piece: Furniture, kind: str) -> str:
    """What the name of a piece says beyond the kind: "gas locker under the bed" → "under the bed"."""
    words = kind.replace("-", " ")
    return piece.name.removeprefix(words).strip() if piece.name.startswith(words) else ""


def _at_piece(place: Place, piece: Furniture, kind: str, layout: Layout) -> Iterator[str]:
    above_floor = place.z - layout.floor
    name, end, height = _short(piece, layout), _end(place, piece, layout), _level(place, layout)
    clear = 150 if piece.kind in SEATS else 80
    if above_floor > piece.top_mm + clear:
        end = _end(place, piece, layout, ("x",) if piece.area.length >= piece.area.width else ("y",))
        yield from (f"above the {name}", end, "" if place.height == "worktop" else height)
    elif piece.kind in SEATS or piece.kind in _HOLLOW:
        yield from _at_box(place, piece, kind, layout)
    elif piece.kind == "fridge":
        word = "on" if kind == "fridge-control" or above_floor > piece.top_mm - 20 else "beside"
        word = "below" if word == "beside" and place.height == "floor" else word
        yield from (f"{word} the {name}", "" if word == "below" else height)
    elif piece.kind == "toilet":
        yield "on the toilet"
    elif above_floor < piece.top_mm - 20:
        yield from (f"under the {name}", end, "at floor level" if place.height == "floor" else "")
    else:
        yield from (f"on the {name}", end)


def _at_box(place: Place, piece: Furniture, kind: str, layout: Layout) -> Iterator[str]:
    """In, under, on the face or at the base of a seat, bed or cupboard."""
    name, end = _short(piece, layout), _end(place, piece, layout)
    below = place.z - layout.floor < piece.top_mm
    if below and kind in _ON_FACE and piece.kind != "shower" and _at_free_edge(place, piece):
        along: tuple[str, ...] = ("x",) if piece.facing in ("nearside", "offside") else ("y",)
        end = _end(place, piece, layout, along).replace(" side", " end")  # one side is said before
        at_floor = place.height == "floor"
        height = "" if at_floor or piece.kind in SEATS else _level(place, layout)
        yield from (f"{'at the base of' if at_floor else _face(piece, kind)} the {name}", end, height)
    elif piece.kind in SEATS:
        yield from (f"{'under' if below else 'at'} the {name}", end)
    else:
        yield from (f"in the {name}", end, "" if piece.kind == "locker" else _level(place, layout))


def _face(piece: Furniture, kind: str) -> str:
    """Where on a piece its free edge is: its front or rear where that is plain, else its side."""
    if piece.facing == "front" and piece.kind in SEATS:
        return "in front of" if kind == "fire-extinguisher" else "on the front of"
    return "on the rear side of" if piece.facing == "rear" else "on the side of"


def _short(piece: Furniture, layout: Layout) -> str:
    """The piece's name without that of the room, which was said before."""
    room = layout.room(piece.room)
    return piece.name.replace(f"{room.name} ", "", 1) if room else piece.name


def _off_middle(x: float, y: float, area: Area) -> tuple[float, float]:
    """How far off the middle, from -1 (front, nearside) to 1 (rear, offside)."""
    return (x - area.centre[0]) / area.length * 2, (y - area.centre[1]) / area.width * 2


def _at_free_edge(place: Place, piece: Furniture) -> bool:
    dx, dy = _off_middle(place.x, place.y, piece.area)
    return {"front": -dx, "rear": dx, "nearside": -dy, "offside": dy}[piece.facing] > 0.4


def _end(place: Place, piece: Furniture, layout: Layout, ways: tuple[str, ...] = ("x", "y")) -> str:
    """Which end or side of a piece, when it is off the middle."""
    if piece.kind in _SMALL:
        return ""
    dx, dy = _off_middle(place.x, place.y, piece.area)
    along = ("front" if dx < 0 else "rear") if abs(dx) > 0.4 and "x" in ways else ""
    across = ("nearside" if dy < 0 else "offside") if abs(dy) > 0.4 and "y" in ways else ""
    if along and across:
        return f"{across} {along} corner"
    long_way = piece.area.length >= piece.area.width
    if along:
        return f"{along} {'end' if long_way else 'side'}"
    if across and not long_way and piece.facing in ("front", "rear"):
        return f"{across} end"
    return _short_side(across, piece, layout) if across else ""


def _short_side(side: str, piece: Furniture, layout: Layout) -> str:
    """The nearside or offside of a long piece: its wall side, its aisle side, or an edge."""
    if piece.facing == side:
        return "aisle side"
    area = piece.area
    gaps = {"nearside": area.y, "offside": layout.width - area.y - area.width}
    if max(gaps.values()) < _WALL_MM:  # from wall to wall
        return f"{side} end"
    return "wall side" if gaps[side] < _WALL_MM else f"{side} edge"


def _part_of_room(place: Place, layout: Layout) -> str:
    """Which part of its room, where the room is large enough to have parts.

    A side is said only of what lies on that side of the vehicle as well.
    """
    room = layout.room(place.room)
    if room is None:
        return across_phrase(place.y, layout)
    if max(room.area.length, room.area.width) < _SMALL_ROOM_MM:
        return ""
    dx, dy = _off_middle(place.x, place.y, room.area)
    side = "nearside" if dy < 0 else "offside"
    across = side if abs(dy) > 0.45 and across_phrase(place.y, layout) == side else ""
    along = ("front" if dx < 0 else "rear") if abs(dx) > 0.55 else ""
    if along and across:
        return f"{across} {along} corner"
    return f"{along} end" if along else across


def _by_something(place: Place, layout: Layout) -> str:
    """The door or piece that a place on free floor is next to, else the part of the room."""
    for door in layout.doors:
        if door.kind != "cab" and _next_to(place, door, layout):
            return f"by the {door.name}"
    room = layout.room(place.room)
    if room and _in_corner(place, room):
        return _part_of_room(place, layout)
    at_eyes = place.height in ("eye-level", "ceiling")
    near = [
        (at_eyes and f.top_mm < _TALL_MM, gap, n)
        for n, f in enumerate(layout.furniture)
        if not f.hidden and f.room == place.room and (gap := _gap(place, f.area)) < _BY_MM
    ]
    if near:
        return f"by the {_short(layout.furniture[min(near)[2]], layout)}"
    return _part_of_room(place, layout) or "in the middle"


def _next_to(place: Place, door: Door, layout: Layout) -> bool:
    return _gap(place, opening_area(layout, door, depth=300)) < 300


def _in_corner(place: Place, room: Room) -> bool:
    dx, dy = _off_middle(place.x, place.y, room.area)
    return min(abs(dx), abs(dy)) > 0.7 and min(room.area.length, room.area.width) > _SMALL_ROOM_MM


def _gap(place: Place, area: Area) -> float:
    dx = max(area.x - place.x, 0, place.x - area.x - area.length)
    dy = max(area.y - place.y, 0, place.y - area.y - area.width)
    return float((dx * dx + dy * dy) ** 0.5)


# Outside


def _on_roof(place: Place, kind: str, layout: Layout) -> Iterator[str]:
    room = layout.room(place.room)
    yield from ("On the roof", f"above the {room.name}" if room else "", across_phrase(place.y, layout))


def _under_floor(place: Place, kind: str, layout: Layout) -> Iterator[str]:
    across = across_phrase(place.y, layout)
    yield from ("Under the floor", across, landmark_phrase(place.x, across, layout))


def _outside(place: Place, kind: str, layout: Layout) -> Iterator[str]:
    yield from ("Outside", place.where)
    window = _window_at(place, layout) if kind in _WINDOWS else ""
    if window:
        yield window
        return
    hatch = next((h for h in layout.hatches if h.id == place.hatch), None)
    itself = kind == "locker-door" or bool(hatch and kind in hatch.id)  # no gas locker in the gas locker
    if hatch and not itself:
        name = without_side(hatch.name, place.where)
        yield f"{'behind' if name.endswith(('flap', 'hatch', 'door')) else 'in'} the {name}"
        yield _end_of_opening(place.x, hatch)
        return
    door = next((d for d in layout.doors if d.id == place.door), None)
    if door and kind == "entry-step":
        yield f"below the {without_side(door.name, place.where)}"
        return
    yield from _on_wall(place, layout, own=place.door if kind in ("habitation-door", "locker-door") else "")


def _on_wall(place: Place, layout: Layout, own: str) -> Iterator[str]:
    """Height and landmark; `own` is the door that the point itself is, which needs no height."""
    height = "" if own else _OUTSIDE_HEIGHT.get(place.height, "")
    if height == _OUTSIDE_HEIGHT["worktop"] and place.z >= _CHEST_MM["outside"]:
        height = "at chest height"
    if place.where in ("front", "rear"):
        yield from (height, _on_drawbar(place, layout) or _across_the_end(place.y, layout))
        return
    level: Level = (
        "below" if place.height == "under-floor" else "above" if place.height in _RAISED else "beside"
    )
    landmark = landmark_phrase(place.x, place.where, layout, level, own)
    yield from ("" if landmark.startswith("below") else height, landmark)


def _window_at(place: Place, layout: Layout) -> str:
    """The window there, named by its room."""
    along = place.x if place.where in ("nearside", "offside") else place.y
    for window in layout.windows:
        room = layout.room(window.room)
        if room and window.side == place.where and window.start <= along <= window.start + window.width:
            return f"{room.name} window"
    return ""


def _end_of_opening(along: float, opening: Door | Hatch) -> str:
    if opening.side not in ("nearside", "offside"):
        return ""
    share = (along - opening.start) / opening.width
    return "front end" if share < 0.3 else "rear end" if share > 0.7 else ""


def _on_drawbar(place: Place, layout: Layout) -> str:
    return "on the drawbar" if place.x < 0 and layout.drawbar > 0 and place.where == "front" else ""


def _across_the_end(y: float, layout: Layout) -> str:
    """Where along the front or rear."""
    share = y / layout.width
    corner = " corner" if not 0.22 < share < 0.78 else ""
    return f"{across_phrase(y, layout)}{corner}"
