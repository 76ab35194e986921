"""Pins callout numbers in a description's text; every other byte stays as it is."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

import yaml
from msgspec import Struct

from guidegen.desk.edits import Edit, decoded, edited, newline_of, point_nodes
from guidegen.errors import GuidegenError
from guidegen.vehicle.model import Vehicle
from guidegen.vehicle.source import Source, parse_source


class CannotFreezeError(GuidegenError):
    """The text is written so that a number cannot be put into it safely."""

    exit_code = 2


def frozen(raw: bytes, file: str, numbers: tuple[int, ...]) -> bytes:
    """The file with `number: …` in every point that has none; numbers are those of the points in file order.

    Raises CannotFreezeError when the result would not read as the same file with the numbers added.
    """
    before = parse_source(raw, file)
    entries = before.data.get("points") or []
    if len(entries) != len(numbers):
        raise ValueError(f"{len(numbers)} numbers for {len(entries)} points")
    lead, text = decoded(raw)
    after = lead + edited(text, _insertions(text, numbers)).encode()
    _must_agree(before, after, numbers)
    return after


def _insertions(text: str, numbers: tuple[int, ...]) -> Iterator[Edit]:
    for node, number in zip(point_nodes(text), numbers, strict=True):
        given = {key.value: (key, value) for key, value in node.value}
        if "number" not in given:
            yield _new_key(node, number, text)
        elif not given["number"][1].value:  # the key stands there, its value is blank
            key = given["number"][0]
            place = text.index(":", key.end_mark.index) + 1
            yield Edit(place, place, f" {number}")


def _new_key(node: yaml.MappingNode, number: int, text: str) -> Edit:
    """The number before the first key, in the style of the entry."""
    first = node.value[0][0].start_mark
    if node.flow_style:
        return Edit(first.index, first.index, f"number: {number}, ")
    return Edit(first.index, first.index, f"number: {number}{newline_of(text)}{' ' * first.column}")


def _must_agree(before: Source, after: bytes, numbers: tuple[int, ...]) -> None:
    wanted = {**before.data}
    if numbers:
        wanted["points"] = [
            {**point, "number": number} for point, number in zip(wanted["points"], numbers, strict=True)
        ]
    try:
        agrees = parse_source(after, before.file).data == wanted
    except GuidegenError:
        agrees = False
    if not agrees:
        raise CannotFreezeError(
            f"{before.file}: the points are written in a way that numbers cannot be put into: "
            "write each as “- {kind: …}” on a line of its own"
        )


class Freeze(Struct, frozen=True):
    """A frozen file: its new bytes, and the numbers that were added by point id."""

    data: bytes
    added: Mapping[str, int]


def freeze(path: Path, printed: Mapping[str, int] | None = None) -> Freeze:
    """The description with every point's callout number in it.

    printed: numbers that stand on stickers already, by point id; they count before computed ones,
    after those pinned in the file.
    Raises as pipeline.sound, and CannotFreezeError.
    """
    from guidegen.pipeline import sound
    from guidegen.plan.numbering import numbered

    vehicle = sound(path)
    ready = numbered(with_printed(vehicle, printed or {}))
    data = frozen(path.read_bytes(), str(path), tuple(point.number for point in ready.points))
    return Freeze(data, {new.id: new.number for old, new in _pairs(vehicle, ready) if not old.pinned})


def _pairs(a: Vehicle, b: Vehicle) -> Iterator[tuple[Any, Any]]:
    return zip(a.points, b.points, strict=True)


def with_printed(vehicle: Vehicle, printed: Mapping[str, int]) -> Vehicle:
    """The vehicle with the printed numbers pinned, where nothing else has them."""
    from msgspec.structs import replace

    from guidegen.packs.freshness import number_of

    taken = {point.number for point in vehicle.points if point.pinned}
    points = []
    for point in vehicle.points:
        number = 0 if point.pinned else number_of(point.id, printed)
        if number and number not in taken:
            taken.add(number)
            point = replace(point, number=number, pinned=True)
        points.append(point)
    return replace(vehicle, points=tuple(points))
