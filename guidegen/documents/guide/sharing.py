"""How the systems share pages: each whole on its page, small ones together, large ones from a new page."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from msgspec import Struct, field

from guidegen.documents.guide.look import Look
from guidegen.documents.guide.pages import PARTED_MM
from guidegen.documents.guide.system_parts import Part
from guidegen.documents.guide.system_ways import WAYS, Spread, Way

_MOST_TOGETHER = 3
# What counts against a choice: each page, a system that is not seen at one opening, and a page's emptiness
# (times its square). Set so that a system either fills three fifths of a page of its own or shares it.
_PAGE, _AWAY, _EMPTY = 4.0, 2.5, 40.0
_HOPELESS = 1.35  # times the room: parts that are so much too high for it when set generously

Parts = tuple[Part, ...]


class Group(Struct, frozen=True):
    """Parts that share a page, which all of them fit, or one that takes several.

    how: the way in which they are set; others may follow on the last page of one that is spread.
    """

    parts: Parts
    how: Way | Spread
    after: bool = False  # on the last page of the group before


class Choice(Struct, frozen=True):
    """What is chosen from some part on, and what counts against it."""

    cost: float
    groups: tuple[Group, ...] = ()

    def behind(self, cost: float, *groups: Group) -> Choice:
        return Choice(cost + self.cost, (*groups, *self.groups))


def share_pages(parts: Sequence[Part], look: Look, page: int) -> tuple[Group, ...]:
    """All parts on pages of the look, the first of them on a new page of that number.

    In their order, which is that of the key and of every other document.
    """
    return _Sharing(look.top, look.height).best(tuple(parts), page % 2).groups


class _Sharing(Struct):
    """Chooses what costs least over all parts, by dynamic programming over what is left of them and the side
    of the sheet on which it begins."""

    top: float
    height: float
    known: dict[tuple[str, int], Choice] = field(default_factory=dict)
    whole: dict[str, tuple[Way, float] | None] = field(default_factory=dict)

    def best(self, parts: Parts, odd: int) -> Choice:
        """For these parts, which begin a page of an odd number or not."""
        if not parts:
            return Choice(0.0)
        key = "".join(part.letter for part in parts), odd
        if key not in self.known:
            self.known[key] = min(self._choices(parts, odd), key=lambda choice: choice.cost)
        return self.known[key]

    def _choices(self, parts: Parts, odd: int) -> Iterator[Choice]:
        if self._alone(parts[0]):
            yield from self._together(parts, odd)
        else:
            yield from self._spread(parts, odd)

    def _together(self, parts: Parts, odd: int) -> Iterator[Choice]:
        """A part on a new page, with none or some of those after it."""
        for count in range(1, 1 + min(_MOST_TOGETHER, len(parts))):
            found = self._shared(parts[:count]) if count > 1 else self._alone(parts[0])
            if found is None:
                return
            way, used = found
            cost = _PAGE + count * way.cost + self._emptiness(used)
            yield self.best(parts[count:], 1 - odd).behind(cost, Group(parts[:count], way))

    def _spread(self, parts: Parts, odd: int) -> Iterator[Choice]:
        """A part over several pages, with as many after it as its last page holds."""
        spread = parts[0].spread(bool(odd))
        cost = _PAGE * spread.pages + _AWAY * (odd or spread.pages > 2)
        own, rest = Group(parts[:1], spread), parts[1:]
        side, used = (odd + spread.pages) % 2, spread.foot - self.top
        yield self.best(rest, side).behind(cost + self._emptiness(used), own)
        for count in range(1, min(_MOST_TOGETHER, 1 + len(rest))):
            found = self._way(rest[:count], self.height - used - PARTED_MM)
            if found is None:
                return
            way, more = found
            worse = count * way.cost + self._emptiness(used + PARTED_MM + more)
            group = Group(rest[:count], way, after=True)
            yield self.best(rest[count:], side).behind(cost + worse, own, group)

    def _shared(self, parts: Parts) -> tuple[Way, float] | None:
        """As `_way` says of a page, but for ways that cost more than a page for each of the parts."""
        alone = [found for part in parts if (found := self._alone(part))]
        if len(alone) < len(parts):
            return None
        apart = sum(_PAGE + way.cost + self._emptiness(used) for way, used in alone) + _AWAY
        return self._way(parts, self.height, (apart - _PAGE) / len(parts))

    def _emptiness(self, used: float) -> float:
        return _EMPTY * (1 - used / self.height) ** 2

    def _alone(self, part: Part) -> tuple[Way, float] | None:
        """As `_way` says first: it takes a part for higher, if anything, once more is known of its plan."""
        if part.letter not in self.whole:
            self.whole[part.letter] = self._way((part,), self.height)
        return self.whole[part.letter]

    def _way(self, parts: Parts, room: float, dearest: float = math.inf) -> tuple[Way, float] | None:
        """The most generous way in which all parts fit the room, and what they take.

        dearest: what a way may cost.
        """
        parted = (len(parts) - 1) * PARTED_MM
        for way in WAYS:
            if way.cost > dearest or way.tall and (len(parts) > 1 or room < self.height):
                continue  # a tall plan takes a page of its own
            if len(parts) > 1 and way.plan and way.shares:
                continue  # small plans stand beside their lists where pages are shared
            used, possible = parted, True
            least = sum(part.height_mm(way, 0.0) or 0.0 for part in parts[1:])  # without arranging a plan
            for part in parts:
                height = part.height_mm(way, room - used - (0.0 if used > parted else least))
                used, possible = used + (height or 0.0), possible and height is not None
            if possible and used <= room:
                return way, used
            if used > _HOPELESS * room:
                return None
        return None
