"""Things one below the other, each as near to its wanted place as the others allow."""

from __future__ import annotations

from collections.abc import Sequence


def spaced(
    sizes: Sequence[float], wanted: Sequence[float], low: float, high: float, gap: float
) -> list[float] | None:
    """Where each of a row of things begins between low and high, in order and at least gap apart.

    sizes: lengths along the row. wanted: where the middle of each should be. The sum of the squared
    distances is the least there can be (isotonic regression by pooling adjacent violators: Ayer, Brunk,
    Ewing, Reid, Silverman, 1955). None when they are too long together. All in mm.
    """
    if not sizes:
        return []
    shifts = [0.0]
    for size in sizes[:-1]:
        shifts.append(shifts[-1] + size + gap)
    slack = high - low - shifts[-1] - sizes[-1]
    if slack < -1e-9:
        return None
    pools: list[tuple[float, int]] = []
    for size, middle, shift in zip(sizes, wanted, shifts, strict=True):
        pools.append((middle - size / 2 - shift, 1))
        while len(pools) > 1 and pools[-2][0] > pools[-1][0]:
            (b, m), (a, n) = pools.pop(), pools.pop()
            pools.append(((a * n + b * m) / (n + m), n + m))
    flat = [min(max(value, low), low + slack) for value, count in pools for _ in range(count)]
    return [start + shift for start, shift in zip(flat, shifts, strict=True)]
