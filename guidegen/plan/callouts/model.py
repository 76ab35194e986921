"""What the callout engine is asked and what it answers: sites, badges, leaders; all lengths in paper mm."""

from __future__ import annotations

import math
from typing import Literal, TypeAlias

from msgspec import Struct

from guidegen.drawing.primitives import Point
from guidegen.errors import GuidegenError

Polygon: TypeAlias = tuple[Point, ...]
Box: TypeAlias = tuple[float, float, float, float]  # x, y of the top left corner, width, height
LeaderStyle: TypeAlias = Literal["straight", "po", "do"]


class Badge(Struct, frozen=True):
    """The size of a badge: a circle of width_mm when round, else a box of text."""

    width_mm: float = 5.2
    height_mm: float = 5.2
    round: bool = True


class Site(Struct, frozen=True):
    """A true place that wants a badge; radius_mm is that of its marker."""

    key: str
    x: float
    y: float
    radius_mm: float = 0.9
    badge: Badge = Badge()

    @property
    def ends_mm(self) -> float:
        """What marker and badge take, at most, of the distance between their centres."""
        return self.radius_mm + math.hypot(self.badge.width_mm, self.badge.height_mm) / 2


class Aside(Struct, frozen=True):
    """What leaders had better not run over; the leader of its own site may.

    price_mm: by how much longer a leader may be for it.
    """

    box: Box
    price_mm: float
    site: str = ""  # key


class Task(Struct, frozen=True):
    """Sites about a body and where badges may stand.

    body: polygons that no badge may touch (the outline; more than one if parts stand apart).
    room: the part of the sheet that badges may use. obstacles: boxes that no badge and no leader may touch.
    off_badges: boxes that badges stay clear of, though leaders may pass. asides: what leaders of round badges
    keep off where that costs no long detour. easier: the same at lower prices, for leaders that find no way.
    clearance_mm: least distance of a leader from other callouts' markers and badges.
    gap_mm: least distance between two badges. offset_mm: wanted distance from body to badges.
    style: "straight" leaders, or one bend: "po" runs parallel to the side then orthogonally to the badge,
    "do" diagonally then orthogonally (Barth, Gemsa, Niedermann, Nöllenburg, "On the Readability of
    Boundary Labeling", GD 2015). tries: how many boundaries, one wider than the other, are tried at most.
    longest_mm: from the centre of a marker to that of its round badge; leaders that are longer are not looked
    for, where no placement with one is of use. wanted_mm: as long as leaders may be for the placement to
    be of use now; none is looked for where one must be longer.
    """

    sites: tuple[Site, ...]
    body: tuple[Polygon, ...]
    room: Box
    obstacles: tuple[Box, ...] = ()
    style: LeaderStyle = "straight"
    clearance_mm: float = 0.6
    gap_mm: float = 0.8
    offset_mm: float = 5.0
    tries: int = 5
    off_badges: tuple[Box, ...] = ()
    asides: tuple[Aside, ...] = ()
    easier: tuple[Aside, ...] = ()
    longest_mm: float = math.inf
    wanted_mm: float = math.inf

    @property
    def ends_mm(self) -> float:
        """What marker and badge take, at most, of the distance between their centres, at any site."""
        return max(site.ends_mm for site in self.sites)


class Callout(Struct, frozen=True):
    """A badge (x, y is its centre) and its leader from the marker's edge to the badge's edge.

    The leader is empty only where the badge touches the marker.
    """

    key: str
    x: float
    y: float
    width_mm: float
    height_mm: float
    leader: tuple[Point, ...]
    ring: int = 0


class Placement(Struct, frozen=True):
    """A callout for each site, in the order of the sites.

    length_mm: sum of the leaders from marker centre to badge centre. proved: no other clean placement on
    these ports costs less, where a long detour counts for more than its length. rings: rings in use.
    detour: how many times longer the leaders are than they had to be for the same badges, where each mm that
    an aside is worth counts as a mm; where that is much, than they had to be to run into nothing.
    roomy: in more room the placement would be the same; not always known.
    """

    callouts: tuple[Callout, ...]
    length_mm: float
    proved: bool
    rings: int = 1
    detour: float = 1.0
    roomy: bool = False

    @property
    def longest_mm(self) -> float:
        """Of the longest leader."""
        return max((math.dist(c.leader[0], c.leader[-1]) for c in self.callouts if c.leader), default=0.0)


class CannotPlace(GuidegenError):  # noqa: N818
    """No clean placement was found.

    left: how many conflicts, or sites without a place, were left over. keys: sites that markers or obstacles
    shut in on all sides, so that only an inset or fewer sites can help.
    """

    def __init__(self, message: str, left: int = 1, keys: tuple[str, ...] = ()) -> None:
        super().__init__(message)
        self.left = left
        self.keys = keys


class TooFar(CannotPlace):
    """Every placement has a leader that is longer than wanted: there may be one yet.

    needed_mm: what the longest is in all of them, at least, between the centres of marker and badge.
    """

    def __init__(self, needed_mm: float) -> None:
        super().__init__("A leader must be longer than wanted.")
        self.needed_mm = needed_mm
