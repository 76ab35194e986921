"""How typed text is printed: apostrophes and quotation marks curled, ranges with an en dash.

As The Unicode Standard, chapter 6.2, has it (from memory): U+2019 for the apostrophe, U+2013 for a range of
values. Addresses stay as they are, and so do marks of feet and inches, and hyphens that are no range.
"""

from __future__ import annotations

import re

# Symbols of units as in ISO 80000, others beside them, and words that follow figures.
UNITS = (
    r"(?:[kmcMµ]?(?:m|g|l|L|A|V|W|Wh|Ah|bar|Hz|Pa|J|s|Ω)(?:[²³23]|/h|/min|/s|/100 km)?|V[~=]|°C|°|%|‰|"
    r"t|h|min|atm|litres?|metres?|minutes?|seconds?|hours?|days?|kg/h|Liter|Minuten?|Stunden?|Tage?)"
)
_ADDRESS = re.compile(r"(\S*(?:://|www\.|@)\S*)")
_RANGE = re.compile(
    rf"(?<![\w.,/-])(\d+(?:[.,]\d+)?)-(\d+(?:[.,]\d+)?)(?=[ \N{{NO-BREAK SPACE}}]?{UNITS}(?![^\W\d_]))"
)
_LETTER = r"[^\W\d_]"
_MARKS = (
    (re.compile(rf"(?<={_LETTER})'(?={_LETTER})|(?<=\d)'(?=s\b)"), "’"),
    (re.compile(r"(?<!\w)'(?=\d\ds?(?![\w']))"), "’"),  # a year without its century
    (re.compile(r"(?<!\w)\"(?=\S)([^\"]*)(?<=\S)\"(?!\w)"), r"“\1”"),
    (re.compile(r"(?<!\w)'(?=\S)([^']*)(?<=\S)'(?!\w)"), r"‘\1’"),
    # One mark of a pair, where the line ends before the other; after a figure they are feet and inches.
    (re.compile(r"(?<![^\s(\[“‘—–/])\"(?=\S)"), "“"),
    (re.compile(r"(?<=[^\s\d])\""), "”"),
    (re.compile(r"(?<![^\s(\[“‘—–/])'(?=\S)"), "‘"),
    (re.compile(r"(?<=[^\s\d])'"), "’"),
)


def as_printed(text: str) -> str:
    """The text with the marks that a printer would have set, of the same length."""
    if "'" not in text and '"' not in text and "-" not in text:
        return text
    parts = _ADDRESS.split(text)
    parts[::2] = map(_set, parts[::2])
    return "".join(parts)


def _set(text: str) -> str:
    for mark, printed in _MARKS:
        text = mark.sub(printed, text)
    return _RANGE.sub(_dashed, text)


def _dashed(found: re.Match[str]) -> str:
    first, last = (float(figure.replace(",", ".")) for figure in found.groups())
    return "–".join(found.groups()) if first < last else found.group()
