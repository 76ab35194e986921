"""What a TrueType file tells of its characters: their glyphs, widths and metrics (OpenType 1.9, by table).

All that it takes to set a text and to embed a typeface, table by table. Outlines are left to fontTools, which
takes longer to load than this to read three files.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cached_property
from pathlib import Path
from struct import iter_unpack, unpack_from
from types import MappingProxyType

_SUBTABLES = ((3, 10), (3, 1))  # of "cmap", platform and encoding: all of Unicode, its first plane
_SEGMENTS, _GROUPS = 4, 12  # formats of a subtable
_STANDARD_NAMES = 258  # of "post", before those that are spelt out
_METRICS = MappingProxyType(
    {
        "ascent": ("hhea", 4),
        "descent": ("hhea", 6),
        "x_height": ("OS/2", 86),
        "cap_height": ("OS/2", 88),
    }
)


class FontFile:
    """One file, held in memory. Raises KeyError for a table or a kind of subtable that it lacks."""

    def __init__(self, path: Path) -> None:
        self.data = data = path.read_bytes()
        (tables,) = unpack_from(">H", data, 4)
        records = iter_unpack(">4s3L", data[12 : 12 + 16 * tables])
        self._tables = {tag.decode("ascii"): offset for tag, _, offset, _ in records}
        self.units_per_em = self._number("head", 18)
        self.glyphs = self._number("maxp", 4)
        self._full_metrics = self._number("hhea", 34)

    def _number(self, table: str, offset: int, kind: str = "H") -> int:
        (number,) = unpack_from(f">{kind}", self.data, self._tables[table] + offset)
        return int(number)

    def _numbers(self, table: str, count: int, offset: int = 0, kind: str = "H") -> tuple[int, ...]:
        return unpack_from(f">{count}{kind}", self.data, self._tables[table] + offset)

    def metric(self, name: str) -> int:
        """In font units: "ascent" and "descent" of lines, "x_height", "cap_height"."""
        table, offset = _METRICS[name]
        return self._number(table, offset, "h")

    def advance(self, glyph: int) -> int:
        """In font units."""
        return self._number("hmtx", 4 * min(glyph, self._full_metrics - 1))

    @cached_property
    def characters(self) -> Mapping[int, int]:
        """The number of the glyph by code point."""
        _, count = self._numbers("cmap", 2)
        found = self._numbers("cmap", 4 * count, 4)
        places = dict(zip(zip(found[::4], found[1::4], strict=True), found[3::4], strict=True))
        place = next(places[subtable] for subtable in _SUBTABLES if subtable in places)
        read = {_SEGMENTS: self._segments, _GROUPS: self._groups}[self._number("cmap", place)]
        return {code: glyph for code, glyph in read(place) if glyph}

    def _segments(self, place: int) -> Iterator[tuple[int, int]]:
        size = self._number("cmap", place + 6)
        at = place + 14
        ends, starts, deltas, offsets = (
            self._numbers("cmap", size // 2, at + skip) for skip in (0, size + 2, 2 * size + 2, 3 * size + 2)
        )
        for index, (start, end, delta, offset) in enumerate(zip(starts, ends, deltas, offsets, strict=True)):
            codes = range(start, end + 1)
            if offset == 0:
                yield from ((code, (code + delta) & 0xFFFF) for code in codes)
            elif start < 0xFFFF:  # the last segment, of no character, may point anywhere
                glyphs = self._numbers("cmap", len(codes), at + 3 * size + 2 + 2 * index + offset)
                yield from (
                    (c, glyph and (glyph + delta) & 0xFFFF) for c, glyph in zip(codes, glyphs, strict=True)
                )

    def _groups(self, place: int) -> Iterator[tuple[int, int]]:
        groups = self._numbers("cmap", 3 * self._number("cmap", place + 12, "L"), place + 16, "L")
        for start, end, glyph in zip(groups[::3], groups[1::3], groups[2::3], strict=True):
            yield from zip(range(start, end + 1), range(glyph, glyph + end + 1 - start), strict=True)

    def named(self) -> Mapping[str, int]:
        """Glyphs by those of their names that are no standard ones; none where the file has no names."""
        start = self._tables["post"]
        if self._number("post", 0, "L") != 0x20000:
            return {}
        count = self._number("post", 32)
        at, spelt = start + 34 + 2 * count, []
        indices = self._numbers("post", count, 34)
        for _ in range(max(indices) + 1 - _STANDARD_NAMES):
            end = at + 1 + self.data[at]
            spelt.append(self.data[at + 1 : end].decode("ascii"))
            at = end
        return {
            spelt[index - _STANDARD_NAMES]: glyph
            for glyph, index in enumerate(indices)
            if index >= _STANDARD_NAMES
        }

    def metrics(self) -> list[tuple[int, int]]:
        """Advance and left side bearing of every glyph in font units, the bearing as an unsigned number."""
        full = self._numbers("hmtx", 2 * self._full_metrics)
        bearings = self._numbers("hmtx", self.glyphs - self._full_metrics, 4 * self._full_metrics)
        found = list(zip(full[::2], full[1::2], strict=True))
        return found + [(full[-2], bearing) for bearing in bearings]

    def outlines(self) -> list[int]:
        """Where the outline of every glyph begins in the table "glyf", and where the last ends."""
        if self._number("head", 50):
            return list(self._numbers("loca", self.glyphs + 1, kind="L"))
        return [2 * half for half in self._numbers("loca", self.glyphs + 1)]
