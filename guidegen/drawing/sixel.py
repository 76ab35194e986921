"""Pictures in a terminal as sixels: six rows of pixels to a band, one character a column and colour.

The format is that of the VT330 and VT340 terminals (programmer reference manual, volume 2, chapter 14).
"""

from __future__ import annotations

import io
import re

_BAND = 6
_FIRST = 63  # "?": no pixel of the six
_RUN = re.compile(rb"(.)\1{3,}", re.DOTALL)
_SHADES = 6


def write_sixel(png: bytes) -> str:
    """The PNG picture in shades of grey on its own ground, ready to be printed at the cursor."""
    from PIL import Image

    with Image.open(io.BytesIO(png)) as opened:
        grey = opened.convert("L")
    width, height = grey.size
    shades = grey.tobytes().translate(bytes(round(v / 255 * (_SHADES - 1)) for v in range(256)))
    rows = [shades[start : start + width] for start in range(0, len(shades), width)]
    bands = [rows[start : start + _BAND] for start in range(0, height, _BAND)]
    levels = [round(100 * n / (_SHADES - 1)) for n in range(_SHADES)]
    colours = "".join(f"#{n};2;{level};{level};{level}" for n, level in enumerate(levels))
    body = "-".join(_band(band) for band in bands)
    return f'\x1bP0;1;0q"1;1;{width};{height}{colours}{body}\x1b\\'


def _band(rows: list[bytes]) -> str:
    """Up to six rows: for each shade its number and its pixels, from the left edge each time."""
    shades = sorted(set().union(*rows))
    return "$".join(f"#{shade}{_columns(rows, shade)}" for shade in shades)


def _columns(rows: list[bytes], shade: int) -> str:
    """One character a column, whose bits say in which of the rows the shade is; runs are counted."""
    bits = 0
    for number, row in enumerate(rows):
        table = bytes(1 << number if value == shade else 0 for value in range(256))
        bits |= int.from_bytes(row.translate(table), "big")
    columns = bits.to_bytes(len(rows[0]), "big").translate(bytes((v + _FIRST) & 255 for v in range(256)))
    columns = columns.rstrip(bytes([_FIRST]))
    return _RUN.sub(lambda run: b"!%d%s" % (len(run[0]), run[1]), columns).decode("ascii")
