"""Vehicles to compose documents for, and what stands on the sheets: every primitive in sheet coordinates."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest
from msgspec.structs import replace

from guidegen.documents.context import Context, Options
from guidegen.drawing.fonts import cap_height_mm, text_width_mm
from guidegen.drawing.primitives import Document, FormField, Group, Sheet, Text
from guidegen.trade.load import load_trade
from guidegen.vehicle.model import Vehicle
from guidegen.vehicle.reading import read_vehicle

SAMPLES = Path(__file__).parents[2] / "sample_vehicles"
LONG_OWNER = "Maria-Magdalena Hochstetter-Unterwurzacher und Bartholomäus 60"
COMPOUND = "Frischwassertankentleerungsventilhebelverlängerung"


@dataclass(frozen=True)
class Seen:
    """A primitive with its shift and scale on the sheet; sheets count from 0."""

    item: Any
    dx: float
    dy: float
    scale: float
    sheet: int
    turn: int = 0  # by 270° clockwise, or not; 180° is a scale below 0

    def at(self, x: float, y: float) -> tuple[float, float]:
        """Where on the sheet a place of the item is."""
        across, down = (y, -x) if self.turn else (x, y)
        return self.dx + across * self.scale, self.dy + down * self.scale

    @property
    def box(self) -> tuple[float, float, float, float]:
        """x0, y0, x1, y1 in mm of a text (its capitals), box or field."""
        item = self.item
        if isinstance(item, Text):
            width = text_width_mm(item.text, item.size_pt, item.weight)
            left = item.x - {"start": 0.0, "middle": 0.5, "end": 1.0}[item.anchor] * width
            top = item.y - cap_height_mm(item.size_pt)
            corners = (left, top, left + width, item.y)
        else:
            corners = (item.x, item.y, item.x + item.width, item.y + item.height)
        x0, y0, x1, y1 = corners
        (left, top), (right, foot) = self.at(x0, y0), self.at(x1, y1)
        return (left, foot, right, top) if self.turn else (left, top, right, foot)


def _flat(items: Any, where: Seen) -> Iterator[Seen]:
    """What groups hold; where: as an item of theirs would be seen."""
    for item in items:
        if isinstance(item, Group):
            a, b, _, _, e, f = item.transform or (1.0, 0.0, 0.0, 1.0, 0.0, 0.0)
            assert b in (0.0, -1.0), "of quarter turns only the one by 270°"
            dx, dy = where.at(e, f)
            inner = Seen(item, dx, dy, where.scale * (a or 1.0), where.sheet, 270 if b else where.turn)
            yield from _flat(item.items, inner)
        else:
            yield Seen(item, where.dx, where.dy, where.scale, where.sheet, where.turn)


@pytest.fixture(scope="session")
def seen() -> Callable[[Document | Sheet], list[Seen]]:
    """Every primitive of a document or sheet."""

    def of(what: Document | Sheet) -> list[Seen]:
        sheets = what.sheets if isinstance(what, Document) else (what,)
        return [s for n, sheet in enumerate(sheets) for s in _flat(sheet.items, Seen(None, 0.0, 0.0, 1.0, n))]

    return of


@pytest.fixture(scope="session")
def texts_of(seen: Callable[..., list[Seen]]) -> Callable[[Document | Sheet], list[Seen]]:
    """Every text of a document or sheet."""
    return lambda what: [s for s in seen(what) if isinstance(s.item, Text)]


@pytest.fixture(scope="session")
def fields_of(seen: Callable[..., list[Seen]]) -> Callable[[Document | Sheet], list[Seen]]:
    """Every form field of a document or sheet."""
    return lambda what: [s for s in seen(what) if isinstance(s.item, FormField)]


@pytest.fixture(scope="session")
def context_of() -> Callable[..., Context]:
    """context_of(vehicle, sticker_start=3, …): the vehicle with the options named."""
    return lambda vehicle, **options: Context(vehicle, load_trade(), (), Options(**options))


@pytest.fixture(scope="session")
def larch() -> Vehicle:
    """The dense sample, its points numbered in the order of the file."""
    vehicle = read_vehicle(SAMPLES / "larch.yaml")
    points = tuple(replace(p, number=n) for n, p in enumerate(vehicle.points, 1))
    return replace(vehicle, points=points)


@pytest.fixture(scope="session")
def few(vehicles_by_chance: ModuleType) -> Vehicle:
    """Five points, much still to be located."""
    return vehicles_by_chance.random_vehicle(4, points=5)


@pytest.fixture(scope="session")
def many(vehicles_by_chance: ModuleType) -> Vehicle:
    """95 points."""
    return vehicles_by_chance.random_vehicle(11, points=95)


@pytest.fixture(scope="session")
def wordy(larch: Vehicle) -> Vehicle:
    """Long names everywhere: a 60-letter owner, compounds, notes."""
    points = tuple(
        replace(p, name=f"{p.name} {COMPOUND}" if n % 3 == 0 else p.name, note=p.note or "Pull it. " * 12)
        for n, p in enumerate(larch.points)
    )
    return replace(larch, points=points, owner=LONG_OWNER, name="Larch 745 Garage Sondermodell Alpenglühen")
