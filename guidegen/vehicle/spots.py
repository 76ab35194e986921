"""Words for a spot in a piece of furniture or a locker: “front end”, “rear offside corner”, “left”."""

from __future__ import annotations

import math

from guidegen.vehicle.layout import XY, Area, Side

_SPOT_WORDS = {
    "front",
    "rear",
    "nearside",
    "offside",
    "left",
    "right",
    "middle",
    "centre",
    "end",
    "corner",
    "side",
    "edge",
    "half",
}
_MIDDLE = {"middle", "centre", "half"}


class PlaceError(ValueError):
    """A place that cannot be; `key` is the key of the entry to point at."""

    def __init__(self, message: str, hint: str = "", key: str = "", rule: str = "place") -> None:
        super().__init__(message)
        self.hint, self.key, self.rule = hint, key, rule


def spot_in(words: str | None, area: Area, facing: Side | None, nearside: str) -> XY:
    """The point of an area that the words name, in mm; the middle without words.

    facing: the side that one stands at, for left and right. nearside: "left" or "right", looking ahead.
    Raises PlaceError for words that name none, or two at once.
    """
    along = across = 0.0  # -1 front / nearside … +1 rear / offside
    steps, said = set[XY](), (words or "").lower().replace(",", " ").replace("-", " ").split()
    for word in said:
        if word not in _SPOT_WORDS:
            raise PlaceError(
                f"“{word}” is not a word for a spot",
                "use front, rear, nearside, offside, left, right, middle, end, corner",
                "spot",
            )
        step = {"front": (-1, 0), "rear": (1, 0), "nearside": (0, -1), "offside": (0, 1)}.get(word, (0, 0))
        if word in ("left", "right"):
            if facing is None:
                raise PlaceError(
                    f"“{word}” is not plain here", "use front, rear, nearside or offside", "spot"
                )
            step = _hand(word, facing, nearside)
        if (-step[0], -step[1]) in steps - {(0, 0)}:
            raise PlaceError(f"“{words}” names two ends at once", "name one of them", "spot")
        steps.add(step)
        along, across = along + step[0], across + step[1]
    if said and steps == {(0, 0)} and not _MIDDLE.intersection(said):
        raise PlaceError(
            f"“{words}” does not say which one",
            "say it, such as “front end” or “rear offside corner”",
            "spot",
        )
    inset_x, inset_y = min(150.0, 0.25 * area.length), min(150.0, 0.25 * area.width)
    x, y = area.centre
    return (
        x + math.copysign(min(abs(along), 1), along) * (area.length / 2 - inset_x),
        y + math.copysign(min(abs(across), 1), across) * (area.width / 2 - inset_y),
    )


def _hand(word: str, facing: Side, nearside: str) -> tuple[int, int]:
    """Left or right of a piece, for a person who stands before its free edge and looks at it."""
    # Seen from above with the front up and the nearside left, looking front-wards left is nearside.
    left = {"rear": (0, -1), "front": (0, 1), "offside": (1, 0), "nearside": (-1, 0)}[facing]
    sign = (1 if word == "left" else -1) * (1 if nearside == "left" else -1)
    return left[0] * sign, left[1] * sign
