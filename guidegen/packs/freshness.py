"""Tells what is up to date: every document is remembered with a hash of all that it was made from."""

from __future__ import annotations

import hashlib
import json
import os
from collections.abc import Iterator, Mapping
from functools import cache
from pathlib import Path
from typing import Any, Literal, TypeAlias

from msgspec import Struct, field

from guidegen.compiled import compiled
from guidegen.documents.context import Options
from guidegen.vehicle.model import Vehicle
from guidegen.vehicle.source import read_source

STATE_FILE = ".guidegen.json"
_FORMAT = 1
# Libraries whose version shows in the output.
_LIBRARIES = (
    "fontpkg-atkinson-hyperlegible",
    "fontpkg-noto-sans",
    "fonttools",
    "pillow",
    "pypdfium2",
    "pyphen",
    "reportlab",
    "segno",
    "svgelements",
    "svgwrite",
)


Standing: TypeAlias = Literal["up to date", "out of date", "files changed", "not printed"]


class Inputs(Struct, frozen=True):
    """Hashes of what documents are made from now; `settled` only where every callout number is pinned."""

    inputs: str
    settled: str = ""


class Made(Struct, frozen=True):
    """One document of the pack: the hash of its inputs, and of each of its files (none: nothing to print).

    settled: the hash of what the file says with every callout number in it, as `settled_hash` gives it.
    """

    inputs: str
    files: Mapping[str, str]
    settled: str = ""

    def without_options(self) -> Made:
        """As if it had been printed with any."""
        return Made(self.inputs.partition(".")[0], self.files, self.settled.partition(".")[0])

    def was_made_from(self, now: Inputs) -> bool:
        """Whether it was made from this, or from what says the same with the numbers that are pinned now."""
        return self.inputs == now.inputs or (now.settled != "" and self.settled == now.settled)


class State(Struct, frozen=True):
    """What a pack folder remembers of its last builds.

    numbers: the callout numbers of the last print by point id; numbers_before: those of the print
    before they last changed; numbered: what the numbers follow from, as `numbering_hash` gives it.
    """

    documents: Mapping[str, Made] = field(default_factory=dict)
    numbers: Mapping[str, int] = field(default_factory=dict)
    numbers_before: Mapping[str, int] = field(default_factory=dict)
    numbered: str = ""

    def is_fresh(self, folder: Path, document: str, inputs: Inputs) -> bool:
        """Whether the document was made from these inputs and its files are still as they were written."""
        made = self.documents.get(document)
        return (
            made is not None
            and made.was_made_from(inputs)
            and all(file_hash(folder / name) == known for name, known in made.files.items())
        )

    def standing(self, folder: Path, document: str, described: Inputs) -> Standing:
        """How a printed document stands to what the vehicle is now, whatever options it was printed with."""
        made = self.documents.get(document)
        if made is None:
            return "not printed"
        if not made.without_options().was_made_from(described):
            return "out of date"
        unchanged = all(file_hash(folder / name) == known for name, known in made.files.items())
        return "up to date" if unchanged else "files changed"

    def to_bytes(self) -> bytes:
        documents = {
            name: {"inputs": made.inputs, "files": dict(sorted(made.files.items())), "settled": made.settled}
            for name, made in sorted(self.documents.items())
        }
        record = {
            "format": _FORMAT,
            "documents": documents,
            "numbers": dict(sorted(self.numbers.items())),
            "numbers_before": dict(sorted(self.numbers_before.items())),
            "numbered": self.numbered,
        }
        return (json.dumps(record, indent=1) + "\n").encode()

    def renumbered(self, numbers: Mapping[str, int]) -> dict[str, tuple[int, int]]:
        """Points whose number is not that of the last print: id → (printed, now)."""
        known = {id: number_of(id, self.numbers) for id in numbers}
        return {id: (known[id], now) for id, now in numbers.items() if known[id] and known[id] != now}

    def printed(self, documents: Mapping[str, Made], numbers: Mapping[str, int], numbered: str) -> State:
        """The state after a print with these numbers."""
        before = self.numbers if self.renumbered(numbers) else self.numbers_before
        return State(documents, dict(numbers), before, numbered)


def read_state(folder: Path) -> State:
    """The state of a pack folder; empty when there is none or it cannot be understood."""
    try:
        data: Any = json.loads((folder / STATE_FILE).read_bytes())
        if data["format"] != _FORMAT:
            return State()
        return State(
            {
                name: Made(d["inputs"], d["files"], str(d.get("settled", "")))
                for name, d in data["documents"].items()
            },
            _numbers(data.get("numbers")),
            _numbers(data.get("numbers_before")),
            str(data.get("numbered", "")),
        )
    except (OSError, ValueError, KeyError, TypeError, AttributeError, RecursionError):
        return State()


def number_of(id: str, numbers: Mapping[str, int]) -> int:
    """The printed number of a point, 0 for none; the only one of its kind may have got a "-1" since."""
    return numbers.get(id) or numbers.get(id.removesuffix("-1"), 0)


def _numbers(data: Any) -> dict[str, int]:
    return {str(id): int(number) for id, number in data.items()} if isinstance(data, dict) else {}


def inputs_of(vehicle: Vehicle, file: Path, options: Options) -> Inputs:
    """The hashes of all that a vehicle's documents are made from: the vehicle's own, a dot, the options'."""
    described = described_by(vehicle, file)
    settled = described.settled and printed_with(described.settled, options)
    return Inputs(printed_with(described.inputs, options), settled)


def described_by(vehicle: Vehicle, file: Path) -> Inputs:
    """The hashes without the choices of the person who prints."""
    return Inputs(_hash_of(vehicle, file_hash(file)), settled_hash(vehicle, file))


def printed_with(described: str, options: Options) -> str:
    """A hash of what is described, with one of the options behind a dot."""
    return f"{described}.{data_hash(repr(options).encode())[:16]}"


def settled_hash(vehicle: Vehicle, file: Path) -> str:
    """A hash of what the file says and of the numbers, wherever they come from; "" while some have none.

    It is the same before and after numbers are written into the file, and whatever its remarks say.
    """
    if not all(point.number for point in vehicle.points):
        return ""
    data = dict(read_source(file).data)
    data["points"] = [{k: v for k, v in point.items() if k != "number"} for point in data.get("points") or ()]
    numbers = sorted((point.id, point.number) for point in vehicle.points)
    return _hash_of(vehicle, repr(data), repr(numbers))


def numbering_hash(vehicle: Vehicle) -> str:
    """A hash of what the callout numbers follow from: the points with their places, and those pinned."""
    points = [(p.id, p.x, p.y, p.where, p.room, p.furniture, p.pinned and p.number) for p in vehicle.points]
    said = (program_hash(), repr(vehicle.layout), vehicle.nearside, repr(points))
    return data_hash("\0".join(said).encode())


def _hash_of(vehicle: Vehicle, *said: str) -> str:
    digest = hashlib.sha256(program_hash().encode())
    for part in (
        *said,
        repr(vehicle.layout),
        str(vehicle.printed_on),
        *(file_hash(picture) for picture in pictures_of(vehicle)),
    ):
        digest.update(part.encode() + b"\0")
    return digest.hexdigest()


def pictures_of(vehicle: Vehicle) -> Iterator[Path]:
    """The picture files that a description names."""
    if vehicle.photo:
        yield vehicle.photo
    if vehicle.dealer and vehicle.dealer.logo:
        yield vehicle.folder / vehicle.dealer.logo
    yield from (point.photo for point in vehicle.points if point.photo)


def file_hash(file: Path) -> str:
    """SHA-256 of the file, or "absent"."""
    try:
        return hashlib.sha256(file.read_bytes()).hexdigest()
    except OSError:
        return "absent"


def data_hash(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()


@cache
def program_hash() -> str:
    """A hash of the program itself: its sources, trade data, symbols, and its libraries' own accounts.

    Those name the versions.
    """
    from guidegen.packs.libraries import account_files, accounts
    from guidegen.resources import data_folder

    roots = (str(Path(__file__).resolve().parent.parent), str(data_folder("symbols")))
    files = [(name, f"{root}/{name}") for root in roots for name in sorted(_files_in(root))]

    def hashed() -> str:
        digest = hashlib.sha256()
        for name, file in files:
            data = _content(file)
            digest.update(f"{name}\0{len(data)}\0".encode())
            digest.update(data)
        for library, said in accounts(_LIBRARIES).items():
            digest.update(f"{library} {said}\0".encode())
        return digest.hexdigest()

    told = account_files(_LIBRARIES)
    if None in told.values():
        return hashed()
    found: str = compiled("program", (*(file for _, file in files), *filter(None, told.values())), hashed)
    return found


def _content(file: str) -> bytes:
    try:
        with open(file, "rb", buffering=0) as stream:
            return stream.read()
    except OSError:
        return b"absent"


def _files_in(root: str) -> Iterator[str]:
    """The files below a folder by their paths from it, without what Python compiled."""
    for folder, folders, files in os.walk(root):
        if "__pycache__" in folders:
            folders.remove("__pycache__")
        below = folder[len(root) + 1 :].replace(os.sep, "/")
        yield from (f"{below}/{file}" if below else file for file in files)
