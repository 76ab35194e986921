"""The text of a new description: commented, with every point that the equipment needs to be filled in."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator, Mapping
from typing import Any

from msgspec import Struct

from guidegen.desk.point_lines import blank_lines
from guidegen.desk.yaml_text import entry, flow
from guidegen.trade.load import load_trade
from guidegen.vehicle.description import Equipment
from guidegen.vehicle.facts import facts_of
from guidegen.vehicle.layout import Layout
from guidegen.vehicle.layout_reading import read_layout
from guidegen.vehicle.model import HEIGHTS, ToLocate
from guidegen.vehicle.required import to_locate
from guidegen.vehicle.source import scalar

SCHEMA_FILE = "guidegen.schema.json"
TO_CHECK = "  # to check"
_KIND_OF_BODY = {"panel-van": "campervan", "caravan": "caravan"}


class Start(Struct, frozen=True):
    """What is known before the walk round; `equipment` is plain data, as in the file."""

    name: str
    layout: str
    kind: str
    hand: str  # steering side; for a caravan the side one drives on
    equipment: Mapping[str, Any]


def id_of(name: str) -> str:
    """A name as an id: "Jarząb 695 L" becomes "jarzab-695-l"; "vehicle" when no letter is left."""
    plain = name.translate(str.maketrans("łŁøØđĐßæÆœŒ", "lLoOdDsaAoO"))
    ascii_text = unicodedata.normalize("NFKD", plain).encode("ascii", "ignore").decode().lower()
    return re.sub(r"[^a-z0-9]+", "-", ascii_text)[:60].strip("-") or "vehicle"


def kind_of(layout: Layout) -> str:
    """What a vehicle of that layout usually is."""
    return _KIND_OF_BODY.get(layout.body, "motorhome")


def required_points(kind: str, equipment: Equipment) -> tuple[ToLocate, ...]:
    """Every point that the equipment needs, none being placed."""
    return to_locate(facts_of(kind, equipment), equipment, (), load_trade())


def new_text(start: Start) -> str:
    """The whole file, ready to fill in. It reads at once: the points are then to be located."""
    layout = read_layout(start.layout)
    equipment = Equipment.read(start.equipment)
    parts = (_head(start), _identity(start), _dealer(), _figures(start, layout), _equipment(start.equipment))
    lines = [line for part in parts for line in (*part, "")]
    return "\n".join([*lines, *_points(start, equipment, layout), "", *_rest()]) + "\n"


def _head(start: Start) -> Iterator[str]:
    file = f"{id_of(start.name)}.yaml"
    yield f"# yaml-language-server: $schema={SCHEMA_FILE}"
    yield f"# Fill in what is blank, then: guidegen check {file}"
    yield "# Whatever stands after a # is a remark. A quantity carries its unit: 7.35 m, 850 W, 11 kg, 100 l."
    yield "# “# to check” marks usual figures: put in those of this vehicle, then delete “# to check”."


def _identity(start: Start) -> Iterator[str]:
    yield "guidegen: 1"
    id = id_of(start.name)
    written = id if isinstance(scalar(id), str) else f'"{id}"'  # "yes" would be no text
    yield f"id: {written}  # names the files; small letters, digits and hyphens"
    yield f"name: {flow(start.name)}"
    yield f"kind: {start.kind}"
    if start.kind == "caravan":
        yield f"rule_of_the_road: {start.hand}  # the side one drives on; it is the nearside"
    else:
        yield f"steering: {start.hand}  # the side the driver sits on; the nearside is the other one"
    yield "stock_number:"
    yield "owner:"
    yield "printed:  # the date on the prints: year-month-day, such as 2026-03-14"


def _dealer() -> Iterator[str]:
    yield "# dealer:  # to use it, take the # away before each line"
    yield "#   name:"
    yield "#   phone:"
    yield "#   address:"
    yield "#   emergency:"
    yield "#     Roadside help:"


def _figures(start: Start, layout: Layout) -> Iterator[str]:
    yield from _folded("# Layout: ", (layout.about or layout.name).split(), between=" ")
    yield f"layout: {start.layout}"
    sizes = (("length", layout.length), ("width", layout.width), ("height", layout.height))
    stated = ", ".join(f"{name}: {mm / 1000:.2f} m" for name, mm in sizes)
    yield f"sizes: {{{stated}}}{TO_CHECK}"
    seats = "" if start.kind == "caravan" else "seats: , "
    yield "# mtplm: the plated maximum mass; miro: the mass in running order; each such as 3500 kg"
    yield f"masses: {{mtplm: , miro: , options: , {seats}berths: , luggage: }}"
    yield "persons:  # who travel, as a rule"
    yield "water_per_person_day: 15 l"
    if "hook_up" in start.equipment:
        yield f"lead_length: 25 m{TO_CHECK}"
        yield f"lead_section: 2.5 mm²{TO_CHECK}"


def _equipment(equipment: Mapping[str, Any]) -> Iterator[str]:
    yield "# What is fitted; guidegen list equipment shows what else can stand here."
    if not equipment:
        yield "equipment: {}"
        return
    yield "equipment:"
    for name, block in equipment.items():
        yield from (line + ("" if block is True else TO_CHECK) for line in entry(name, block, 2))


def _points(start: Start, equipment: Equipment, layout: Layout) -> Iterator[str]:
    yield "# Where everything is. Each line is a point that this equipment needs. When it is found, take"
    yield "# the # at its start away and say its place. Until then it is “to be located”. Four ways:"
    yield from _ways(layout)
    yield from _words(layout)
    yield "points:"
    missing = required_points(start.kind, equipment)
    yield from blank_lines(missing, equipment, layout, load_trade())


def _ways(layout: Layout) -> Iterator[str]:
    seat = next((f for f in layout.furniture if f.kind in ("bench", "bed", "dinette-seat")), None)
    seat = seat or layout.furniture[0]
    middle = f"{layout.length / 2000:.1f} m"
    ways = (
        ("kind: co-alarm, grid: F3, height: eye-level", "a square of the survey sheet; outside with “on”"),
        (f"kind: charger, in: {seat.id}, spot: front end", "furniture, a room, a door, a locker"),
        (f"kind: hookup-inlet, on: offside, from_front: {middle}, height: low", "outside, measured"),
        (f"kind: smoke-alarm, x: {middle}, y: 1.1 m, height: ceiling", "from the front, the nearside"),
    )
    yield from (f"#  - {{{keys}}}  # {remark}" for keys, remark in ways)
    yield "# Each may have a name, note, photo and web address too. “serves” says what a valve isolates."
    yield "# photo_x and photo_y say where in its photo it is: percent from the left, and from the top."


def _words(layout: Layout) -> Iterator[str]:
    groups = (
        ("furniture", layout.furniture),
        ("rooms", layout.rooms),
        ("doors", layout.doors),
        ("lockers", layout.hatches),
    )
    for title, parts in groups:
        if parts:
            yield from _folded(f"# in, {title}: ", [part.id for part in parts])
    yield "# on: nearside, offside, front, rear, roof, under-floor"
    yield "# spot: front, rear, nearside, offside, left, right (as one faces the piece), middle, end, corner"
    yield from _folded("# height: ", [*HEIGHTS, "or a length such as 0.9 m (above floor or ground)"])


def _folded(lead: str, words: list[str], between: str = ", ") -> Iterator[str]:
    line = lead
    for n, word in enumerate(words):
        piece = word + (between if n < len(words) - 1 else "")
        if len(line) + len(piece) > 108:
            yield line.rstrip()
            line = "#    "
        line += piece
    yield line


def _rest() -> Iterator[str]:
    yield "# Steps of your own, between those that guidegen knows (guidegen sequence shows their ids):"
    yield "# extra_steps:"
    yield "#   - {id: cab-screens-up, sequence: arrive, text: Fit the cab screens., after: park-level}"
    yield "# The three checks; take the # away when one is done:"
    yield "# checks:"
    yield "#   first: {by: , on: , readings: {leisure battery at rest: 12.7 V, gas pressure: 30 mbar}}"
