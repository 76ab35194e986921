"""Arrive, leave, lay up, first use: each with a map of the walk, its minutes, and rows to tick."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby
from os.path import commonprefix

from msgspec.structs import replace

from guidegen.documents.guide.columns import Laid, freer, in_columns
from guidegen.documents.guide.pages import Chapter, Kit, continued, headed, title_block
from guidegen.documents.guide.rows import badge_column_mm, linked_badges, marked_badge, web_block
from guidegen.documents.guide.variants import variant_blocks
from guidegen.documents.guide.walk_map import WalkMap, stop_tag
from guidegen.documents.parts import TICK_BOX_MM, checked, tick_box_block
from guidegen.documents.steps import TITLES, StepLook, caution_block
from guidegen.numbers.wording import minutes_said
from guidegen.paper.blocks import Block, Paragraph, Spacer
from guidegen.paper.containers import Cell, KeepTogether, Row, Stack
from guidegen.paper.text import Span
from guidegen.sequence.model import PlannedSequence, PlannedStep
from guidegen.vehicle.layout import Layout
from guidegen.vehicle.model import ServicePoint
from guidegen.vehicle.outline import room_at

_MAP_SHARE = 0.28  # of the page's height
_LOWER_MAP = (0.24, 0.2)  # in one column, where the numbers are large for the map, and in two
_LARGEST_MAP = 0.38
_BELOW_MAP_MM = 5.0
_FILLED = 0.58  # of a last page: steps stand freer to fill so much, and are easier to tick
_CLOSER_TOO = 3.0  # rows that stand closer save about twice as much again as a lower map
_INSIDE, _OUTSIDE, _ON_THE_ROOF = "Inside", "Outside", "On the roof"
_WITHOUT = (_OUTSIDE, _ON_THE_ROOF, "Under the floor")
_SIDES = ("nearside", "offside", "front", "rear")
_BOTH, _BOTH_WAYS, _COMMA = "Inside and outside", "Outside and inside", ", "
_ENDS = frozenset({"end", "corner", "side", "edge"})  # of what a place is in or above
_AT_HAND_MINUTES = 0.5  # a step that says no minutes of its own (common practice, no source)


def walk_chapter(kit: Kit, sequence: PlannedSequence) -> Chapter:
    """The pages of one sequence."""
    title = TITLES[sequence.name]

    def rows_of(other: PlannedSequence) -> tuple[Block, ...]:
        return tuple(_rows(kit, stops_of(other)))

    head, top = headed(
        kit,
        title_block(kit, sequence.name, title),
        Paragraph(text=_figures(sequence), style=kit.look.body),
    )
    rows = (*_rows(kit, stops_of(sequence)), *variant_blocks(kit, sequence, rows_of))
    walk, laid = _laid_out(kit, sequence, rows, top)
    if walk.crowded:
        roomier = (_laid_out(kit, sequence, rows, top, beyond) for beyond in (2, 3))
        walk, laid = next((one for one in roomier if not one[0].crowded), (walk, laid))
    return Chapter(sequence.name, title, tuple(laid.drawn(*head, *walk.drawn(0.0, top))))


def stops_of(sequence: PlannedSequence) -> list[tuple[PlannedStep, ...]]:
    """The steps by where one stands, in walking order."""
    return [tuple(steps) for _, steps in groupby(sequence.steps, key=lambda s: s.stop)]


def _figures(sequence: PlannedSequence) -> tuple[Span, ...]:
    minutes = sequence.minutes + sum(_AT_HAND_MINUTES for step in sequence.steps if step.minutes < 1)
    stops = len(stops_of(sequence))
    goes_on = any(len(step.spots) > 1 for step in sequence.steps)
    rings = "; a ring marks where a step goes on" if goes_on else ""
    hook_up = {"hook-up": " On a pitch with hook-up.", "no-hook-up": " Without hook-up."}
    return (
        Span(f"Allow about {_held(minutes_said(minutes))}", "bold"),
        Span(f" with {sequence.walk_m:.0f} m of walking, {stops} stops."),
        Span(hook_up.get(sequence.variant, "")),
        Span(f" Tick each step. Numbers on black are the stops on the map{rings}."),
    )


def _held(text: str) -> str:
    return text.replace(" ", "\N{NO-BREAK SPACE}")


def _laid_out(
    kit: Kit, sequence: PlannedSequence, rows: Sequence[Block], top: float, beyond: int = 1
) -> tuple[WalkMap, Laid]:
    """The map across the first page, the steps below it and on; a lower map where that saves a page.

    Where a last page is left with little on it, the map is larger and the steps stand freer, to fill it.
    beyond: rows of numbers for which the map has room beyond the way.
    """
    look = kit.look
    found: list[tuple[WalkMap, Laid]] = []
    lowest = _LOWER_MAP[look.columns - 1]
    for share in (_MAP_SHARE, lowest):
        walk = WalkMap(kit, sequence, look.width, share * look.height, beyond)
        laid = in_columns(kit, rows, look.split(look.columns, top + walk.height + _BELOW_MAP_MM))
        found.append((walk, laid))
        saved = (share - lowest) * look.height * look.columns
        if len(laid.pages) == 1 or laid.last_mm > _CLOSER_TOO * saved:
            break
    walk, laid = min(found, key=lambda one: len(one[1].pages))
    wanted = _FILLED * look.height * look.columns
    if len(laid.pages) == 1 or laid.last_mm > wanted:
        return walk, laid
    most = min(_LARGEST_MAP * look.height, walk.height + (wanted - laid.last_mm) / look.columns)
    larger = WalkMap(kit, sequence, look.width, most, beyond)
    first = look.split(look.columns, top + larger.height + _BELOW_MAP_MM)
    free = freer(kit, rows, first, wanted)
    return (larger, free) if len(free.pages) <= len(laid.pages) else (walk, laid)


def _rows(kit: Kit, stops: Sequence[tuple[PlannedStep, ...]]) -> Iterator[Block]:
    told: set[str] = set()
    points = {p.id: p for p in kit.context.vehicle.points}
    look = StepLook(
        style=kit.look.body, caution_pt=kit.look.body.size_pt, sign_mm=0.8 * kit.look.body.size_pt
    )
    for number, steps in enumerate(stops, 1):
        placed = [_placed(s, points) for s in steps]
        header = _header(steps, placed)
        begun = "" if _COMMA in header else _begun(kit.context.vehicle.layout, steps, placed)
        space = {"space_before_mm": 1.4, "space_after_mm": 1.4}
        stop = replace(_stop_row(kit, number, header + begun), **{**space, "space_before_mm": 4.4})
        again = replace(_stop_row(kit, number, continued(header)), **space)
        yield replace(stop, keep_with_next=True)
        for step in steps:
            for id in step.cautions:
                if id not in told:
                    told.add(id)
                    yield replace(caution_block(kit.context, id, look), carried=again)
            row = _step_rows(kit, step, _placed(step, points), header)
            yield replace(row, **space, keep_with_next=bool(step.web), carried=again)
            if step.web:
                yield replace(web_block(kit, step.web, "More on this step:"), carried=again)


def _placed(step: PlannedStep, points: dict[str, ServicePoint]) -> tuple[ServicePoint, ...]:
    return tuple(points[id] for id in step.points if id in points)


def _header(steps: Sequence[PlannedStep], points: Sequence[tuple[ServicePoint, ...]]) -> str:
    """Where a stop is, as far as that is true of all that is done at it: "Inside, kitchen"."""
    where = _OUTSIDE if steps[0].outside else _INSIDE
    places = {p.place for one in points for p in one} | {
        s.place or where for s, one in zip(steps, points, strict=True) if not one
    }
    if steps[0].stop == "seat":  # also where one only goes from there to something inside
        return steps[0].place
    if not steps[0].outside:  # what is on the roof is worked from inside: nobody is sent up there
        places = {_INSIDE if place.startswith(_ON_THE_ROOF) else place for place in places}
    parts = commonprefix([place.split(_COMMA) for place in sorted(places)])
    if parts:
        return _COMMA.join(parts)
    both = any(place.startswith(_INSIDE) for place in places) and any(p.startswith(_WITHOUT) for p in places)
    return (_BOTH if where == _INSIDE else _BOTH_WAYS) if both else where


def _begun(layout: Layout, steps: Sequence[PlannedStep], points: Sequence[tuple[ServicePoint, ...]]) -> str:
    """Where one begins at a stop that leads to several rooms or sides: ", kitchen first"; else "".

    From the driver's seat one only goes on to the rest: ", then kitchen".
    """
    known = {*(room.name for room in layout.rooms), *_SIDES}
    begins = [_room_or_side(layout, step, one) for step, one in zip(steps, points, strict=True)]
    if steps[0].stop == "seat":
        return next((f"{_COMMA}then {where}" for where in begins if where in known), "")
    first = next(filter(None, begins), "")
    return f"{_COMMA}{first} first" if first in known else ""


def _room_or_side(layout: Layout, step: PlannedStep, points: tuple[ServicePoint, ...]) -> str:
    """The room or side of a step, or what it is by; "" where it is done wherever one is."""
    if points:
        return points[0].place.partition(_COMMA)[2].split(_COMMA)[0]
    if step.unlocated or step.outside or not step.place.startswith(_INSIDE + _COMMA):
        return ""
    room = layout.room(room_at(layout, step.x, step.y))
    return room.name if room else ""


def _stop_row(kit: Kit, number: int, place: str) -> Row:
    """The dark number of a stop and where it is."""
    size = kit.look.body.size_pt
    tag = stop_tag(str(number), size)
    return Row(
        cells=(Cell(tag, max(TICK_BOX_MM, tag.width)), Cell(Paragraph(text=place, style=kit.look.body.bold))),
        gap=1.8,
    )


def _step_rows(kit: Kit, step: PlannedStep, points: tuple[ServicePoint, ...], header: str) -> KeepTogether:
    """Tick box, badges and action; place or places, check and minutes below it.

    Where a step is done at several places, each has a line of its own with its badge.
    """
    style = kit.look.body
    several = len({(p.place, _served(p)) for p in points}) > 1
    above: list[Block] = [Paragraph(text=step.text, style=style.bold)]
    below: list[Block] = []
    place = points[0].place if points else step.place
    note = _valve_note(points[0]) if len(points) == 1 else ""
    if not several and place not in (header, _INSIDE, _OUTSIDE, ""):
        above.append(_said(kit, place, header, note=note))
    elif not several and note:
        above.append(Paragraph(text=note, style=style))
    if step.check:
        below.append(checked(step.check, style))
    if step.minutes >= 1:
        said = f"Allow about {_held(minutes_said(step.minutes))}."
        below.append(Paragraph(text=said, style=style))
    if not several:
        texts = Stack(blocks=(*above, *below))
        return KeepTogether(blocks=(_row(kit, True, points, texts, unknown=step.unlocated),))
    places = [_row(kit, False, (p,), _said(kit, p.place, header, _served(p), _valve_note(p))) for p in points]
    foot = [_row(kit, False, (), Stack(blocks=tuple(below)))] if below else []
    return KeepTogether(blocks=(_row(kit, True, (), Stack(blocks=tuple(above))), *places, *foot))


def _row(kit: Kit, tick: bool, points: tuple[ServicePoint, ...], text: Block, unknown: bool = False) -> Row:
    """A line of a step: the columns of tick box and badges are kept where they are empty.

    unknown: a point that is still to be located, marked with a question mark.
    """
    style = kit.look.body
    size = max(TICK_BOX_MM, style.size_pt * 0.36)
    box = tick_box_block(style.size_pt, size)
    badge = marked_badge(kit, "?") if unknown and not points else linked_badges(kit, points, 1)
    cells = (
        Cell(box if tick else Spacer(height=0.0), size),
        Cell(badge, max(badge_column_mm(kit), badge.width)),
        Cell(text),
    )
    return Row(cells=cells, gap=1.8, space_before_mm=0.3 if points and not tick else 0.0)


def _valve_note(point: ServicePoint) -> str:
    """The note on a valve, "behind the plinth board"; one that says how to work a thing fits only one way."""
    return point.note if point.serves else ""


def _served(point: ServicePoint) -> str:
    """Which of its kind it is: "fridge" of "Gas isolation valve, fridge"."""
    return point.name.partition(", ")[2] if point.serves else ""


def _said(kit: Kit, place: str, header: str, served: str = "", note: str = "") -> Paragraph:
    """The place without the words that stand over it; what it serves first, what hides it last."""
    parts, over = place.split(_COMMA), header.split(_COMMA)
    short = _COMMA.join(parts[len(commonprefix([parts[:-1], over])) :])
    if len(parts) > 1 and short == parts[-1] and short.split()[-1] in _ENDS:
        short = f"at the {short}"  # of what is said above; alone it would read as that of the vehicle
    text = f"{served}: {short}" if served else short
    said = f"{text}. {note}" if note else text
    return Paragraph(text=said[:1].upper() + said[1:], style=kit.look.body)
