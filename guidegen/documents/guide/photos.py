"""Photos of the guide: a point's badge beside its place in the picture, or at the foot where none is said."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from pathlib import Path

from guidegen.documents.guide.pages import Kit
from guidegen.documents.guide.rows import linked_badges
from guidegen.documents.parts import BADGE_MM, INK
from guidegen.drawing.pictures import place_in_photo, prepare_photo
from guidegen.drawing.primitives import WHITE, Circle, Item, Line, Picture, Point, Style, moved
from guidegen.paper.blocks import Drawing, Paragraph
from guidegen.paper.containers import KeepTogether
from guidegen.paper.text import BODY_PT
from guidegen.vehicle.model import ServicePoint

_PHOTO_MM = (68.0, 48.0)  # larger in large print
_RING_MM = 1.7
_AWAY_MM = 8.0  # of a badge's middle from its place
_CLEAR_MM = 1.0
_INKED, _HALO = Style(stroke=INK, width_mm=0.4), Style(stroke=WHITE, width_mm=1.0)
# Where a badge stands from its place, in degrees, best first: at a slant it hides no lever.
_WAYS = (45, 135, 315, 225, 90, 270, 0, 180)
_HELD = "\N{NO-BREAK SPACE}"


def photo_block(kit: Kit, file: Path, points: Sequence[ServicePoint]) -> KeepTogether:
    """One picture with the badges of all points that it shows, and what they are below it."""
    width = min(_PHOTO_MM[0] * max(1.0, kit.look.body.size_pt / BODY_PT), kit.look.column)
    height = width * _PHOTO_MM[1] / _PHOTO_MM[0]
    names = ", ".join(dict.fromkeys(p.name for p in points))
    placed: dict[str, Point] = {}
    for point in points:
        at = place_in_photo(file, width, height, point.photo_at) if point.photo_at else None
        if at:
            placed[point.id] = at
    badges = linked_badges(kit, [p for p in points if p.id not in placed], 6)
    items = (
        Picture(0.0, 0.0, width, height, prepare_photo(file, width, height), names),
        *_marks(kit, [p for p in points if p.id in placed], placed, (width, height)),
        moved(badges.items, 2.0, height - badges.height - 2.0),
    )
    picture = Drawing(items=items, width=width, height=height, title=names)
    caption = Paragraph(text=caption_of(points), style=kit.look.small, space_before_mm=1.0)
    return KeepTogether(blocks=(picture, caption), space_before_mm=4.0, space_after_mm=2.0)


def caption_of(points: Sequence[ServicePoint]) -> str:
    """Each number with its name, what several are called alike said once: "Gas valve: 50 hob, 51 fridge"."""
    named: dict[str, list[tuple[int, str]]] = {}
    for point in points:
        name, _, which = point.name.partition(", ")
        named.setdefault(name, []).append((point.number, which))
    said = []
    for name, shown in named.items():
        if len(shown) == 1:
            ((number, which),) = shown
            said.append(f"{number}{_HELD}{name}{which and f', {which}'}")
        else:
            each = ", ".join(f"{number}{which and f'{_HELD}{which}'}" for number, which in shown)
            said.append(f"{name}: {each}")
    return "; ".join(said)


def _marks(kit: Kit, points: Sequence[ServicePoint], placed: dict[str, Point], size: Point) -> Iterator[Item]:
    """Rings round the places, and badges beside them that hide no other place."""
    radius = BADGE_MM * kit.look.badge_scale / 2
    taken: list[Point] = []
    for point in points:
        place = placed[point.id]
        others = [at for id, at in placed.items() if id != point.id]
        middle = _badge_at(place, others, taken, size, radius)
        taken.append(middle)
        part = _RING_MM / math.dist(place, middle)
        edge = (place[0] + part * (middle[0] - place[0]), place[1] + part * (middle[1] - place[1]))
        for style in (_HALO, _INKED):
            yield Line((edge, middle), style)
            yield Circle(*place, _RING_MM, style)
        badge = linked_badges(kit, (point,), 1)
        yield moved(badge.items, middle[0] - badge.width / 2, middle[1] - badge.height / 2)


def _badge_at(
    place: Point, places: Sequence[Point], badges: Sequence[Point], size: Point, radius: float
) -> Point:
    """The best place that is inside and clear of all else; the one with most room where none is."""
    away = max(_AWAY_MM, radius + 3.0)
    turns = [math.radians(way) for way in _WAYS]
    ways = [(place[0] + away * math.cos(turn), place[1] - away * math.sin(turn)) for turn in turns]

    def room(at: Point) -> float:
        edge = min(at[0], at[1], size[0] - at[0], size[1] - at[1]) - radius
        near = min((math.dist(at, other) - 2 * radius for other in badges), default=edge)
        hidden = min((math.dist(at, other) - radius - _RING_MM for other in places), default=edge)
        return min(edge, near, hidden)

    return next((at for at in ways if room(at) >= _CLEAR_MM), max(ways, key=room))
