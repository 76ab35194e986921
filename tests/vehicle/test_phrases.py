"""What a person says: every way of writing a place, and the words printed for it.

The wording is common practice, no source.
"""

from __future__ import annotations

from functools import cache
from typing import Any

import pytest

from guidegen.trade.load import load_trade
from guidegen.vehicle.description import PointEntry
from guidegen.vehicle.layout import Layout
from guidegen.vehicle.layout_reading import layout_ids, read_layout
from guidegen.vehicle.phrases import place_phrase
from guidegen.vehicle.places import Place, resolve

LOUNGE, ISLAND, LOW = "coachbuilt-rear-lounge", "coachbuilt-island-bed", "low-profile-rear-washroom"
VAN, VAN_LOUNGE, SHORT = "van-transverse-bed", "van-rear-lounge", "van-short"
TOURER, TWIN = "caravan-end-washroom", "caravan-twin-beds"


@cache
def shape_of(layout: str) -> Layout:
    return read_layout(layout)


def place_of(layout: str, kind: str, nearside: str = "left", **entry: Any) -> Place:
    said = PointEntry.read({"kind": kind, **{k.rstrip("_"): v for k, v in entry.items()}})
    return resolve(said, load_trade().kinds[kind], shape_of(layout), nearside)


def phrase(layout: str, kind: str, nearside: str = "left", **entry: Any) -> str:
    return place_phrase(place_of(layout, kind, nearside, **entry), kind, shape_of(layout))


def at(**entry: Any) -> dict[str, Any]:
    return entry


INSIDE = [
    # Seats and beds: under them, on their face, beside and above them
    (
        LOUNGE,
        "pump",
        at(in_="offside-bench", spot="front end"),
        "rear lounge, under the offside bench, front end",
    ),
    (LOUNGE, "fresh-tank", at(in_="offside-bench"), "rear lounge, under the offside bench"),
    (
        LOUNGE,
        "water-heater-drain",
        at(in_="offside-bench", spot="rear offside corner"),
        "rear lounge, under the offside bench, offside rear corner",
    ),
    (
        LOUNGE,
        "isolation-valve",
        at(in_="offside-bench", spot="nearside"),
        "rear lounge, under the offside bench, aisle side",
    ),
    (
        LOUNGE,
        "solar-regulator",
        at(in_="offside-bench", spot="offside"),
        "rear lounge, under the offside bench, wall side",
    ),
    (
        LOUNGE,
        "warm-air-outlet",
        at(in_="offside-bench", spot="front nearside", height="floor"),
        "rear lounge, at the base of the offside bench, front end",
    ),
    (
        LOUNGE,
        "water-heater-mains-switch",
        at(in_="offside-bench", spot="nearside", height="0.3 m"),
        "rear lounge, on the side of the offside bench",
    ),
    (
        LOUNGE,
        "co-alarm",
        at(in_="rear-lounge", spot="front offside", height="eye-level"),
        "rear lounge, above the offside bench, front end, at eye level",
    ),
    (
        LOUNGE,
        "consumer-unit",
        at(in_="dinette-seat", spot="nearside end"),
        "dinette, under the bench, nearside end",
    ),
    (
        ISLAND,
        "space-heater",
        at(in_="island-bed", spot="offside"),
        "rear bedroom, under the island bed, offside edge",
    ),
    (ISLAND, "charger", at(in_="driver-seat", spot="front"), "cab, under the driver's seat, front end"),
    # Kitchen
    (LOUNGE, "hob", at(in_="hob"), "kitchen, offside"),
    (LOUNGE, "oven", at(in_="hob", height="low"), "kitchen, below the hob"),
    (ISLAND, "grill", at(in_="oven", height="0.75 m"), "kitchen, above the oven"),
    (ISLAND, "oven", at(in_="oven", height="low"), "kitchen, below the hob"),
    (SHORT, "hotplate-230v", at(in_="hob"), "kitchen, nearside"),
    (LOW, "drop-down-bed", at(in_="drop-down-bed"), "lounge, overhead"),
    (
        LOUNGE,
        "fridge-control",
        at(in_="fridge", spot="nearside", height="eye-level"),
        "kitchen, on the fridge, at eye level",
    ),
    (LOUNGE, "isolation-valve", at(in_="fridge", height="floor"), "kitchen, below the fridge"),
    (
        LOUNGE,
        "isolation-valve",
        at(in_="worktop", spot="front end", height="low"),
        "kitchen, under the worktop, front end",
    ),
    (LOUNGE, "isolation-valve", at(x="4.40 m", y="2.00 m", height="low"), "kitchen, under the hob"),
    (
        LOUNGE,
        "usb-socket",
        at(in_="worktop", spot="rear end", height="worktop"),
        "kitchen, on the worktop, rear end",
    ),
    (
        LOUNGE,
        "fire-blanket",
        at(in_="worktop", spot="rear offside", height="eye-level"),
        "kitchen, above the worktop, rear end, at eye level",
    ),
    (
        TOURER,
        "microwave",
        at(in_="kitchen-cupboard", height="eye-level"),
        "kitchen, in the tall cupboard, at eye level",
    ),
    # Washrooms
    (LOUNGE, "toilet-flush", at(in_="toilet", spot="front", height="worktop"), "washroom, above the toilet"),
    (
        LOUNGE,
        "toilet-blade-lever",
        at(in_="toilet", spot="nearside", height="low"),
        "washroom, on the toilet",
    ),
    (
        LOW,
        "low-point-drain",
        at(in_="washbasin", height="floor"),
        "rear washroom, under the washbasin, at floor level",
    ),
    # Overhead
    (ISLAND, "roof-light", at(x="6.05 m", y="1.15 m", height="ceiling"), "rear bedroom, in the ceiling"),
    (ISLAND, "roof-light", at(x="4.84 m", y="0.72 m", height="ceiling"), "toilet room, in the ceiling"),
    (LOUNGE, "smoke-alarm", at(in_="dinette", height="ceiling"), "dinette, on the ceiling"),
    (
        LOUNGE,
        "aerial",
        at(in_="rear-lounge", spot="nearside front corner", height="ceiling"),
        "rear lounge, on the ceiling, nearside front corner",
    ),
    # A side is said only where the point lies on that side of the vehicle too, not of its room alone
    (LOUNGE, "roof-light", at(x="4.55 m", y="1.34 m", height="ceiling"), "kitchen, in the ceiling"),
    (LOUNGE, "roof-light", at(x="4.55 m", y="2.05 m", height="ceiling"), "kitchen, in the ceiling, offside"),
    # A cupboard as high as the room holds what is at the ceiling, but no alarm
    (
        TOURER,
        "aerial",
        at(in_="wardrobe", spot="front", height="ceiling"),
        "kitchen, in the wardrobe, at the top",
    ),
    (
        TOURER,
        "smoke-alarm",
        at(in_="wardrobe", height="ceiling"),
        "kitchen, on the ceiling, nearside rear corner",
    ),
    # On the face of a piece: nothing to open
    (
        TOURER,
        "fire-blanket",
        at(in_="kitchen-cupboard", spot="front nearside", height="worktop"),
        "kitchen, on the side of the tall cupboard, front end, at waist height",
    ),
    (VAN, "fire-extinguisher", at(in_="passenger-seat", spot="front"), "cab, in front of the passenger seat"),
    (
        VAN,
        "charger-switch",
        at(in_="passenger-seat", spot="front"),
        "cab, on the front of the passenger seat",
    ),
    # 1.2 m is no waist
    (
        VAN,
        "fridge-control",
        at(in_="fridge", spot="offside", height="1.2 m"),
        "kitchen, on the fridge, at chest height",
    ),
    (
        VAN,
        "fridge-control",
        at(in_="fridge", spot="offside", height="0.9 m"),
        "kitchen, on the fridge, at waist height",
    ),
    # Doors and windows
    (
        LOUNGE,
        "step-switch",
        at(in_="habitation-door", spot="front", height="low"),
        "by the habitation door, low down",
    ),
    (VAN, "control-panel", at(in_="sliding-door", height="ceiling"), "above the sliding door"),
    (
        VAN,
        "pump-switch",
        at(in_="sliding-door", spot="rear", height="ceiling"),
        "above the sliding door, rear end",
    ),
    (
        LOUNGE,
        "escape-window",
        at(in_="rear-lounge", spot="nearside", height="eye-level"),
        "rear lounge, nearside window",
    ),
    # By the printed grid
    (SHORT, "usb-socket", at(grid="I5", height="worktop"), "rear bedroom, above the rear bed, offside end"),
    (SHORT, "smoke-alarm", at(grid="G2", height="ceiling"), "dinette, on the ceiling, nearside rear corner"),
    # By coordinates on free floor
    (
        ISLAND,
        "television",
        at(in_="bedroom", spot="front offside corner", height="eye-level"),
        "rear bedroom, offside front corner, at eye level",
    ),
    (
        VAN_LOUNGE,
        "heater-control",
        at(x="3.42 m", y="1.24 m", height="eye-level"),
        "kitchen, by the fridge, at eye level",
    ),
]

OUTSIDE = [
    # Along the sides: wheels, doors and ends
    (
        LOUNGE,
        "water-heater-cowl",
        at(on="offside", from_front="7.05 m", height="low"),
        "offside, low, near the rear end",
    ),
    (
        LOUNGE,
        "fresh-filler",
        at(on="offside", from_front="5.60 m", height="worktop"),
        "offside, at waist height, just behind the rear wheel",
    ),
    (
        LOUNGE,
        "awning-winder",
        at(on="nearside", from_front="5.20 m", height="ceiling"),
        "nearside, high up, above the rear wheel",
    ),
    (
        LOUNGE,
        "awning-light",
        at(on="nearside", from_front="3.90 m", height="ceiling"),
        "nearside, high up, by the habitation door",
    ),
    (
        LOUNGE,
        "fuel-filler",
        at(on="nearside", from_front="2.10 m", height="low"),
        "nearside, low, just behind the cab door",
    ),
    (
        LOUNGE,
        "hookup-inlet",
        at(on="offside", from_front="2.95 m", height="low"),
        "offside, low, midway between the wheels",
    ),
    (
        LOUNGE,
        "diesel-heater-exhaust",
        at(on="nearside", from_front="1.70 m", height="under-floor"),
        "nearside, below the cab door",
    ),
    (LOUNGE, "habitation-door", at(in_="habitation-door"), "nearside, ahead of the rear wheel"),
    (LOUNGE, "entry-step", at(in_="habitation-door", height="floor"), "nearside, below the habitation door"),
    (
        TOURER,
        "awning",
        at(on="nearside", from_front="3.50 m", height="ceiling"),
        "nearside, high up, above the wheel",
    ),
    # Lockers and flaps
    (LOUNGE, "gas-locker", at(in_="gas-locker"), "nearside, low, behind the cab door"),
    (LOUNGE, "gas-cylinder", at(in_="gas-locker", spot="rear end"), "nearside, in the gas locker, rear end"),
    (
        LOUNGE,
        "gas-regulator",
        at(on="nearside", from_front="2.68 m", height="1.0 m"),
        "nearside, in the gas locker",
    ),
    (ISLAND, "wheel-chock-store", at(in_="garage-flap"), "offside, behind the garage flap"),
    (ISLAND, "locker-door", at(in_="garage-door"), "nearside, behind the rear wheel"),
    # Front, rear, drawbar
    (
        ISLAND,
        "steady",
        at(on="rear", from_nearside="0.35 m", height="under-floor"),
        "rear, below the body, nearside corner",
    ),
    (
        ISLAND,
        "reversing-camera",
        at(on="rear", from_nearside="1.15 m", height="ceiling"),
        "rear, high up, in the middle",
    ),
    (
        TOURER,
        "tow-hitch",
        at(on="front", from_front="-1.24 m", from_nearside="1.14 m", height="low"),
        "front, low, on the drawbar",
    ),
    (
        TOURER,
        "steady",
        at(on="offside", from_front="0.42 m", height="under-floor"),
        "offside, below the body, near the front end",
    ),
    (
        TOURER,
        "fridge-vent-upper",
        at(on="offside", from_front="2.46 m", height="1.3 m"),
        "offside, at chest height, ahead of the wheel",
    ),
    # A window as the place itself
    (
        LOUNGE,
        "escape-window",
        at(on="nearside", from_front="6.30 m", height="eye-level"),
        "nearside, rear lounge window",
    ),
    # By the printed grid and by coordinates, for what belongs outside
    (LOUNGE, "water-heater-cowl", at(grid="O5", height="low"), "offside, low, near the rear end"),
    (
        LOUNGE,
        "hookup-inlet",
        at(x="3.60 m", y="2.25 m", height="low"),
        "offside, low, ahead of the rear wheel",
    ),
]

ELSEWHERE = [
    # A garage under the bed, through the nearest of its door and its flap
    (
        ISLAND,
        "inverter",
        at(in_="garage", spot="front offside corner", height="low"),
        "Outside, through the offside garage flap, front side, low down",
    ),
    (
        ISLAND,
        "inverter",
        at(x="7.20 m", y="1.10 m", height="low"),
        "Outside, through the nearside garage door, rear side, far in, low down",
    ),
    (
        ISLAND,
        "spare-wheel",
        at(in_="garage-door", height="low"),
        "Outside, through the nearside garage door, low down",
    ),
    # A locker under the bed that opens towards the rear doors
    (VAN, "gas-locker", at(in_="rear-locker"), "Outside, through the offside rear door, under the bed"),
    (
        VAN,
        "gas-cylinder",
        at(in_="rear-locker", spot="rear", height="low"),
        "Outside, through the offside rear door, in the gas locker under the bed, rear end",
    ),
    (
        LOUNGE,
        "fresh-drain",
        at(on="under-floor", from_front="6.10 m", from_nearside="1.80 m"),
        "Under the floor, offside, behind the rear wheel",
    ),
    (
        LOUNGE,
        "waste-tank",
        at(on="under-floor", from_front="5.40 m", from_nearside="1.15 m"),
        "Under the floor, in the middle, just behind the rear wheel",
    ),
    (
        LOUNGE,
        "solar-panel",
        at(on="roof", from_front="5.20 m", from_nearside="0.60 m"),
        "On the roof, above the washroom, nearside",
    ),
    (LOUNGE, "vehicle-battery", at(x="0.48 m", y="0.62 m", height="worktop"), "Under the bonnet, nearside"),
]

TABLE = [
    *((layout, kind, entry, f"Inside, {words}") for layout, kind, entry, words in INSIDE),
    *((layout, kind, entry, f"Outside, {words}") for layout, kind, entry, words in OUTSIDE),
    *ELSEWHERE,
]


@pytest.mark.parametrize(("layout", "kind", "entry", "words"), TABLE, ids=[row[3] for row in TABLE])
def test_place_is_said_as_a_person_would(layout: str, kind: str, entry: dict[str, Any], words: str) -> None:
    assert phrase(layout, kind, **entry) == words


# Left and right are those of a person who stands before the free edge of a piece and looks at it. With the
# front of the vehicle on one's left hand, one faces the offside of a vehicle with its nearside on the left.
FACING_THE_OFFSIDE = {"left": "front", "right": "rear"}


@pytest.mark.parametrize("hand", ["left", "right"])
@pytest.mark.parametrize("piece", ["worktop", "offside-bench"])
def test_left_and_right_of_a_piece_swap_with_the_kerb_side(piece: str, hand: str) -> None:
    said = {"in_": piece, "spot": hand, "height": "floor"}
    other = {"left": "right", "right": "left"}[hand]
    kerb_left = phrase(LOUNGE, "fresh-drain", "left", **said)
    kerb_right = phrase(LOUNGE, "fresh-drain", "right", **said)
    assert f"{FACING_THE_OFFSIDE[hand]} end" in kerb_left
    assert f"{FACING_THE_OFFSIDE[other]} end" in kerb_right


def test_left_and_right_of_what_faces_the_rear() -> None:
    # Looking forwards at the front shelf of a caravan, the left hand is on the nearside of a left-hand road.
    assert place_of(TOURER, "torch", "left", in_="front-shelf", spot="left").y < 1140
    assert place_of(TOURER, "torch", "right", in_="front-shelf", spot="left").y > 1140


@pytest.mark.parametrize("layout", layout_ids())
def test_nothing_unsaid_or_said_twice_anywhere(layout: str) -> None:
    """Every piece, room, locker and door of every layout, at every height."""
    shape = shape_of(layout)
    named = [p.id for group in (shape.furniture, shape.rooms, shape.hatches, shape.doors) for p in group]
    for name in named:
        for height in ("floor", "low", "worktop", "eye-level", "ceiling"):
            for kind in ("socket-230v", "pump", "wheel-chock-store"):
                words = phrase(layout, kind, in_=name, spot="front", height=height)
                parts = words.split(", ")
                assert words.startswith(("Inside, ", "Outside, ", "Under the bonnet")), words
                assert all(parts) and len(parts) == len(set(parts)) and len(parts) <= 6, words
                assert "side side" not in words and "  " not in words, words
