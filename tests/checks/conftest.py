"""A plain box of a vehicle, 6 m by 2.2 m by 2.8 m, to place a few points in and break one thing at a time."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from msgspec.structs import replace

from guidegen.checks import RULES, check
from guidegen.checks.rule import Scene
from guidegen.errors import Finding, Mark
from guidegen.trade.load import load_trade
from guidegen.vehicle.description import Checks, Equipment, ExtraStep, Figures
from guidegen.vehicle.facts import facts_of
from guidegen.vehicle.layout import Area, Door, Furniture, Hatch, Layout, RoofOpening, Room, Wheel, Window
from guidegen.vehicle.model import ServicePoint, Vehicle
from guidegen.vehicle.required import to_locate

BOX = Layout(
    id="box",
    name="Box",
    about="",
    body="coachbuilt",
    length=6000,
    width=2200,
    height=2800,
    floor=600,
    wall=30,
    outline=((0, 1100, 0), (0, 0, 0), (6000, 0, 0), (6000, 2200, 0), (0, 2200, 0)),
    profile=((0, 300, 0), (0, 2800, 0), (6000, 2800, 0), (6000, 300, 0)),
    bonnet=0,
    drawbar=0,
    rooms=(
        Room("living", "living room", Area(0, 0, 4000, 2200)),
        Room("bedroom", "bedroom", Area(4000, 0, 2000, 2200), sleeps=True),
    ),
    furniture=(
        Furniture("bed", "bed", "bed", "bedroom", Area(4200, 100, 1800, 2000), "front", 450, berths=2),
    ),
    partitions=(),
    doors=(Door("door", "habitation door", "nearside", 2000, 600, "rear"),),
    windows=(
        Window("living-window", "offside", 1000, 1000, "living", sill_mm=1500, top_mm=2000),
        Window("bed-window", "nearside", 4500, 800, "bedroom", sill_mm=1500, top_mm=2000, escape=True),
    ),
    hatches=(Hatch("locker", "locker", "nearside", 500, 500, 400, 1000, 400),),
    roof=(RoofOpening("roof", "living roof light", Area(2000, 900, 400, 400)),),
    wheels=(Wheel(4500, 200, 700, 200), Wheel(4500, 2000, 700, 200)),
)


@dataclass(frozen=True)
class Workshop:
    """Builds small vehicles and asks the rules about them."""

    def point(
        self, kind: str, x: float = 3000, y: float = 1100, z: float = 1000, **other: Any
    ) -> ServicePoint:
        trade_kind = load_trade().kinds.get(kind)
        usual = trade_kind.usual[0] if trade_kind and trade_kind.usual else "low"
        outside = bool(trade_kind and trade_kind.outside)
        fields: dict[str, Any] = {
            "id": f"{kind}-{x:.0f}-{y:.0f}-{z:.0f}",
            "kind": kind,
            "system": trade_kind.system if trade_kind else "A",
            "name": (trade_kind.name if trade_kind else kind).capitalize(),
            "note": "",
            "height": usual,
            "where": "nearside" if outside else "inside",
            "room": "",
            "furniture": "",
            "place": "",
            "serves": (),
            "number": 0,
            "pinned": False,
            "mark": Mark("box.yaml", 7, 3),
        }
        return ServicePoint(**{**fields, "x": x, "y": y, "z": z, **other})

    def vehicle(
        self,
        *points: ServicePoint,
        equipment: Mapping[str, Any] | None = None,
        figures: Mapping[str, Any] | None = None,
        kind: str = "motorhome",
        layout: Mapping[str, Any] | None = None,
        extra_steps: tuple[Mapping[str, Any], ...] = (),
        checks: Mapping[str, Any] | None = None,
        **other: Any,
    ) -> Vehicle:
        fitted = Equipment.read(equipment or {})
        facts = facts_of(kind, fitted, frozenset(p.kind for p in points))
        fields: dict[str, Any] = {
            "id": "box",
            "name": "Box",
            "kind": kind,
            "steering": "none" if kind == "caravan" else "right",
            "nearside": "left",
            "stock_number": "",
            "owner": "",
            "printed_on": None,
            "web": "",
            "photo": None,
            "dealer": None,
            "layout": replace(BOX, **(layout or {})),
            "equipment": fitted,
            "figures": Figures.read(figures or {}),
            "facts": facts,
            "points": points,
            "to_locate": to_locate(facts, fitted, points, load_trade()),
            "extra_steps": tuple(ExtraStep.read(s) for s in extra_steps),
            "orders": {},
            "checks": Checks.read(checks) if checks else None,
            "mark": Mark("box.yaml", 1, 1),
            "folder": Path(),
        }
        return Vehicle(**{**fields, **other})

    def findings(self, rule: str, vehicle: Vehicle) -> tuple[Finding, ...]:
        """What one rule finds."""
        (found,) = (r for r in RULES if r.id == rule)
        return tuple(found.findings(Scene(vehicle, load_trade())))

    def all(self, vehicle: Vehicle) -> tuple[Finding, ...]:
        return check(vehicle, load_trade())


@pytest.fixture
def workshop() -> Workshop:
    return Workshop()
