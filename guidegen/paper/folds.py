"""Folded sheets: schemes read from folds.yaml, panels turned into place on both sides of the sheet."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cache
from pathlib import Path
from typing import Any, Literal

from msgspec import Struct

from guidegen.drawing.primitives import Group, Item, Point, Sheet
from guidegen.errors import WrongUse
from guidegen.paper.flow import Frame
from guidegen.paper.marks import (
    BAR_CAPTION,
    BAR_MM,
    check_bar,
    cut_line,
    fold_tick,
    small_print,
    turned,
    turning_note,
)
from guidegen.paper.sheets import Duplex
from guidegen.resources import shipped_yaml

Side = Literal["front", "back"]
_NEAR = 1e-6


class Panel(Struct, frozen=True):
    """One page of a folded sheet.

    x, y, box_width, box_height is its place on its side of the sheet, the back seen as a leaf is turned,
    about a vertical axis; turn_deg is how far its content stands turned there, clockwise. The content's own
    coordinates run from its top left corner: width × height.
    """

    id: str
    side: Side
    x: float
    y: float
    box_width: float
    box_height: float
    turn_deg: int
    order: int
    margin_mm: float = 6.0
    foot_mm: float = 0.0
    strip_mm: float = 0.0
    poster: bool = False

    @property
    def width(self) -> float:
        return self.box_height if self.turn_deg in (90, 270) else self.box_width

    @property
    def height(self) -> float:
        return self.box_width if self.turn_deg in (90, 270) else self.box_height

    @property
    def frame(self) -> Frame:
        """What the content may fill, in its own coordinates: inside the margins, clear of the small print."""
        margin = self.margin_mm
        width = self.width - 2 * margin - self.strip_mm
        return Frame(margin, margin, width, self.height - 2 * margin - self.foot_mm)

    def placed(self, items: Sequence[Item]) -> Group:
        """Items in the content's coordinates as they stand on the side of the sheet."""
        right, foot = self.x + self.box_width, self.y + self.box_height
        corner = {0: (self.x, self.y), 90: (right, self.y), 180: (right, foot), 270: (self.x, foot)}
        return turned(items, *corner[self.turn_deg], self.turn_deg)

    def from_sheet(self, point: Point) -> Point:
        """A point of the panel's side in the content's coordinates."""
        x, y = point[0] - self.x, point[1] - self.y
        return {
            0: (x, y),
            90: (y, self.box_width - x),
            180: (self.box_width - x, self.box_height - y),
            270: (self.box_height - y, x),
        }[self.turn_deg]


class Crease(Struct, frozen=True):
    """A straight fold in the front's coordinates; towards says on which side its two parts meet."""

    start: Point
    end: Point
    towards: Side


class Note(Struct, frozen=True):
    """A place for small print in a panel's own coordinates; at is on the baseline of the last line."""

    panel: str
    at: Point
    width_mm: float


class Bar(Struct, frozen=True):
    """Place of the 100 mm check bar in a panel's own coordinates; at 90° it runs down the page."""

    panel: str
    at: Point
    turn_deg: int
    caption: Note


class Fold(Struct, frozen=True):
    """A fold scheme: a sheet with panels, creases and cuts."""

    name: str
    title: str
    width_mm: float
    height_mm: float
    panels: tuple[Panel, ...]
    creases: tuple[Crease, ...]
    cuts: tuple[tuple[Point, Point], ...]
    notes: tuple[Note, ...]
    bar: Bar
    how: str

    @property
    def reading(self) -> tuple[Panel, ...]:
        """The pages in reading order, posters left out."""
        return tuple(sorted((p for p in self.panels if not p.poster), key=lambda p: p.order))

    def panel(self, id: str) -> Panel:
        """Raises KeyError when there is none of that id."""
        for panel in self.panels:
            if panel.id == id:
                return panel
        raise KeyError(id)

    def creases_on(self, side: Side) -> tuple[tuple[Point, Point], ...]:
        """The folds as seen on that side."""
        return tuple((self._seen(c.start, side), self._seen(c.end, side)) for c in self.creases)

    def folds_through(self, panel: Panel) -> tuple[tuple[Point, Point], ...]:
        """The folds of the panel's side in its own coordinates: on a poster, text should keep off them."""
        return tuple(
            (panel.from_sheet(start), panel.from_sheet(end)) for start, end in self.creases_on(panel.side)
        )

    def ticks(self, side: Side) -> tuple[Item, ...]:
        """Where to fold: marks at the ends of the folds, 5 mm clear of the sheet's edge."""
        items: list[Item] = []
        for start, end in self.creases_on(side):
            for at, other in ((start, end), (end, start)):
                if self._on_edge(at, other):
                    items.append(fold_tick(at, _direction(at, other)))
        return tuple(items)

    def _seen(self, point: Point, side: Side) -> Point:
        return point if side == "front" else (self.width_mm - point[0], point[1])

    def _on_edge(self, at: Point, other: Point) -> bool:
        """Whether a fold's end lies on the edge of the sheet that it runs into."""
        axis = 0 if abs(at[1] - other[1]) < _NEAR else 1
        return min(at[axis], (self.width_mm, self.height_mm)[axis] - at[axis]) < _NEAR


def fold(name: str) -> Fold:
    """The fold scheme of that name. Raises WrongUse when there is none."""
    schemes = _schemes()
    if name not in schemes:
        raise WrongUse(f"There is no fold called “{name}”: choose one of {', '.join(schemes)}.")
    return schemes[name]


def fold_names() -> tuple[str, ...]:
    """The names of all fold schemes."""
    return tuple(_schemes())


def assemble(
    scheme: Fold, panel_items: Mapping[str, Sequence[Item]], duplex: Duplex, title: str = ""
) -> tuple[Sheet, ...]:
    """Front and back of the sheet: panels turned into place, fold ticks, small print and check bar.

    panel_items maps panel ids to items in the panel's own coordinates; panels may be missing. The back is
    left out when nothing stands on it. duplex is the edge on which the printer turns the sheet; on the edge
    that does not turn it like a leaf the back is printed head over. Raises KeyError for unknown panels.
    """
    filled = [(scheme.panel(id), items) for id, items in panel_items.items() if items]
    has_back = any(panel.side == "back" for panel, _ in filled)
    sides: list[Side] = ["front", "back"] if has_back else ["front"]
    return tuple(_side(scheme, side, filled, duplex, has_back, title) for side in sides)


def turns_like_a_leaf(width_mm: float, height_mm: float, duplex: Duplex) -> bool:
    """Whether turning on that edge turns the sheet about a vertical axis."""
    return duplex == ("short" if width_mm > height_mm else "long")


def head_over(items: Sequence[Item], width_mm: float, height_mm: float) -> Group:
    """A whole side turned by 180°."""
    return turned(items, width_mm, height_mm, 180)


def _side(
    scheme: Fold,
    side: Side,
    filled: Sequence[tuple[Panel, Sequence[Item]]],
    duplex: Duplex,
    two_sided: bool,
    title: str,
) -> Sheet:
    width, height = scheme.width_mm, scheme.height_mm
    items: list[Item] = [panel.placed(content) for panel, content in filled if panel.side == side]
    items += scheme.ticks(side)
    if side == "front":
        items += [item for start, end in scheme.cuts for item in cut_line(start, end)]
    for note in scheme.notes:
        if scheme.panel(note.panel).side == side:
            items.append(_note(scheme, note, turning_note(duplex, two_sided)))
    if scheme.panel(scheme.bar.panel).side == side:
        items.append(_bar(scheme))
    if side == "back" and not turns_like_a_leaf(width, height, duplex):
        items = [head_over(items, width, height)]
    return Sheet(width, height, tuple(items), title=f"{title} {side}".strip(), description=scheme.title)


def _note(scheme: Fold, note: Note, turning: str) -> Group:
    panel = scheme.panel(note.panel)
    text = f"{turning} {scheme.how}" if panel.side == "front" else turning
    return panel.placed(small_print(text, *note.at, note.width_mm))


def _bar(scheme: Fold) -> Group:
    bar = scheme.bar
    panel = scheme.panel(bar.panel)
    line = check_bar(0.0, 0.0, _crossings(scheme, panel, bar))
    caption = bar.caption
    words = small_print(BAR_CAPTION, 0.0, 0.0, caption.width_mm)
    return panel.placed((turned(line, *bar.at, bar.turn_deg), turned(words, *caption.at, bar.turn_deg)))


def _crossings(scheme: Fold, panel: Panel, bar: Bar) -> tuple[float, ...]:
    """Where folds cross the bar, in mm from its start."""
    along = 0 if bar.turn_deg == 0 else 1
    found: list[float] = []
    for start, end in scheme.folds_through(panel):
        reach = sorted((start[1 - along], end[1 - along]))
        at = start[along] - bar.at[along]
        if (
            abs(start[along] - end[along]) < _NEAR
            and 0 < at < BAR_MM
            and reach[0] < bar.at[1 - along] < reach[1]
        ):
            found.append(at)
    return tuple(found)


def _direction(start: Point, end: Point) -> Point:
    dx, dy = end[0] - start[0], end[1] - start[1]
    length = (dx * dx + dy * dy) ** 0.5
    return dx / length, dy / length


@cache
def _schemes() -> dict[str, Fold]:
    raw = shipped_yaml(Path(__file__).with_name("folds.yaml"))
    return {name: _scheme(name, data) for name, data in raw.items()}


def _scheme(name: str, data: Mapping[str, Any]) -> Fold:
    width, height = data["sheet"]
    bar = data["bar"]
    return Fold(
        name=name,
        title=data["title"],
        width_mm=float(width),
        height_mm=float(height),
        panels=tuple(_panel(panel) for panel in data["panels"]),
        creases=tuple(Crease(_point(c["from"]), _point(c["to"]), c["towards"]) for c in data["folds"]),
        cuts=tuple((_point(c["from"]), _point(c["to"])) for c in data.get("cuts", ())),
        notes=tuple(Note(n["panel"], _point(n["at"]), float(n["width"])) for n in data["notes"]),
        bar=Bar(
            bar["panel"],
            _point(bar["at"]),
            bar["turn"],
            Note(bar["panel"], _point(bar["caption"]["at"]), float(bar["caption"]["width"])),
        ),
        how=data["how"],
    )


def _panel(data: Mapping[str, Any]) -> Panel:
    x, y, width, height = (float(value) for value in data["box"])
    return Panel(
        id=data["id"],
        side=data["side"],
        x=x,
        y=y,
        box_width=width,
        box_height=height,
        turn_deg=data["turn"],
        order=data["order"],
        margin_mm=float(data.get("margin", 10.0 if data.get("poster") else 6.0)),
        foot_mm=float(data.get("foot", 0.0)),
        strip_mm=float(data.get("strip", 0.0)),
        poster=bool(data.get("poster", False)),
    )


def _point(pair: Sequence[float]) -> Point:
    return float(pair[0]), float(pair[1])
