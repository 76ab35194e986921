"""The schema of a vehicle description: what a person may write, key by key.

Strict: an unknown key is an error. Quantities carry their unit in the file (see units). Values
are kept in mm, W, kg, l, Ah, A and h. Reading with line and column is in `reading`.

What is sound is read by msgspec, within milliseconds of a cold start; all else is read by pydantic's
twins of these classes, in `schema`, which find every fault. The annotations are not put off as text,
which would have to be evaluated one by one.
"""

from datetime import date
from typing import Annotated, Any, Literal, Self

from msgspec import Meta, Struct, ValidationError, convert, field

from guidegen.vehicle.written import (
    Charge,
    Colour,
    CrossSection,
    Current,
    FileName,
    GasRate,
    GridSquare,
    HeightOrLength,
    Id,
    Ids,
    Length,
    Mass,
    Note,
    Plain,
    Power,
    ReadingValue,
    SignedLength,
    Time,
    Volume,
    WebAddress,
    Words,
    read_written,
)

Count = Annotated[int, Meta(ge=1, le=20)]


class Part(Struct, frozen=True, forbid_unknown_fields=True):
    """What every block of the description shares."""

    @classmethod
    def read(cls, data: object) -> Self:
        """The block that plain data, as a file holds them, describe.

        Raises pydantic.ValidationError, which tells every fault.
        """
        try:
            return convert(data, cls, dec_hook=read_written)
        except ValidationError:
            from guidegen.vehicle.schema import read

            return read(cls, data)


# Identity


class Dealer(Part, frozen=True):
    """The firm that hands over; printed on the card and the guide."""

    name: Words
    phone: Words | None = None
    address: Words | None = None
    web: WebAddress | None = None
    logo: FileName | None = None
    colour: Colour | None = None
    emergency: Annotated[dict[Words, Words], Meta(max_length=12, description="label → number")] = {}


# Figures


class Sizes(Part, frozen=True):
    length: Length | None = None
    width: Length | None = None
    height: Length | None = None


class Masses(Part, frozen=True):
    mtplm: Mass | None = None
    miro: Mass | None = None
    options: Mass | None = None
    seats: Annotated[int, Meta(ge=0, le=9)] | None = None
    berths: Annotated[int, Meta(ge=1, le=10)] | None = None
    luggage: Mass | None = None


class Figures(Part, frozen=True):
    """Sizes, masses and habits that the numbers are computed from."""

    sizes: Sizes = Sizes()
    masses: Masses = Masses()
    persons: Annotated[int, Meta(ge=1, le=10)] | None = None
    water_per_person_day: Volume | None = None
    lead_length: Length | None = None
    lead_section: CrossSection | None = None


# Equipment, trade.md §6 in short: each block says what is fitted, with its figures.

Fuel = Literal["propane", "butane"]


class Cylinder(Part, frozen=True):
    size: Mass
    gas: Fuel = "propane"


class Gas(Part, frozen=True):
    supply: Literal["cylinders", "underslung-tank"] = "cylinders"
    cylinders: Annotated[tuple[Cylinder, ...], Meta(max_length=6)] = ()
    tank: Mass | None = None
    tank_gas: Fuel = "propane"
    crash_protected: bool = False
    open_on_the_road: Annotated[bool, Meta(description="may stay open while driving")] = False
    changeover: Literal["none", "manual", "automatic"] = "none"
    barbecue_outlet: bool = False
    alarm: bool = False


class Hob(Part, frozen=True):
    burners: Annotated[int, Meta(ge=1, le=6)] = 2
    gas: Power | None = None
    mains: Power | None = None
    hours_per_day: Time | None = None


class Oven(Part, frozen=True):
    gas: Power | None = None
    mains: Power | None = None
    hours_per_day: Time | None = None


class WaterHeater(Part, frozen=True):
    type: Literal["storage", "combined"] = "storage"
    water: Volume | None = None
    gas: Power | None = None
    mains: Annotated[tuple[Power, ...], Meta(max_length=6)] = ()
    diesel: Annotated[Power | None, Meta(description="of a combined heater")] = None
    hours_per_day: Time | None = None


class Heating(Part, frozen=True):
    type: Literal["gas-convector", "combined-air", "wet", "diesel-air"]
    gas: Power | None = None
    mains: Annotated[tuple[Power, ...], Meta(max_length=6)] = ()
    diesel: Power | None = None
    approved_on_road: bool = False
    hours_per_day: Time | None = None


class Fridge(Part, frozen=True):
    type: Literal["absorption", "compressor"]
    capacity: Volume | None = None
    gas: GasRate | None = None
    mains: Power | None = None
    dc: Power | None = None
    choice: Literal["automatic", "manual"] = "manual"
    hours_per_day: Annotated[Time | None, Meta(description="running time per day")] = None


class FreshWater(Part, frozen=True):
    tank: Volume | None = None
    pump: Literal["submersible", "pressure"] = "submersible"
    external_container: Annotated[bool, Meta(description="no tank on board: water comes from outside")] = (
        False
    )
    filter: bool = False
    outside_shower: bool = False


class WasteWater(Part, frozen=True):
    tank: Volume | None = None
    external_container: bool = False


class Toilet(Part, frozen=True):
    cassette: Volume | None = None
    flush: Literal["fresh-system", "own-tank"] = "fresh-system"
    vent_fan: bool = False


class HookUp(Part, frozen=True):
    inlet: Current
    charger: Power | None = None
    charger_switch: bool = False


class LeisureBattery(Part, frozen=True, kw_only=True):
    count: Count = 1
    capacity: Annotated[Charge, Meta(description="of each battery")]
    type: Literal["lead", "agm", "lithium"]
    isolator: bool = False


class Solar(Part, frozen=True):
    power: Power | None = None


class Inverter(Part, frozen=True):
    power: Power


class EntryStep(Part, frozen=True):
    type: Literal["electric", "manual"] = "manual"


class Awning(Part, frozen=True):
    type: Literal["wind-out", "electric", "bag"] = "wind-out"


class Aerial(Part, frozen=True):
    type: Literal["directional", "dome", "satellite", "fixed"] = "directional"


class AirConditioner(Part, frozen=True):
    mains: Power


class Microwave(Part, frozen=True):
    mains: Power


class MainsLoad(Part, frozen=True):
    name: Words
    power: Power


class DcLoad(Part, frozen=True):
    name: Words
    power: Power
    hours_per_day: Time


class Equipment(Part, frozen=True):
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
    mains_loads: Annotated[tuple[MainsLoad, ...], Meta(max_length=40)] = ()
    dc_loads: Annotated[tuple[DcLoad, ...], Meta(max_length=40)] = ()


# Points


Percent = Annotated[int, Meta(ge=0, le=100)]


class PointEntry(Part, frozen=True, kw_only=True):
    """One service point. Its place is said in one of four ways."""

    id: Annotated[Id | None, Meta(description="default: the kind, with a number when used twice")] = None
    kind: Plain
    name: Words | None = None
    note: Note | None = None
    serves: Ids = ()
    number: Annotated[int, Meta(ge=1, le=999)] | None = None
    photo: FileName | None = None
    photo_x: Annotated[Percent | None, Meta(description="percent of the photo's width, from its left")] = None
    photo_y: Annotated[Percent | None, Meta(description="percent of the photo's height, from its top")] = None
    web: WebAddress | None = None
    # 1 in or at a room or a piece of furniture
    in_: Id | None = field(name="in", default=None)
    spot: Annotated[Words | None, Meta(description="such as “front end”, “nearside rear corner”")] = None
    # 2 outside
    on: Literal["front", "rear", "nearside", "offside", "roof", "under-floor"] | None = None
    from_front: SignedLength | None = None
    from_nearside: SignedLength | None = None
    # 3 the printed grid
    grid: GridSquare | None = None
    # 4 coordinates
    x: SignedLength | None = None
    y: SignedLength | None = None
    height: HeightOrLength | None = None


class ExtraStep(Part, frozen=True):
    """A step of the dealer's own."""

    id: Id
    sequence: Literal["arrive", "leave", "lay-up", "recommission"]
    text: Words
    at: Annotated[Id | None, Meta(description="a point's id")] = None
    before: Ids = ()
    after: Ids = ()
    check: Words | None = None
    web: WebAddress | None = None


# The three checks


CHECK_NAMES = ("first", "sale", "handover")  # in their order


class Check(Part, frozen=True):
    by: Words
    on: date
    readings: Annotated[dict[Words, ReadingValue], Meta(max_length=100)] = {}
    remarks: Note | None = None


class Checks(Part, frozen=True):
    first: Check | None = None
    sale: Check | None = None
    handover: Check | None = None


class Description(Figures, frozen=True, kw_only=True):
    """The whole file."""

    guidegen: Literal[1] = 1
    id: Id
    name: Words
    kind: Literal["motorhome", "campervan", "caravan"]
    steering: Literal["left", "right"] | None = None
    rule_of_the_road: Annotated[
        Literal["left", "right"] | None, Meta(description="caravans: side one drives on")
    ] = None
    stock_number: Words | None = None
    owner: Words | None = None
    printed: date | None = None
    web: WebAddress | None = None
    photo: FileName | None = None
    dealer: Dealer | None = None
    layout: Plain
    layout_changes: Annotated[
        dict[Plain, Any], Meta(description="see the layout guide in DEVELOPERS.md")
    ] = {}
    equipment: Equipment = Equipment()
    # A heading with nothing below it, as in a file that is only begun, is an empty list.
    points: Annotated[tuple[PointEntry, ...], Meta(max_length=400, extra={"blank": ()})] = ()
    extra_steps: Annotated[tuple[ExtraStep, ...], Meta(max_length=100)] = ()
    orders: dict[Literal["arrive", "leave", "lay-up", "recommission"], tuple[Plain, ...]] = {}
    checks: Checks | None = None
