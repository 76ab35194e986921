"""Descriptions by chance, with texts that spreadsheets and YAML like to misread; and workbooks without a picture."""

from __future__ import annotations

import io
import random
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from guidegen.desk.fields import Block, Field, Part, Table, fields_of
from guidegen.trade.load import load_trade
from guidegen.vehicle.layout_reading import layout_ids, read_layout

Data = dict[str, Any]
SAMPLES = sorted((Path(__file__).parents[2] / "sample_vehicles").glob("*.yaml"))
NASTY = (
    "=1+1", "=HYPERLINK(\"https://example.org\")", "+44 555 0100", "-5", "@home", "'quoted'", "\"double\"",
    "yes", "no", "TRUE", "null", "~", "007", "12", "1.50", "1e5", "2026-03-14", "14:30", "a: b", "a # b", "#b",
    "- c", "[x]", "{y}", "a, b; c", "_x0041_", "x_x000D_", "Łódź Żółć", "Ærø ø", "☃ £ € ²",
    "two\nlines", "tab\tin", "%", "50 %", "!!int 3", "&a", "*b", "| c", "> d", "`e`", "\u2028sep", "'", "''=x",
    "ends with :", ": starts", "key: [", "on", "=", "x" * 150,
)  # fmt: skip


class Chance:
    """Builds one description of a seed; it reads, whatever else it may be."""

    def __init__(self, seed: int) -> None:
        self.rng = random.Random(seed)
        self.layout = read_layout(self.rng.choice(layout_ids()))

    def often(self, share: float = 0.5) -> bool:
        return self.rng.random() < share

    def text(self) -> str:
        word = self.rng.choice(NASTY) if self.often() else f"Plain words {self.rng.randint(0, 99)}"
        return word.replace("\n", " ").replace("\t", " ").replace("\u2028", " ")

    def value(self, field: Field) -> Any:
        quantity = field.example and self.rng.choice([field.example, field.example.replace(".", ",")])
        made: dict[str, Callable[[], Any]] = {
            "text": self.text,
            "choice": lambda: self.rng.choice(field.choices),
            "yes-no": self.often,
            "number": lambda: self.rng.randint(1, 4),
            "quantity": lambda: quantity,
            "quantities": lambda: [quantity, "1,5 kW", "2 kW"][: self.rng.randint(1, 3)],
            "words": lambda: self.rng.choice([["hob"], "hob", ["oven", "grill"]]),
            "date": lambda: (
                f"20{self.rng.randint(10, 40)}-0{self.rng.randint(1, 9)}-1{self.rng.randint(0, 9)}"
            ),
        }
        return made[field.form]()

    def block(self, parts: tuple[Part, ...]) -> Data:
        found: Data = {}
        for part in parts:
            if isinstance(part, Field):
                if part.required or self.often():
                    found[part.key] = self.value(part)
            elif isinstance(part, Block):
                if self.often(0.6):
                    found[part.path[-1]] = self.block(part.parts)
            elif isinstance(part, Table) and not part.pairs and self.often():
                found[part.path[-1]] = [self.block(part.columns) for _ in range(self.rng.randint(1, 6))]
        return found

    def place(self, outside: bool | None) -> Data:
        layout, rng = self.layout, self.rng
        x, y = f"{rng.uniform(1, layout.length / 1000 - 1):.2f} m", f"{rng.uniform(0.3, 1.8):.2f} m"
        side = rng.choice(["nearside", "offside", "rear", "roof", "under-floor"])
        along = {"from_nearside": y} if side == "rear" else {"from_front": x.replace(".", ",")}
        ways: list[Data] = [
            {"in": rng.choice(layout.furniture).id, **({"spot": "front end"} if self.often() else {})},
            {"in": rng.choice(layout.rooms).id},
            {"on": side, **along},
            {"grid": f"{rng.choice('CDEF')}{rng.randint(1, 4)}"},
            {"x": x, "y": y},
        ]
        heights: list[Data] = [{}, {"height": "low"}, {"height": "0.9 m"}, {"height": "85 cm"}]
        way = rng.choice(ways)
        if way.get("on") in ("roof", "under-floor"):
            heights = heights[:2]  # no measured one says anything there
        return {**way, **rng.choice(heights)}

    def points(self) -> list[Data]:
        kinds = list(load_trade().kinds.values())
        found = []
        for n in range(self.rng.randint(0, 60)):
            kind = self.rng.choice(kinds)
            extra: Data = {
                "id": f"point-{n}", "name": self.text(), "note": self.text(), "number": n + 1,
                "serves": self.rng.choice([["hob"], "fridge", ["oven", "grill"]]),
                "web": f"https://example.org/a?b={n}#c,d",
            }  # fmt: skip
            kept = {key: value for key, value in extra.items() if self.often(0.3)}
            found.append({"kind": kind.id, **kept, **self.place(kind.outside)})
        return found

    def check(self) -> Data:
        values = ["12.7 V", "yes", "no", True, False, 12.7, 3, 0.0001, "12.7", "=x", self.text()]
        names = ["gas pressure", "fridge on gas", *self.rng.sample(NASTY[:30], 3)]
        readings = {name: self.rng.choice(values) for name in names if name.strip()}
        found: Data = {"by": self.text(), "on": "2026-05-04", "readings": readings, "remarks": self.text()}
        return {key: value for key, value in found.items() if key in ("by", "on") or self.often()}

    def description(self) -> Data:
        from guidegen.desk.form import equipment_parts, vehicle_parts

        kind = {"panel-van": "campervan", "caravan": "caravan"}.get(self.layout.body, "motorhome")
        parts = tuple(p for p in vehicle_parts() if p.path[0] not in ("layout_changes", "orders", "dealer"))
        data = self.block(parts)
        for key in ("web", "photo"):
            data.pop(key, None)
        data |= {"id": "by-chance", "kind": kind, "layout": self.layout.id, "guidegen": 1}
        data["equipment"] = self.block(equipment_parts())
        data["points"] = self.points()
        if self.often():
            emergency = {self.rng.choice(NASTY[:20]): self.text() for _ in range(self.rng.randint(0, 7))}
            data["dealer"] = {"name": self.text(), "phone": 555, "colour": "#1f4e5f", "emergency": emergency}
        if self.often():
            hatch = {"name": "service locker", "bottom_mm": 400, "top_mm": 990.5}
            change = {self.layout.hatches[0].id: hatch} if self.layout.hatches else {}
            data["layout_changes"] = {"hatches": {"change": change}, "about": self.text()}
        if self.often():
            data["orders"] = {"arrive": ["park-level", "step-out"], "leave": ["drive"]}
        if self.often():
            names = self.rng.sample(["first", "sale", "handover"], self.rng.randint(1, 3))
            data["checks"] = {name: self.check() for name in names}
        if self.often():
            data["extra_steps"] = [self.step(n) for n in range(self.rng.randint(1, 20))]
        return data

    def step(self, number: int) -> Data:
        fields = (f for f in fields_of_steps() if f.required or f.key in ("after", "check"))
        return {f.key: f"own-{number}" if f.key == "id" else self.value(f) for f in fields}


def fields_of_steps() -> tuple[Field, ...]:
    from guidegen.vehicle.description import ExtraStep

    return fields_of(ExtraStep)


@pytest.fixture(scope="session")
def description_by_chance() -> Callable[[int], Data]:
    """description_by_chance(seed): the plain data of a description that reads."""
    return lambda seed: Chance(seed).description()


@pytest.fixture
def without_picture(monkeypatch: pytest.MonkeyPatch) -> None:
    """Workbooks get a dot for a plan, which is quicker."""
    from PIL import Image

    from guidegen.desk import plan_picture

    out = io.BytesIO()
    Image.new("1", (2, 2)).save(out, "PNG")
    monkeypatch.setattr(plan_picture, "plan_png", lambda *_: out.getvalue())
