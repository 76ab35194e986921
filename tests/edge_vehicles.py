"""Vehicles at the edge of what paper holds: long and foreign names, very many points and photos, or hardly any."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from msgspec.structs import replace
from PIL import Image

from guidegen.vehicle.description import ExtraStep, Figures
from guidegen.vehicle.model import ServicePoint, Vehicle

OWNER = "Maria-Magdalena Hochstetter-Unterwurzacher und Bartholomäus 60"  # sixty letters
COMPOUND = "Frischwassertankentleerungsventilhebelverlängerung"
NAMES = (
    "Zawór odcinający kuchenki, łazienka",
    "Βαλβίδα απομόνωσης υγραερίου",
    "Изоляционный клапан водонагревателя",
    "Čerpadlo pitné vody, přívěs",
    "Ventil för gasolspis, kök",
)
OWNERS = "Łukasz Wiśniewski-Żółć / Ελένη Παπαδοπούλου / Щербакова Юлия"


def numbered(vehicle: Vehicle, figures: Figures | None) -> Vehicle:
    """The vehicle with a number on every point, and figures to compute with where it has none."""
    points = tuple(replace(p, number=p.number or n) for n, p in enumerate(vehicle.points, 1))
    return replace(vehicle, points=points, figures=vehicle.figures or figures)


def renamed(vehicle: Vehicle, name: Callable[[int, ServicePoint], str]) -> Vehicle:
    points = tuple(replace(p, name=name(n, p)) for n, p in enumerate(vehicle.points))
    return replace(vehicle, points=points)


def wordy(vehicle: Vehicle) -> Vehicle:
    """Compounds and a long note on a third of the points."""
    long = renamed(vehicle, lambda n, p: p.name if n % 3 else f"{p.name} {COMPOUND}")
    points = tuple(replace(p, note=p.note or "Pull it. " * 12) for p in long.points)
    return replace(long, points=points, owner=OWNER, name="Larch 745 Garage Sondermodell Alpenglühen")


def foreign(vehicle: Vehicle) -> Vehicle:
    """Polish, Greek, Cyrillic, Czech and Swedish names."""
    named = renamed(vehicle, lambda n, p: NAMES[n % len(NAMES)])
    return replace(named, owner=OWNERS, name="Модрина Λάριξ Świerk")


def left_hand_drive(vehicle: Vehicle) -> Vehicle:
    return replace(vehicle, steering="left", nearside="right")


def photographed(vehicle: Vehicle, folder: Path, photos: int = 40) -> Vehicle:
    """Photos of all shapes, turned by EXIF in every way and with a place in them; long web addresses."""
    points = []
    for n, point in enumerate(vehicle.points):
        photo = _photo(folder / f"{n}.jpg", n) if n < photos else None
        web = f"https://example.org/handover/points/{point.id}?language=en&chapter={n}" if n % 9 == 0 else ""
        points.append(replace(point, photo=photo, web=web))
    shown = "https://example.org/handover/our-tap"
    step = ExtraStep(id="our-tap", sequence="arrive", text="Open the tap of the pitch.", web=shown)
    return replace(vehicle, points=tuple(points), extra_steps=(*vehicle.extra_steps, step))


def bare(vehicle: Vehicle) -> Vehicle:
    """Nothing that need not be there."""
    points = tuple(replace(p, photo=None, web="", note="") for p in vehicle.points)
    return replace(vehicle, points=points, photo=None, web="", dealer=None, owner="", stock_number="")


def _photo(path: Path, n: int) -> Path:
    size = ((800, 600), (450, 800), (300, 200))[n % 3]
    image = Image.new("RGB", size, (40 * n % 255, 90, 160))
    exif = image.getexif()
    exif[0x0112] = 1 + n % 8  # CIPA DC-008 (Exif): orientation
    exif.get_ifd(0x8825).update({1: "N", 2: (52.0, 31.0, 12.0), 3: "E", 4: (13.0, 24.0, 18.0)})  # place
    image.save(path, exif=exif)
    return path
