"""The schema of a vehicle description: what a person may write, key by key.

Strict: an unknown key is an error. Quantities carry their unit in the file (see units). Values
are kept in mm, W, kg, l, Ah, A and h. Reading with line and column is in `reading`.

Read on every cold start: annotations are not put off as text, which pydantic would have to evaluate
one by one, and the validators are built once, for the whole description, when the first one is read.
"""

import re
from datetime import date
from typing import Annotated, Literal
from urllib.parse import urlsplit

from pydantic import AfterValidator, BaseModel, BeforeValidator, ConfigDict, Field, StringConstraints

from guidegen.vehicle import units
from guidegen.vehicle.model import HEIGHTS, Height

Id = Annotated[str, StringConstraints(pattern=r"^[a-z0-9]+(-[a-z0-9]+)*$", max_length=60)]


def _one_line(value: object) -> object:
    """Line ends and tabs of a text over several lines become blanks."""
    return re.sub(r"[ \t\r\n]+", " ", value) if isinstance(value, str) else value


Words = Annotated[
    str, BeforeValidator(_one_line), StringConstraints(min_length=1, max_length=200, strip_whitespace=True)
]
Note = Annotated[
    str, BeforeValidator(_one_line), StringConstraints(min_length=1, max_length=600, strip_whitespace=True)
]


_LONGEST_ADDRESS = 150  # bytes in a QR code of version 8-M (ISO/IEC 18004, table 7), 20 mm wide as printed


def _web_address(value: str) -> str:
    try:
        parts = urlsplit(value)
        sound = bool(parts.hostname) and parts.port != 0 and value.isprintable()
    except ValueError:  # of a port or a bracket
        sound = False
    if not sound:
        raise ValueError(f"“{value}” is not a web address: write it like “https://example.com/page”")
    if len(value.encode()) > _LONGEST_ADDRESS:
        raise ValueError(f"is longer than {_LONGEST_ADDRESS} characters, the most that a code holds")
    return value


WebAddress = Annotated[
    str, StringConstraints(pattern=r"^https?://[^\s<>\"]{3,500}$"), AfterValidator(_web_address)
]
Colour = Annotated[str, StringConstraints(pattern=r"^#[0-9a-fA-F]{6}$")]
FileName = Annotated[str, StringConstraints(min_length=1, max_length=200)]
Count = Annotated[int, Field(ge=1, le=20, strict=True)]
GridSquare = Annotated[str, StringConstraints(pattern=r"^[A-Z][1-9][0-9]?$")]


def _height(value: object) -> object:
    if value in HEIGHTS:
        return value
    try:
        return units.parse_quantity(value, "length", signed=True)
    except ValueError:
        raise ValueError(
            f"“{value}” is not a height: use {', '.join(HEIGHTS)}, or a length such as “0.9 m”"
        ) from None


def _as_list(value: object) -> object:
    return (value,) if isinstance(value, str) else value


def _blank_as_empty(value: object) -> object:
    return () if value is None else value


def _answer(value: object) -> object:
    """The file's yes and no stay words here: they are printed as answers."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    return value.strip() if isinstance(value, str) else value


ReadingValue = Annotated[
    str | int | float, BeforeValidator(_answer, json_schema_input_type=str | int | float | bool)
]
HeightOrLength = Annotated[
    Height | float,
    BeforeValidator(_height, json_schema_input_type=Height | units.written("length", signed=True)),
]
Ids = Annotated[tuple[Id, ...], BeforeValidator(_as_list, json_schema_input_type=Id | list[Id])]


class Part(BaseModel):
    """What every block of the description shares."""

    model_config = ConfigDict(extra="forbid", frozen=True, coerce_numbers_to_str=True, defer_build=True)


# Identity


class Dealer(Part):
    """The firm that hands over; printed on the card and the guide."""

    name: Words
    phone: Words | None = None
    address: Words | None = None
    web: WebAddress | None = None
    logo: FileName | None = None
    colour: Colour | None = None
    emergency: dict[Words, Words] = Field(default={}, max_length=12, description="label → number")


# Figures


class Sizes(Part):
    length: units.Length | None = None
    width: units.Length | None = None
    height: units.Length | None = None


class Masses(Part):
    mtplm: units.Mass | None = None
    miro: units.Mass | None = None
    options: units.Mass | None = None
    seats: Annotated[int, Field(ge=0, le=9, strict=True)] | None = None
    berths: Annotated[int, Field(ge=1, le=10, strict=True)] | None = None
    luggage: units.Mass | None = None


class Figures(Part):
    """Sizes, masses and habits that the numbers are computed from."""

    sizes: Sizes = Field(default_factory=Sizes)
    masses: Masses = Field(default_factory=Masses)
    persons: Annotated[int, Field(ge=1, le=10, strict=True)] | None = None
    water_per_person_day: units.Volume | None = None
    lead_length: units.Length | None = None
    lead_section: units.CrossSection | None = None


# Equipment, trade.md §6 in short: each block says what is fitted, with its figures.

Fuel = Literal["propane", "butane"]


class Cylinder(Part):
    size: units.Mass
    gas: Fuel = "propane"


class Gas(Part):
    supply: Literal["cylinders", "underslung-tank"] = "cylinders"
    cylinders: tuple[Cylinder, ...] = Field(default=(), max_length=6)
    tank: units.Mass | None = None
    tank_gas: Fuel = "propane"
    crash_protected: bool = False
    open_on_the_road: bool = Field(default=False, description="may stay open while driving")
    changeover: Literal["none", "manual", "automatic"] = "none"
    barbecue_outlet: bool = False
    alarm: bool = False


class Hob(Part):
    burners: Annotated[int, Field(ge=1, le=6, strict=True)] = 2
    gas: units.Power | None = None
    mains: units.Power | None = None
    hours_per_day: units.Time | None = None


class Oven(Part):
    gas: units.Power | None = None
    mains: units.Power | None = None
    hours_per_day: units.Time | None = None


class WaterHeater(Part):
    type: Literal["storage", "combined"] = "storage"
    water: units.Volume | None = None
    gas: units.Power | None = None
    mains: tuple[units.Power, ...] = Field(default=(), max_length=6)
    diesel: units.Power | None = Field(default=None, description="of a combined heater")
    hours_per_day: units.Time | None = None


class Heating(Part):
    type: Literal["gas-convector", "combined-air", "wet", "diesel-air"]
    gas: units.Power | None = None
    mains: tuple[units.Power, ...] = Field(default=(), max_length=6)
    diesel: units.Power | None = None
    approved_on_road: bool = False
    hours_per_day: units.Time | None = None


class Fridge(Part):
    type: Literal["absorption", "compressor"]
    capacity: units.Volume | None = None
    gas: units.GasRate | None = None
    mains: units.Power | None = None
    dc: units.Power | None = None
    choice: Literal["automatic", "manual"] = "manual"
    hours_per_day: units.Time | None = Field(default=None, description="running time per day")


class FreshWater(Part):
    tank: units.Volume | None = None
    pump: Literal["submersible", "pressure"] = "submersible"
    external_container: bool = Field(default=False, description="no tank on board: water comes from outside")
    filter: bool = False
    outside_shower: bool = False


class WasteWater(Part):
    tank: units.Volume | None = None
    external_container: bool = False


class Toilet(Part):
    cassette: units.Volume | None = None
    flush: Literal["fresh-system", "own-tank"] = "fresh-system"
    vent_fan: bool = False


class HookUp(Part):
    inlet: units.Current
    charger: units.Power | None = None
    charger_switch: bool = False


class LeisureBattery(Part):
    count: Count = 1
    capacity: units.Charge = Field(description="of each battery")
    type: Literal["lead", "agm", "lithium"]
    isolator: bool = False


class Solar(Part):
    power: units.Power | None = None


class Inverter(Part):
    power: units.Power


class EntryStep(Part):
    type: Literal["electric", "manual"] = "manual"


class Awning(Part):
    type: Literal["wind-out", "electric", "bag"] = "wind-out"


class Aerial(Part):
    type: Literal["directional", "dome", "satellite", "fixed"] = "directional"


class AirConditioner(Part):
    mains: units.Power


class Microwave(Part):
    mains: units.Power


class MainsLoad(Part):
    name: Words
    power: units.Power


class DcLoad(Part):
    name: Words
    power: units.Power
    hours_per_day: units.Time


class Equipment(Part):
    gas: Gas | None = None
    hob: Hob | None = None
    grill: Oven | None = None
    oven: Oven | None = None
    microwave: Microwave | None = None
    water_heater: WaterHeater | None = None
    heating: Heating | None = None
    fridge: Fridge | None = None
    fresh_water: FreshWater | None = None
    waste_water: WasteWater | None = None
    toilet: Toilet | None = None
    hook_up: HookUp | None = None
    leisure_battery: LeisureBattery | None = None
    solar: Solar | None = None
    inverter: Inverter | None = None
    air_conditioner: AirConditioner | None = None
    entry_step: EntryStep | None = None
    awning: Awning | None = None
    aerial: Aerial | None = None
    steadies: Count | None = None
    roof_lights: Count | None = None
    drop_down_bed: bool = False
    mains_loads: tuple[MainsLoad, ...] = Field(default=(), max_length=40)
    dc_loads: tuple[DcLoad, ...] = Field(default=(), max_length=40)


# Points


Percent = Annotated[int, Field(ge=0, le=100, strict=True)]


class PointEntry(Part):
    """One service point. Its place is said in one of four ways."""

    id: Id | None = Field(default=None, description="default: the kind, with a number when used twice")
    kind: str
    name: Words | None = None
    note: Note | None = None
    serves: Ids = ()
    number: Annotated[int, Field(ge=1, le=999, strict=True)] | None = None
    photo: FileName | None = None
    photo_x: Percent | None = Field(default=None, description="percent of the photo's width, from its left")
    photo_y: Percent | None = Field(default=None, description="percent of the photo's height, from its top")
    web: WebAddress | None = None
    # 1 in or at a room or a piece of furniture
    in_: Id | None = Field(default=None, alias="in")
    spot: Words | None = Field(default=None, description="such as “front end”, “nearside rear corner”")
    # 2 outside
    on: Literal["front", "rear", "nearside", "offside", "roof", "under-floor"] | None = None
    from_front: units.SignedLength | None = None
    from_nearside: units.SignedLength | None = None
    # 3 the printed grid
    grid: GridSquare | None = None
    # 4 coordinates
    x: units.SignedLength | None = None
    y: units.SignedLength | None = None
    height: HeightOrLength | None = None


class ExtraStep(Part):
    """A step of the dealer's own."""

    id: Id
    sequence: Literal["arrive", "leave", "lay-up", "recommission"]
    text: Words
    at: Id | None = Field(default=None, description="a point's id")
    before: Ids = ()
    after: Ids = ()
    check: Words | None = None
    web: WebAddress | None = None


# The three checks


class Check(Part):
    by: Words
    on: date
    readings: dict[Words, ReadingValue] = Field(default={}, max_length=100)
    remarks: Note | None = None


class Checks(Part):
    first: Check | None = None
    sale: Check | None = None
    handover: Check | None = None


class Description(Figures):
    """The whole file."""

    guidegen: Literal[1] = 1
    id: Id
    name: Words
    kind: Literal["motorhome", "campervan", "caravan"]
    steering: Literal["left", "right"] | None = None
    rule_of_the_road: Literal["left", "right"] | None = Field(
        default=None, description="caravans: side one drives on"
    )
    stock_number: Words | None = None
    owner: Words | None = None
    printed: date | None = None
    web: WebAddress | None = None
    photo: FileName | None = None
    dealer: Dealer | None = None
    layout: str
    layout_changes: dict[str, object] = Field(default={}, description="see the layout guide in DEVELOPERS.md")
    equipment: Equipment = Field(default_factory=Equipment)
    # A heading with nothing below it, as in a file that is only begun, is an empty list.
    points: Annotated[
        tuple[PointEntry, ...],
        BeforeValidator(_blank_as_empty, json_schema_input_type=tuple[PointEntry, ...] | None),
    ] = Field(default=(), max_length=400)
    extra_steps: tuple[ExtraStep, ...] = Field(default=(), max_length=100)
    orders: dict[Literal["arrive", "leave", "lay-up", "recommission"], tuple[str, ...]] = {}
    checks: Checks | None = None
