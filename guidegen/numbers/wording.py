"""Small words: figures rounded as people say them, and lists."""

from __future__ import annotations

import math
from collections.abc import Sequence

_NEAR = 0.3  # of a step of rounding: nearer to the next than that is nearly it


def figure(value: float, digits: int = 1) -> str:
    """The value without needless zeros: 0.8, 12, 2300."""
    text = f"{value:.{digits}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def precise(value: float) -> str:
    """The value to three figures at least, without needless zeros: 0.742, 12.5, 283, 3680."""
    size = math.floor(math.log10(abs(value))) if value else 0
    return figure(value, min(9, max(0, 2 - size)))


def percent(share: float, digits: int = 0) -> str:
    """A share in per cent, the sign behind a space (ISO 80000-1, 7.1.4, from memory)."""
    return f"{100 * share:.{digits}f}\N{NO-BREAK SPACE}%"


def listed(words: Sequence[str], last: str = "and") -> str:
    """ "a", "a and b", "a, b and c"."""
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} {last} {words[-1]}"


def within(name: str) -> str:
    """A name inside a sentence: a lower-case start unless it is an abbreviation such as "TV"."""
    return name if name[1:2].isupper() else name[:1].lower() + name[1:]


def minutes_said(minutes: float) -> str:
    """About how long: to the minute below 20, to 5 minutes below 2 hours, else to half an hour."""
    if minutes < 20:
        whole = max(1, round(minutes))
        return f"{whole} minute" + ("s" if whole > 1 else "")
    if minutes < 120:
        return f"{5 * round(minutes / 5)} minutes"
    return f"{figure(round(minutes / 30) / 2)} hours"


def warm_up_said(minutes: float) -> str:
    """About how long, to the minute below an hour: half the power is seen to take twice as long."""
    return f"{round(minutes)} minutes" if 20 <= minutes < 59.5 else minutes_said(minutes)


def about_days(days: float) -> str:
    """ "about 3.5 days", or "nearly 4 days" where rounding down would take away too much to be true."""
    step = 0.5 if days < 5 else 1.0
    above = (int(days / step) + 1) * step
    near = days >= 1 and above - days <= _NEAR * step
    return f"nearly {figure(above)} days" if near else f"about {days_said(days)}"


def hours_said(hours: float) -> str:
    """About how long, rounded down: to whole hours, below one to ten minutes."""
    whole, tens = int(hours + 1e-9), int(hours * 6 + 1e-9)
    if whole < 1:
        return f"{10 * tens} minutes" if tens else "a few minutes"
    return "1 hour" if whole == 1 else f"{whole} hours"


def days_said(days: float) -> str:
    """About how long, rounded down: in hours below a day, to half a day below 5, else whole days."""
    if days < 1:
        return hours_said(days * 24)
    rounded = int(days * 2) / 2 if days < 5 else int(days)
    return "1 day" if rounded == 1 else f"{figure(rounded)} days"
