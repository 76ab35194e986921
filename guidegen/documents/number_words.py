"""Small words of the numbers: sentences, figures in a column, formulas in parts that a line may break."""

from __future__ import annotations

import re

from guidegen.numbers.wording import precise

_BEFORE_TERMS = re.compile(r" (?=[=+−] )")  # where a formula breaks, best outside brackets


def sentence(text: str) -> str:
    return f"{upper(text)}."


def upper(text: str) -> str:
    return text[:1].upper() + text[1:]


def tenths(value: float) -> str:
    """Figures one below the other are alike: all to one place, but for those that it would make nothing."""
    return f"{value:.1f}" if value >= 0.05 else precise(value)


def outside_brackets(formula: str) -> list[str]:
    """The formula in parts that begin with = + or −, none within brackets."""
    parts: list[str] = []
    for part in _BEFORE_TERMS.split(formula):
        if parts and parts[-1].count("(") > parts[-1].count(")"):
            parts[-1] += f" {part}"
        else:
            parts.append(part)
    return parts


def held(text: str) -> str:
    """The text with spaces at which no line breaks."""
    return text.replace(" ", "\N{NO-BREAK SPACE}")
