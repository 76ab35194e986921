"""Safety first: what kills, what to do in a fire, and a plan of ways out, fire equipment and shut-offs."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TypeAlias

from msgspec.structs import replace

from guidegen.documents.guide.columns import CLOSER, in_columns, ordered, paired
from guidegen.documents.guide.pages import (
    PARTED_MM,
    Chapter,
    Kit,
    continued,
    headed,
    label_block,
    labelled,
    section_block,
    title_block,
)
from guidegen.documents.guide.plans import FloorPlan, floor_plan, in_groups
from guidegen.documents.guide.references import page_number
from guidegen.documents.guide.using import applying, numbered_rows
from guidegen.documents.guide.ways_out import (
    WAY_OUT_KINDS,
    WayOut,
    in_green,
    named_ways,
    numbered_ways,
    ways_out,
)
from guidegen.documents.guide.whole import key_rows
from guidegen.documents.signal_panel import Message, SignalPanel
from guidegen.drawing.fonts import text_width_mm
from guidegen.drawing.primitives import Destination, Item, moved
from guidegen.paper.blocks import Block, Heading, Paragraph
from guidegen.paper.containers import closer
from guidegen.paper.flow import Frame, draw_all, fill, stack_height_mm
from guidegen.paper.text import Span, TextStyle
from guidegen.plan.callouts import Badge
from guidegen.plan.errors import SheetTooSmallError
from guidegen.trade.records import Signal, holds
from guidegen.trade.uses import load_uses
from guidegen.vehicle.model import ServicePoint

Ended: TypeAlias = tuple[list[tuple[Item, ...]], float]  # pages, and where the text of the last one ends

_TITLE = "Safety first"
_WAYS = "Ways out, fire equipment and shut-offs"
_EXIT = "Way out"
_PLAN = "plan-of-ways-out"
_BELOW_PLAN_MM = 3.0
_ABOVE_PANEL_MM = 4.0
_LEAST_PLAN_MM = 58.0
_LARGER = (1.25, 1.15)  # times the size of print
_LEAST_LIST_MM = 65.0  # with its heading
_LOWEST_UPRIGHT = 0.5  # of the height of a page
_NARROWEST_MM = 30.0  # a telephone number that is longer may break
_TRIMMED_MM = 7.0  # by which a plan with badges at both sides is lower than the room to arrange it
# Of what is shut off the one that stops most stands first.
_GROUPS: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("Ways out", WAY_OUT_KINDS),
    ("Against fire", ("fire-extinguisher", "fire-blanket")),
    ("First aid", ("first-aid-kit",)),
    ("Alarms", ("smoke-alarm", "co-alarm", "gas-alarm")),
    (
        "Shut-offs",
        (
            "gas-cylinder",
            "underslung-tank-filler",
            "consumer-unit",
            "hookup-inlet",
            "battery-isolator",
            "isolation-valve",
        ),
    ),
)


def safety_chapter(kit: Kit) -> Chapter:
    """Dangers, warnings and cautions, then the plan of ways out: on one page where all fit, else on the next.

    Cautions for which the first page has no room follow the plan and its list. Where they leave a page with
    room for much of the list, it stands there, before its plan.
    """
    tried = [_first_page(kit, style) for style in (kit.look.label, kit.look.body)]
    fewest = min(len(pages) for pages, _ in tried)  # dangers in small print, where that saves a page
    tried = [one for one in tried if len(one[0]) == fewest]
    cautions = tuple(_with_signal(kit, "caution", kit.look.body, kit.look.columns))
    whole = [found for first in tried if (found := _below(kit, first, cautions))]
    for first, foot in whole:
        if len(first) == 1 and (below := _plan_below(kit, foot)):
            return Chapter("safety", _TITLE, ((*first[0], *below),))
    if whole:
        top = (_set_larger(kit) if len(whole[0][0]) == 1 else None) or whole[0]
        for one in (top, *whole[1:]):
            if listed := _list_below(kit, one):
                return Chapter("safety", _TITLE, tuple(listed))
        return Chapter("safety", _TITLE, (*top[0], *_plan_pages(kit)[0]))
    return Chapter("safety", _TITLE, (*tried[0][0], *_plan_with_panels(kit, cautions)))


def _plan_with_panels(kit: Kit, panels: Sequence[Block]) -> list[tuple[Item, ...]]:
    """Plan and list with panels below them, else below a lower plan, else on pages of their own."""
    look = kit.look
    if not look.beside:  # the list alone tells whether they fit, before its plan is arranged
        foot = in_columns(kit, tuple(_listed(kit, ways_out(kit), apart=True)), (), look.key_columns).foot
        if not _below(kit, ([()], foot), panels) and (lower := _below_lower_plan(kit, panels)):
            return lower[0]
    plans = _plan_pages(kit)
    after = _below(kit, plans, panels)
    return after[0] if after else [*plans[0], *in_columns(kit, panels).drawn()]


def _set_larger(kit: Kit) -> Ended | None:
    """The first page with all cautions in a larger print, where it holds that: it is read in haste."""
    for share in _LARGER:
        body, label = (replace(s, size_pt=share * s.size_pt) for s in (kit.look.body, kit.look.label))
        larger = Kit(kit.context, replace(kit.look, body=body, label=label))
        cautions = tuple(_with_signal(larger, "caution", body, kit.look.columns))
        found = _below(larger, _first_page(larger, label), cautions)
        if found and len(found[0]) == 1:
            return found
    return None


def _below(kit: Kit, above: Ended, panels: Sequence[Block]) -> Ended | None:
    """The pages with panels below what stands on the last; None where they do not fit."""
    pages, foot = above
    if not panels:
        return above
    top = foot + _ABOVE_PANEL_MM
    frame = Frame(0.0, top, kit.look.width, kit.look.bottom - top)
    high = stack_height_mm(panels, frame.width)
    if high > frame.height:
        return None
    return [*pages[:-1], (*pages[-1], *draw_all(fill(panels, frame)[0]))], top + high


def _first_page(kit: Kit, style: TextStyle) -> Ended:
    """Dangers in that style, what to do in a fire, warnings; and where they end. Rarely more than a page."""
    head, top = headed(kit, title_block(kit, "safety", _TITLE), *_with_signal(kit, "danger", style))
    fire, warnings = (*_calls(kit), *_fire(kit)), tuple(_with_signal(kit, "warning", kit.look.body))
    laid = paired(kit, fire, warnings, top) or in_columns(
        kit, (*fire, *warnings), kit.look.split(kit.look.columns, top)
    )
    return laid.drawn(*head), laid.foot


def _with_signal(kit: Kit, signal: Signal, style: TextStyle, columns: int = 1) -> Iterator[Block]:
    """One panel of all cautions with that signal word that hold for the vehicle."""
    facts, known = kit.context.vehicle.facts, kit.context.trade.cautions.values()
    messages = tuple(Message(c.text, c.sign) for c in known if c.signal == signal and holds(c.when, facts))
    if messages:
        yield SignalPanel(
            signal=signal,
            messages=messages,
            style=replace(style, weight="regular"),
            columns=columns,
            space_before_mm=_ABOVE_PANEL_MM,
        )


def _fire(kit: Kit) -> Iterator[Block]:
    """What everyone does, in order; then what may be tried at a small fire, which is no step of it."""
    yield label_block(kit, "If there is a fire")
    steps = enumerate(applying(kit, load_uses()["safety"].use), 1)
    small = applying(kit, load_uses()["small-fire"].use)
    yield from numbered_rows(
        kit,
        (
            *((number, use.text, points[:3]) for number, (use, points) in steps),
            *((None, use.text, points[:3]) for use, points in small),
        ),
    )


def _calls(kit: Kit) -> Iterator[Block]:
    """The dealer's own numbers for an emergency and the dealer's, each on a line; first, as the help says."""
    dealer = kit.context.vehicle.dealer
    if not dealer or not (dealer.emergency or dealer.phone):
        return
    yield label_block(kit, "Numbers to call")
    style = kit.look.body.bold
    numbers = [*dealer.emergency.items()]
    if dealer.phone and dealer.phone not in dealer.emergency.values():
        numbers.append((dealer.name, dealer.phone))
    for label, number in numbers:
        held = number.replace(" ", "\N{NO-BREAK SPACE}")
        spans = (Span(f"{label}: "), Span(held if style.width_mm(held) < _NARROWEST_MM else number, "bold"))
        yield Paragraph(text=spans, style=kit.look.body, space_after_mm=1.2)


def _section(kit: Kit) -> Heading:
    return section_block(kit, _WAYS, "ways-out", 1)


def _plan_below(kit: Kit, foot: float) -> tuple[Item, ...]:
    """Plan and list below the warnings that end at `foot`; nothing where the page does not hold both."""
    look = kit.look
    if not look.beside:
        return ()
    head, top = headed(kit, _section(kit), at=foot + PARTED_MM)
    ways = ways_out(kit)
    for white in (1.0, *CLOSER[:2]):
        rows = ordered(kit, closer(tuple(_listed(kit, ways)), white))
        room = look.bottom - top - _BELOW_PLAN_MM - rows.height
        if room < _LEAST_PLAN_MM:
            continue
        for more in (_TRIMMED_MM, _TRIMMED_MM / 2, 0.0):
            try:
                plan = _plan(kit, ways, _points(kit, ways), room + more)
            except SheetTooSmallError:
                continue
            if plan.height <= room:
                below = rows.at(top + plan.height + _BELOW_PLAN_MM)
                return (*head, *_placed(kit, plan, top), *draw_all(below))
    return ()


def _list_below(kit: Kit, above: Ended) -> list[tuple[Item, ...]] | None:
    """The list below what stands on the last page, then its plan; None where that saves no page."""
    look, (pages, foot) = kit.look, above
    at = foot + PARTED_MM
    if look.beside or at + _LEAST_LIST_MM > look.bottom:
        return None
    head, top = headed(kit, _section(kit), at=at)
    ways = ways_out(kit)
    rows = tuple(_listed(kit, ways, apart=True))
    count = look.key_columns
    laid = in_columns(kit, rows, look.split(count, top), count)
    if len(laid.pages) > len(in_columns(kit, rows, (), count).pages):
        return None
    again, start = headed(kit, label_block(kit, continued(_WAYS)))
    plans = _plans(kit, ways, look.bottom - start)
    drawn = [(*again, *_placed(kit, plan, start, named=not n)) for n, plan in enumerate(plans)]
    return [*pages[:-1], *laid.drawn(*pages[-1], *head), *drawn]


def _plan_pages(kit: Kit) -> Ended:
    """Plan and list: on one page where the look allows it, else one after the other."""
    look = kit.look
    head, top = headed(kit, _section(kit))
    ways = ways_out(kit)
    rows = tuple(_listed(kit, ways, apart=not look.beside))
    # A lower plan, where that keeps the whole list on its page.
    for share in (0.5, 0.33, 0.28) if look.beside else (0.0,):
        plan, *others = _plans(kit, ways, share * look.height or look.bottom - top)
        if not look.beside or others:
            break
        laid = in_columns(kit, rows, look.split(look.columns, top + plan.height + _BELOW_PLAN_MM))
        if len(laid.pages) == 1 or share < 0.3:
            return laid.drawn(*head, *_placed(kit, plan, top)), laid.foot
    first = (*head, *_placed(kit, plan, top))
    more = [_placed(kit, other, look.top, named=False) for other in others]
    laid = in_columns(kit, rows, (), look.key_columns)
    return [first, *more, *laid.drawn()], laid.foot


def _below_lower_plan(kit: Kit, panels: Sequence[Block]) -> Ended | None:
    """Plan with panels below it, then the list; None where that leaves too little for the plan."""
    look = kit.look
    head, top = headed(kit, _section(kit))
    ways = ways_out(kit)
    height = look.bottom - top - stack_height_mm(panels, look.width) - _ABOVE_PANEL_MM
    if look.beside or height < _LOWEST_UPRIGHT * look.height:
        return None
    try:
        plan, *others = _plans(kit, ways, height)
    except SheetTooSmallError:
        return None
    first = (*head, *_placed(kit, plan, top))
    below = None if others else _below(kit, ([first], top + plan.height), panels)
    if not below:
        return None
    laid = in_columns(kit, tuple(_listed(kit, ways, apart=True)), (), look.key_columns)
    return [*below[0], *laid.drawn()], laid.foot


def _placed(kit: Kit, plan: FloorPlan, y: float, named: bool = True) -> tuple[Item, ...]:
    """A plan in the middle of the page; named: the list may refer to its page."""
    place = (Destination(_PLAN, y),) if named else ()
    return (*place, moved(plan.items, (kit.look.width - plan.width) / 2, y))


def _plans(kit: Kit, ways: Sequence[WayOut], height: float) -> list[FloorPlan]:
    """As few plans of so high a room as hold all points."""

    def draw(group: tuple[ServicePoint, ...]) -> FloorPlan:
        return _plan(kit, ways, group, height)

    return [plan for _, plan in in_groups(kit, _points(kit, ways), draw)]


def _plan(kit: Kit, ways: Sequence[WayOut], points: Sequence[ServicePoint], height: float) -> FloorPlan:
    """The plan of ways out with some of its points. Raises SheetTooSmallError.

    Every way out is marked alike, those that have a number with it.
    """
    look, vehicle = kit.look, kit.context.vehicle
    marked = {p.id for p in numbered_ways(kit)}
    numbered = {p.id: f"{p.number}\N{NO-BREAK SPACE}{_EXIT}" for p in vehicle.points if p.id in marked}
    texts = {**{w.point.id: _EXIT for w in ways}, **numbered}
    return floor_plan(
        kit,
        points,
        look.width,
        height,
        "landscape" if look.beside else "portrait",
        faded=True,
        texts=texts,
        badges={id: Badge(text_width_mm(text, 8.5, "bold") + 2.4, 5.2, False) for id, text in texts.items()},
        vehicle=replace(vehicle, points=(*in_green(kit, vehicle.points), *(w.point for w in ways))),
    )


def _points(kit: Kit, ways: Sequence[WayOut]) -> tuple[ServicePoint, ...]:
    kinds = {kind for _, group in _GROUPS for kind in group}
    marked = {p.id for p in numbered_ways(kit)}
    shown = (p for p in kit.context.vehicle.points if p.kind in kinds or p.id in marked)
    return (*in_green(kit, shown), *(w.point for w in ways))


def _listed(kit: Kit, ways: Sequence[WayOut], apart: bool = False) -> Iterator[Block]:
    """What the plan shows, by groups; apart: it is on another page, which is then named."""
    page = page_number(_PLAN, None, "page\N{NO-BREAK SPACE}", ".")
    seen = (Span(" See the plan, "), page) if apart else ()
    for title, kinds in _GROUPS:
        out = title == "Ways out"
        points = numbered_ways(kit) if out else kit.context.vehicle.of_kind(*kinds)
        others = ways if out else ()
        if not points and not others:
            continue
        first = sorted(points, key=lambda p: ((*kinds, p.kind).index(p.kind), p.number))
        rows: list[Block] = [*key_rows(kit, in_green(kit, first))]
        if others:
            said = (Span(f"Marked “{_EXIT}” without a number: {named_ways(others)}."), *seen)
            rows.append(Paragraph(text=said, style=kit.look.body, space_before_mm=1.5))
        yield from labelled(kit, title, rows)
