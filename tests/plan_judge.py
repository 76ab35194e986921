"""Judges a drawn plan from its SVG alone, with shapely: every rule of callouts, length and order.

Reads what DEVELOPERS.md says of the SVG of a plan, and knows nothing of the program that drew it.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, field
from xml.etree import ElementTree

import shapely
from shapely.affinity import affine_transform
from svgelements import Matrix, Path

CLEARANCE_MM = 0.6
TOUCH_MM, END_MM = 0.05, 0.3
EDGE_MM = 4.5  # that print keeps clear of the sheet's edge at least
EPS_MM = 0.005  # what rounded coordinates cost
SVG = "{http://www.w3.org/2000/svg}"


@dataclass
class Callout:
    """One callout in mm of the sheet."""

    number: int
    inset: bool
    marker: shapely.Geometry
    badge: shapely.Geometry
    leader: shapely.LineString | None
    radius: float
    shown: shapely.Geometry = field(init=False)  # the leader outside its own marker

    def __post_init__(self) -> None:
        self.shown = (self.leader or shapely.LineString()).difference(self.marker.buffer(EPS_MM))

    @property
    def at(self) -> tuple[float, float]:
        return self.marker.centroid.coords[0]

    @property
    def hub(self) -> tuple[float, float]:
        return self.badge.centroid.coords[0]


@dataclass
class Plan:
    callouts: list[Callout]
    body: shapely.Geometry
    sheet: shapely.Geometry


def read(svg: str) -> Plan:
    root = ElementTree.fromstring(svg)
    x, y, w, h = (float(n) for n in root.get("viewBox", "").split())
    callouts: list[Callout] = []
    bodies: list[shapely.Geometry] = []

    def walk(element: ElementTree.Element, matrix: Matrix) -> None:
        matrix = Matrix(element.get("transform") or "") * matrix
        names = (element.get("class") or "").split()
        if "body" in names:
            bodies.append(_shape(element, matrix))
        if "callout" in names:
            callouts.append(_callout(element, matrix))
            return
        for child in element:
            walk(child, matrix)

    walk(root, Matrix())
    return Plan(callouts, shapely.union_all(bodies), shapely.box(x, y, x + w, y + h))


def _callout(group: ElementTree.Element, matrix: Matrix) -> Callout:
    parts = {name: e for e in group.iter() for name in (e.get("class") or "").split() if e is not group}
    leader = None
    if (line := parts.get("leader")) is not None:
        numbers = [float(n) for n in re.findall(r"-?[\d.]+", line.get("points", ""))]
        leader = _moved(shapely.LineString(zip(numbers[::2], numbers[1::2], strict=True)), matrix)
    return Callout(
        int(group.get("data-number", "0")),
        group.get("data-inset") == "true",
        _shape(parts["marker"], matrix),
        _shape(parts["badge"], matrix),
        leader,
        float(parts["marker"].get("r", "0")) * math.sqrt(abs(matrix.a * matrix.d - matrix.b * matrix.c)),
    )


def _shape(element: ElementTree.Element, matrix: Matrix) -> shapely.Geometry:
    def number(name: str) -> float:
        return float(element.get(name) or 0)

    kind = element.tag.removeprefix(SVG)
    if kind == "circle":
        shape = shapely.Point(number("cx"), number("cy")).buffer(number("r"), 64)
    elif kind == "rect":
        x, y = number("x"), number("y")
        shape = shapely.box(x, y, x + number("width"), y + number("height"))
    elif kind == "path":
        path = Path(element.get("d", ""))
        shape = shapely.Polygon([(p.x, p.y) for p in (path.point(n / 2000) for n in range(2000))]).buffer(0)
    else:
        raise ValueError(f"a marker, badge or body is drawn as {kind}")
    return _moved(shape, matrix)


def _moved(shape: shapely.Geometry, m: Matrix) -> shapely.Geometry:
    return affine_transform(shape, [m.a, m.c, m.b, m.d, m.e, m.f])


def faults(plan: Plan) -> list[str]:
    """Each broken rule in words; an empty list for a clean plan."""
    found: list[str] = []
    numbers = [c.number for c in plan.callouts]
    if sorted(set(numbers)) != sorted(numbers):
        found.append("a number stands twice")
    inner = plan.sheet.buffer(EPS_MM - EDGE_MM, join_style="mitre")
    for c in plan.callouts:
        if not c.inset and c.badge.buffer(-EPS_MM).intersects(plan.body):
            found.append(f"{c.number}: badge on the body")
        if not inner.covers(shapely.union_all([c.badge, c.marker])):
            found.append(f"{c.number}: too near to the edge of the sheet")
        if c.leader is None:
            if c.badge.distance(c.marker) > END_MM:
                found.append(f"{c.number}: no leader")
            continue
        start, end = c.leader.coords[0], c.leader.coords[-1]
        if math.dist(start, c.at) > c.radius + END_MM + EPS_MM:
            found.append(f"{c.number}: leader begins away from its marker")
        if c.badge.exterior.distance(shapely.Point(end)) > END_MM + EPS_MM:
            found.append(f"{c.number}: leader ends away from its badge")
    whole = [shapely.union_all([c.marker, c.badge, c.shown]) for c in plan.callouts]
    near = shapely.STRtree(whole).query(whole, predicate="dwithin", distance=CLEARANCE_MM).T.tolist()
    for i, j in near:
        if i < j:
            found += _between(plan.callouts[i], plan.callouts[j])
    return found


def _between(a: Callout, b: Callout) -> list[str]:
    found, pair = [], f"{a.number} and {b.number}"
    same = math.dist(a.at, b.at) < 0.01
    if a.badge.buffer(-EPS_MM).intersects(b.badge.buffer(-EPS_MM)):
        found.append(f"{pair}: badges overlap")
    if not same and a.marker.intersection(b.marker).area > 0.5 * min(a.marker.area, b.marker.area):
        found.append(f"{pair}: markers overlap")
    for one, other in ((a, b), (b, a)):
        if one.badge.buffer(-EPS_MM).intersects(other.marker):
            found.append(f"{pair}: badge on marker")
        if one.shown.is_empty:
            continue
        if one.shown.distance(other.badge) < CLEARANCE_MM - EPS_MM:
            found.append(f"{pair}: leader too near a badge")
        if not same and one.shown.distance(other.marker) < CLEARANCE_MM - EPS_MM:
            found.append(f"{pair}: leader too near a marker")
    if not a.shown.is_empty and not b.shown.is_empty and a.shown.distance(b.shown) < TOUCH_MM:
        found.append(f"{pair}: leaders cross")
    return found


def distances(plan: Plan) -> list[list[float]]:
    """From the marker of each callout outside the insets to the badge of each."""
    free = [c for c in plan.callouts if not c.inset]
    return [[math.dist(c.at, other.hub) for other in free] for c in free]


def order_share(plan: Plan) -> float:
    """Share of neighbouring badges, clockwise round the body's centre, whose numbers follow each other."""
    x, y = plan.body.centroid.coords[0]
    free = [c for c in plan.callouts if not c.inset]
    ring = sorted(free, key=lambda c: math.atan2(c.hub[1] - y, c.hub[0] - x))
    rank = {number: k for k, number in enumerate(sorted(c.number for c in ring))}
    count = len(ring)
    pairs = zip(ring, ring[1:] + ring[:1], strict=True)
    return sum((rank[b.number] - rank[a.number]) % count == 1 % count for a, b in pairs) / count
