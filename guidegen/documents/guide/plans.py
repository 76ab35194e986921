"""Floor plans in the guide: any points of the vehicle, upright or lying, every badge a link into the key."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from functools import cached_property, partial

from msgspec import Struct
from msgspec.structs import replace

from guidegen.documents.guide.pages import Kit, enlarged
from guidegen.documents.guide.rows import place_of
from guidegen.drawing.primitives import Group, Item, Link
from guidegen.plan.arrange import MOST, WORDS_MM, Arrangement, Subject, arrange
from guidegen.plan.callouts import Badge, Callout
from guidegen.plan.errors import SheetTooSmallError
from guidegen.plan.floor import draw_floor
from guidegen.plan.frame import Orientation
from guidegen.plan.numbering import NUMBERING_BOX, subject_of
from guidegen.vehicle.model import ServicePoint, Vehicle

Box = tuple[float, float, float, float]

_CLEAR_MM = 1.5  # between the body and the words at its sides, where no badges stand


class FloorPlan(Struct, frozen=True, dict=True):
    """A plan with its corner at the origin, as large as what is drawn, not as the box given.

    It is drawn when its items are asked for: several are arranged now and then, to see which fits best.
    room_mm: the height that was needed to arrange it.
    """

    width: float
    height: float
    ratio: int
    room_mm: float
    draw: Callable[[], Item]
    narrowed: Callable[[], FloorPlan]

    @cached_property
    def items(self) -> tuple[Item, ...]:
        return (self.draw(),)

    @property
    def narrow(self) -> FloorPlan:
        """A lying plan without the room for badges in front where there are none.

        Others keep it, so that the body stands alike on every page.
        """
        return self.narrowed()


def floor_plan(
    kit: Kit,
    points: Sequence[ServicePoint],
    width: float,
    height: float,
    orientation: Orientation = "portrait",
    *,
    ghosts: Sequence[ServicePoint] = (),
    faded: bool = False,
    texts: Mapping[str, str] | None = None,
    badges: Mapping[str, Badge] | None = None,
    vehicle: Vehicle | None = None,
    most: int = MOST,
) -> FloorPlan:
    """The largest plan of these points that fits the size, its badges at the look's scale.

    ghosts: points as faint dots on a faded vehicle. vehicle: one with more points than the kit's, such as
    ways out. most: the ratio of the smallest plan that is of use. Raises SheetTooSmallError.
    """
    shown = vehicle or kit.context.vehicle
    scale = kit.look.drawing_scale
    subject = Subject(shown.layout, tuple(points), shown.nearside, orientation, badges)
    arranged = arrange(subject, (0.0, 0.0, width / scale, height / scale), most)
    return _Drawn(kit, shown, arranged, tuple(ghosts), faded, texts).plan()


def numbered_plan(kit: Kit) -> FloorPlan:
    """The plan that the numbers follow, as it lies on its own sheet. Raises SheetTooSmallError."""
    vehicle = kit.context.vehicle
    return _Drawn(kit, vehicle, arrange(subject_of(vehicle), NUMBERING_BOX), (), False, None).plan()


class _Drawn(Struct, frozen=True):
    """What a plan is drawn from: shown with these ghosts and texts as they were arranged."""

    kit: Kit
    shown: Vehicle
    arranged: Arrangement
    ghosts: tuple[ServicePoint, ...]
    faded: bool
    texts: Mapping[str, str] | None

    def plan(self, narrow: bool = False) -> FloorPlan:
        scale = self.kit.look.drawing_scale
        _, highest, _, lowest = _extent(self.arranged)
        found = _trimmed(self.kit, self.arranged, narrow)
        left, top, right, bottom = _extent(found)
        return FloorPlan(
            (right - left) * scale,
            (bottom - top) * scale,
            found.ratio,
            (lowest - highest) * scale,
            partial(self.item, found),
            partial(self.plan, narrow=True),
        )

    def item(self, found: Arrangement) -> Item:
        kit, scale = self.kit, self.kit.look.drawing_scale
        left, top, _, _ = _extent(found)
        under = kit.vehicle(found.frame, faded=self.faded or bool(self.ghosts))
        drawn = draw_floor(
            self.shown, kit.context.trade, found, texts=self.texts, ghosts=self.ghosts, under=under
        )
        return enlarged(kit, (*drawn, *links(found, kit.context.vehicle)), -left * scale, -top * scale)


def _trimmed(kit: Kit, found: Arrangement, narrow: bool = False) -> Arrangement:
    """A plan without the room for badges above or below the body where there are none."""
    left, top, right, bottom = kit.outer(found.frame)
    clear = _CLEAR_MM
    boxes = [(left - clear, top - clear, right - left + 2 * clear, bottom - top + 2 * clear)]
    for c in found.placement.callouts:
        boxes.append((c.x - c.width_mm / 2, c.y - c.height_mm / 2, c.width_mm, c.height_mm))
    x, y, w, h = found.box
    top = max(y, min(one[1] for one in boxes) - WORDS_MM)
    bottom = min(y + h, max(one[1] + one[3] for one in boxes) + WORDS_MM)
    left = max(x, min(one[0] for one in boxes) - WORDS_MM) if narrow else x
    return replace(found, box=(left, top, x + w - left, bottom - top))


def _extent(found: Arrangement) -> Box:
    """Left, top, right and bottom of plan and insets together."""
    x, y, w, h = found.box
    boxes = [(x, y, x + w, y + h)]
    for d in found.details:
        cx, cy = found.corners[d.letter]
        boxes.append((cx, cy, cx + d.width, cy + d.height))
    lows = [min(b[i] for b in boxes) for i in (0, 1)]
    highs = [max(b[i] for b in boxes) for i in (2, 3)]
    return lows[0], lows[1], highs[0], highs[1]


def links(found: Arrangement, vehicle: Vehicle) -> Iterator[Item]:
    """A link on every badge of the plan and of its insets."""
    known = {p.id for p in vehicle.points}
    yield from (_link(c) for c in found.callouts if c.key in known)
    for d in found.details:
        inner = tuple(_link(c) for c in d.callouts if c.key in known)
        yield Group(inner, transform=(1.0, 0.0, 0.0, 1.0, *found.corners[d.letter]))


def _link(placed: Callout) -> Link:
    w, h = placed.width_mm, placed.height_mm
    return Link(placed.x - w / 2, placed.y - h / 2, w, h, f"#{place_of(placed.key)}")


def in_groups(
    kit: Kit, points: Sequence[ServicePoint], draw: Callable[[tuple[ServicePoint, ...]], FloorPlan]
) -> list[tuple[tuple[ServicePoint, ...], FloorPlan]]:
    """All points on one plan, or on as few as hold them, system by system; draw makes the plan of a group.

    Raises SheetTooSmallError when not even a handful fits.
    """
    groups = packed(kit, points)
    drawn: list[tuple[tuple[ServicePoint, ...], FloorPlan]] = []
    while groups:
        group = groups.pop(0)
        try:
            drawn.append((group, draw(group)))
        except SheetTooSmallError:
            if len(group) < 4:
                raise
            middle = middle_seam(group)
            groups[:0] = [group[:middle], group[middle:]]
    return drawn


def packed(kit: Kit, points: Sequence[ServicePoint]) -> list[tuple[ServicePoint, ...]]:
    """The points of whole systems in a row, as many as the look wants on one plan."""
    most = kit.look.points_on_a_plan
    if len(points) <= most:
        return [tuple(points)]
    groups: list[tuple[ServicePoint, ...]] = []
    for system in kit.context.trade.systems:
        own = tuple(p for p in points if p.system == system)
        if groups and len(groups[-1]) + len(own) <= most:
            groups[-1] += own
        elif own:
            groups.append(own)
    return groups


def middle_seam(group: tuple[ServicePoint, ...]) -> int:
    """Where to part a group: between two systems near its middle, else in the middle."""
    middle = len(group) // 2
    seams = [n for n in range(1, len(group)) if group[n].system != group[n - 1].system]
    best = min(seams, key=lambda n: abs(n - middle), default=middle)
    return best if abs(best - middle) <= len(group) / 4 else middle
