"""From a vehicle description file to a Vehicle: schema, layout, places, names and what is missing."""

from __future__ import annotations

import os
from collections import Counter
from collections.abc import Iterator, Mapping
from datetime import UTC, date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from msgspec.structs import replace

from guidegen.errors import DescriptionError, Finding, Mark
from guidegen.trade.load import load_trade
from guidegen.trade.records import Kind, Trade
from guidegen.vehicle.apart import told_apart
from guidegen.vehicle.description import Description, Equipment, Figures, PointEntry
from guidegen.vehicle.explain import closest, findings_of
from guidegen.vehicle.facts import facts_of
from guidegen.vehicle.files import picture_file
from guidegen.vehicle.layout_reading import LayoutError, read_layout
from guidegen.vehicle.model import ServicePoint, Vehicle
from guidegen.vehicle.phrases import place_phrase
from guidegen.vehicle.places import resolve
from guidegen.vehicle.required import appliance_name, to_locate
from guidegen.vehicle.source import Source, parse_source, read_source
from guidegen.vehicle.spots import PlaceError

if TYPE_CHECKING:
    from guidegen.vehicle.layout import Layout


def read_vehicle(path: Path | str) -> Vehicle:
    """The vehicle that a description file describes; its points carry no numbers yet, save pinned ones.

    Raises DescriptionError with every finding that keeps the file from becoming a vehicle.
    """
    path = Path(path)
    return vehicle_from_source(read_source(path), path.parent)


def vehicle_from_text(text: str, folder: Path, file: str = "description") -> Vehicle:
    """As read_vehicle, from text; `folder` is where pictures are looked for."""
    return vehicle_from_source(parse_source(text.encode(), file), folder)


def vehicle_from_source(source: Source, folder: Path) -> Vehicle:
    """As read_vehicle, from data that was read before."""
    try:
        description = Description.read(source.data)
    except ValueError as error:  # pydantic's, which is not loaded for a sound file
        raise DescriptionError(findings_of(error, source)) from None
    trade = load_trade()
    layout = _layout(description, source)
    nearside = _nearside(description)
    reader = _Points(source, folder, trade, layout, nearside, description.equipment)
    points = reader.read(description.points)
    faults = [*reader.faults, *_files(description, source, folder), *_steps(description, source, points)]
    if faults:
        raise DescriptionError(tuple(sorted(faults, key=lambda f: (f.mark.line, f.mark.column))))
    facts = facts_of(description.kind, description.equipment, frozenset(p.kind for p in points))
    if len({round(wheel.x) for wheel in layout.wheels}) > 1:
        facts |= {"two-axles"}
    return Vehicle(
        id=description.id,
        name=description.name,
        kind=description.kind,
        steering="none" if description.kind == "caravan" else description.steering or "right",
        nearside=nearside,
        stock_number=description.stock_number or "",
        owner=description.owner or "",
        printed_on=_printed_on(description),
        web=description.web or "",
        photo=folder / description.photo if description.photo else None,
        dealer=description.dealer,
        layout=layout,
        equipment=description.equipment,
        figures=Figures(**{name: getattr(description, name) for name in Figures.__struct_fields__}),
        facts=facts,
        points=points,
        to_locate=to_locate(facts, description.equipment, points, trade),
        extra_steps=description.extra_steps,
        orders={str(name): order for name, order in description.orders.items()},
        checks=description.checks,
        mark=source.mark(("name",)),
        marks=_marks(source),
        rule_of_the_road=_rule_of_the_road(description),
        folder=folder,
    )


def _nearside(description: Description) -> Literal["left", "right"]:
    """The kerb side: left where one drives on the left, which goes with steering on the right."""
    if description.kind == "caravan":
        return _rule_of_the_road(description)
    return "right" if description.steering == "left" else "left"


def _rule_of_the_road(description: Description) -> Literal["left", "right"]:
    if description.rule_of_the_road:
        return description.rule_of_the_road
    return "right" if description.steering == "left" else "left"


def _printed_on(description: Description) -> date | None:
    if description.printed:
        return description.printed
    epoch = os.environ.get("SOURCE_DATE_EPOCH", "")
    return datetime.fromtimestamp(int(epoch), UTC).date() if epoch.isdigit() else None


def _marks(source: Source) -> Mapping[str, Mark]:
    """Marks by dotted path, down to four levels, without the points (they carry their own)."""
    return {
        ".".join(map(str, path)): mark
        for path, mark in (source.values | source.keys).items()
        if 0 < len(path) <= 4 and path[0] != "points"
    }


def _layout(description: Description, source: Source) -> Layout:
    try:
        layout = read_layout(description.layout, description.layout_changes or None)
    except LayoutError as error:
        found = zip(error.findings, error.paths, strict=True)
        raise DescriptionError(tuple(_from_layout(f, path, source) for f, path in found)) from None
    return _as_fitted(layout, description)


def _as_fitted(layout: Layout, description: Description) -> Layout:
    """The layout with the rings of the hob that is fitted, so that it is drawn as it is."""
    hob = description.equipment.hob
    if hob is None:
        return layout
    furniture = tuple(
        replace(f, rings=hob.burners, flame=hob.gas is not None) if f.kind == "hob" else f
        for f in layout.furniture
    )
    return replace(layout, furniture=furniture)


def _from_layout(finding: Finding, path: tuple[str, ...], source: Source) -> Finding:
    """The finding with its mark in the vehicle's file."""
    mark = source.mark(("layout_changes", *path)) if path else source.mark(("layout",))
    return Finding(finding.severity, finding.rule, finding.message, finding.hint, mark)


def _files(description: Description, source: Source, folder: Path) -> Iterator[Finding]:
    if description.photo:
        yield from picture_file(description.photo, folder, source.mark(("photo",)))
    if description.dealer and description.dealer.logo:
        yield from picture_file(description.dealer.logo, folder, source.mark(("dealer", "logo")), vector=True)


def _steps(description: Description, source: Source, points: tuple[ServicePoint, ...]) -> Iterator[Finding]:
    ids = tuple(p.id for p in points)
    for n, step in enumerate(description.extra_steps):
        if step.at and step.at not in ids:
            mark = source.mark(("extra_steps", n, "at"))
            yield Finding(
                "error", "point-unknown", f"there is no point “{step.at}”", closest(step.at, ids), mark
            )


class _Points:
    """Turns the entries into service points and collects what is wrong with them."""

    def __init__(
        self, source: Source, folder: Path, trade: Trade, layout: Layout, nearside: str, equipment: Equipment
    ) -> None:
        self.source, self.folder, self.trade, self.equipment = source, folder, trade, equipment
        self.layout, self.nearside = layout, nearside
        self.faults: list[Finding] = []

    def read(self, entries: tuple[PointEntry, ...]) -> tuple[ServicePoint, ...]:
        ids = self._ids(entries)
        points = (self._point(n, entry, ids[n]) for n, entry in enumerate(entries))
        return told_apart(tuple(p for p in points if p))

    def _ids(self, entries: tuple[PointEntry, ...]) -> list[str]:
        uses = Counter(e.kind for e in entries if e.id is None)
        taken: dict[str, int] = {e.id: n for n, e in reversed(list(enumerate(entries))) if e.id}
        counted: Counter[str] = Counter()
        ids = []
        for n, entry in enumerate(entries):
            if entry.id:
                first = taken[entry.id]
                if first != n:
                    line = self.source.mark(("points", first, "id")).line
                    self._fault(
                        n,
                        "id",
                        "id-twice",
                        f"the id “{entry.id}” is used twice (first in line {line})",
                        "give each point an id of its own",
                    )
                ids.append(entry.id)
                continue
            counted[entry.kind] += 1
            name = f"{entry.kind}-{counted[entry.kind]}" if uses[entry.kind] > 1 else entry.kind
            while name in taken:
                counted[entry.kind] += 1
                name = f"{entry.kind}-{counted[entry.kind]}"
            taken[name] = n
            ids.append(name)
        return ids

    def _point(self, n: int, entry: PointEntry, id: str) -> ServicePoint | None:
        kind = self.trade.kinds.get(entry.kind)
        if kind is None:
            self._fault(
                n,
                "kind",
                "kind-unknown",
                f"“{entry.kind}” is not a kind of service point",
                self._kind_hint(entry.kind),
            )
            return None
        try:
            place = resolve(entry, kind, self.layout, self.nearside)
        except PlaceError as error:
            self._fault(n, error.key, error.rule, str(error), error.hint)
            return None
        if entry.photo:
            self.faults += picture_file(entry.photo, self.folder, self.source.mark(("points", n, "photo")))
        return ServicePoint(
            id=id,
            kind=kind.id,
            system=kind.system,
            name=entry.name or self._name(kind, entry),
            note=entry.note or "",
            x=place.x,
            y=place.y,
            z=place.z,
            height=place.height,
            where=place.where,
            room=place.room,
            furniture=place.furniture,
            place=place_phrase(place, kind.id, self.layout),
            serves=entry.serves,
            number=entry.number or 0,
            pinned=entry.number is not None,
            photo=self.folder / entry.photo if entry.photo else None,
            web=entry.web or "",
            mark=self.source.mark(("points", n)),
            photo_at=self._photo_at(n, entry),
            opening=place.hatch or place.door,
        )

    def _photo_at(self, n: int, entry: PointEntry) -> tuple[float, float] | None:
        """The place in the photo as shares of its width and height."""
        if entry.photo_x is None and entry.photo_y is None:
            return None
        if entry.photo and entry.photo_x is not None and entry.photo_y is not None:
            return entry.photo_x / 100, entry.photo_y / 100
        key = "photo_x" if entry.photo_x is not None else "photo_y"
        self._fault(
            n,
            key,
            "photo-place",
            "a place in a photo needs the photo, and photo_x and photo_y together",
            "such as: photo: valves.jpg, photo_x: 40, photo_y: 65 (percent from the left, from the top)",
        )
        return None

    def _kind_hint(self, word: str) -> str:
        hint = closest(word, tuple(self.trade.kinds))
        return hint if hint.startswith("did") else "see: guidegen list kinds"

    def _name(self, kind: Kind, entry: PointEntry) -> str:
        name = kind.name[:1].upper() + kind.name[1:]
        if kind.says and entry.serves:
            served = dict.fromkeys(appliance_name(s, self.trade, self.equipment) for s in entry.serves)
            return f"{name}, {' and '.join(served)}"
        return name

    def _fault(self, n: int, key: str, rule: str, message: str, hint: str) -> None:
        mark = self.source.mark(("points", n, key)) if key else self.source.mark(("points", n))
        self.faults.append(Finding("error", rule, message, hint, mark))
