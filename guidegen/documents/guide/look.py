"""How the guide is set: page geometry and text sizes for A4, A4 in large print, and A5 in a booklet."""

from __future__ import annotations

from msgspec import Struct
from msgspec.structs import replace

from guidegen.documents.parts import INK, SOFT_INK
from guidegen.paper.flow import Frame
from guidegen.paper.sheets import A4, A5, GRID_MM, Paper
from guidegen.paper.text import TextStyle

_BADGE_PT = 8.5  # figures in the badges of a drawing at its own size
_LARGE_PT = 14.0
TURNED_IN_MM = 3.0  # what is turned begins and ends so far within the page's frame


class Look(Struct, frozen=True):
    """Geometry in mm: the frame begins `top` below the sheet's edge, the inner margin lies at the fold."""

    paper: Paper
    inner: float
    outer: float
    top: float
    height: float  # of the frame
    head: float  # baseline of the running head
    foot: float  # baseline of the page number
    body: TextStyle
    title: TextStyle  # of a chapter
    heading: TextStyle  # within a chapter
    label: TextStyle  # bold, over a few lines
    small: TextStyle
    running: TextStyle
    columns: int
    index_columns: int
    beside: bool  # a plan may stand beside the text
    lying: bool  # the plan of a system lies across the page, with its text below
    gutter: float = 6.0
    drawing_scale: float = 1.0  # drawings are arranged so much smaller and then enlarged
    points_on_a_plan: int = 400
    badge_scale: float = 1.0
    key_columns: int = 2
    list_columns: int = 1  # of rows of the key in a column of text
    index_places: bool = True  # the index repeats the places of the key
    pages_a_sheet: int = 1  # pages for notes make the guide up to whole sheets

    @property
    def width(self) -> float:
        return self.paper.width_mm - self.inner - self.outer

    @property
    def bottom(self) -> float:
        return self.top + self.height

    @property
    def column(self) -> float:
        return (self.width - (self.columns - 1) * self.gutter) / self.columns

    @property
    def whole(self) -> Frame:
        """The whole frame, from x = 0: pages are moved to their margin when they are bound."""
        return Frame(0.0, self.top, self.width, self.height)

    def split(self, count: int, top: float | None = None) -> list[Frame]:
        """Columns side by side, from top (the frame's own when None) to the frame's foot."""
        start = self.top if top is None else top
        width = (self.width - (count - 1) * self.gutter) / count
        return [Frame(n * (width + self.gutter), start, width, self.bottom - start) for n in range(count)]


A4_LOOK = Look(
    paper=A4,
    inner=20.0,
    outer=12.0,
    top=24.0,
    height=63 * GRID_MM,
    head=15.0,
    foot=284.5,
    body=TextStyle(10, colour=INK, leading=1.25, language="en"),
    title=TextStyle(24, "bold", INK, leading=1.15, language="en"),
    heading=TextStyle(16, "bold", INK, leading=1.2, language="en"),
    label=TextStyle(12, "bold", INK, leading=1.25, language="en"),
    small=TextStyle(8.5, colour=INK, leading=1.25, language="en"),
    running=TextStyle(8.5, colour=SOFT_INK),
    columns=2,
    index_columns=2,
    beside=True,
    lying=True,
)
LARGE_LOOK = Look(
    paper=A4,
    inner=20.0,
    outer=12.0,
    top=28.0,
    height=62 * GRID_MM,
    head=17.0,
    foot=284.5,
    body=TextStyle(_LARGE_PT, colour=INK, leading=1.3, language="en"),
    title=TextStyle(28, "bold", INK, leading=1.15, language="en"),
    heading=TextStyle(20, "bold", INK, leading=1.2, language="en"),
    label=TextStyle(16, "bold", INK, leading=1.25, language="en"),
    small=TextStyle(_LARGE_PT, colour=INK, leading=1.25, language="en"),
    running=TextStyle(_LARGE_PT, colour=SOFT_INK),
    columns=1,
    index_columns=2,
    beside=False,
    lying=True,
    index_places=False,
    drawing_scale=_LARGE_PT / _BADGE_PT,
    badge_scale=_LARGE_PT / _BADGE_PT,
    key_columns=1,
    points_on_a_plan=30,
)
A5_LOOK = Look(
    paper=A5,
    inner=15.0,
    outer=9.0,
    top=17.0,
    height=44 * GRID_MM,
    head=11.0,
    foot=200.5,
    body=TextStyle(8.5, colour=INK, leading=1.25, language="en"),
    title=TextStyle(16, "bold", INK, leading=1.15, language="en"),
    heading=TextStyle(12, "bold", INK, leading=1.2, language="en"),
    label=TextStyle(10, "bold", INK, leading=1.25, language="en"),
    small=TextStyle(8, colour=INK, leading=1.25, language="en"),
    running=TextStyle(8, colour=SOFT_INK),
    columns=1,
    index_columns=2,
    beside=False,
    lying=True,
    points_on_a_plan=40,
    list_columns=2,
    index_places=False,
    pages_a_sheet=4,
)


def turned_page(look: Look) -> Look | None:
    """For a page that the plan's own sheet fills, turned; None where a page holds no such plan.

    Head and page number stand beyond it, in the margins.
    """
    if look.paper != A4 or look.drawing_scale != 1.0:
        return None
    return replace(look, top=11.0, height=277.0, head=7.6, foot=291.8)


def lying(look: Look) -> Look:
    """What stands in a frame, turned: as on a page that is nearly as wide as the frame is high."""
    margin = (look.paper.height_mm - look.height) / 2 + TURNED_IN_MM
    return replace(
        look,
        paper=look.paper.landscape,
        inner=margin,
        outer=margin,
        top=0.0,
        height=look.width,
        title=look.heading,
        small=look.small.at(8.0),
    )
