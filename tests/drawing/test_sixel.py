"""Sixels against the picture they were made of.

The decoder follows the VT330/VT340 programmer reference manual, volume 2, chapter 14; the one of libsixel,
where it is installed, is asked too.
"""

from __future__ import annotations

import io
import re
import shutil
import subprocess
from pathlib import Path

import pytest
from PIL import Image, ImageDraw

from guidegen.drawing.sixel import write_sixel

_TOKEN = re.compile(r"#(\d+)(;2;(\d+);(\d+);(\d+))?|!(\d+)([?-~])|([?-~])|([$-])")


def picture(width: int, height: int) -> Image.Image:
    """Lines, a ramp and a corner whose place cannot be mistaken."""
    image = Image.new("L", (width, height), 255)
    draw = ImageDraw.Draw(image)
    draw.line((0, 0, width - 1, height - 1), 0)
    draw.ellipse((width // 4, 1, width, height // 2 + 1), outline=120)
    draw.rectangle((0, height - 3, 2, height - 1), fill=51)
    for x in range(width):
        image.putpixel((x, 0), 255 * x // max(1, width - 1))
    return image


def png(image: Image.Image) -> bytes:
    out = io.BytesIO()
    image.save(out, "PNG")
    return out.getvalue()


def decoded(text: str) -> Image.Image:
    """The picture that a terminal would paint."""
    head = re.match(r'\x1bP0;1;0q"1;1;(\d+);(\d+)', text)
    assert head and text.endswith("\x1b\\")
    body = text[head.end() : -2]
    image = Image.new("L", (int(head[1]), int(head[2])), 255)
    colours: dict[str, int] = {}
    at = x = y = 0
    now = ""
    while at < len(body):
        found = _TOKEN.match(body, at)
        assert found, body[at : at + 20]
        at = found.end()
        number, defined, level, _, _, count, run, one, control = found.groups()
        if defined:
            colours[number] = round(int(level) * 255 / 100)
        elif number:
            now = number
        elif control:
            x, y = 0, y + 6 * (control == "-")
        else:
            bits, columns = ord(run or one) - 63, int(count or 1)
            for column in range(x, x + columns):
                for row in (row for row in range(6) if bits >> row & 1):
                    image.putpixel((column, y + row), colours[now])
            x += columns
    return image


@pytest.mark.parametrize(("width", "height"), [(1, 1), (6, 6), (50, 13), (97, 60)])
def test_what_is_painted_is_the_picture_in_six_shades(width: int, height: int) -> None:
    image = picture(width, height)
    painted = decoded(write_sixel(png(image)))
    assert painted.size == image.size
    # The shade nearest to a grey lies at most half a step away, and the level is a whole per cent.
    step = 255 / 5
    off = [abs(a - b) for a, b in zip(painted.tobytes(), image.tobytes(), strict=True)]
    assert max(off) <= step / 2 + 2


def test_runs_are_counted() -> None:
    assert len(write_sixel(png(Image.new("L", (900, 600), 255)))) < 2000


@pytest.mark.bench
@pytest.mark.skipif(not shutil.which("sixel2png"), reason="no other decoder is installed")
def test_another_decoder_paints_the_same(tmp_path: Path) -> None:
    text = write_sixel(png(picture(200, 121)))
    (tmp_path / "a.six").write_text(text)
    subprocess.run(["sixel2png", "-i", str(tmp_path / "a.six"), "-o", str(tmp_path / "a.png")], check=True)
    with Image.open(tmp_path / "a.png") as painted:
        assert painted.convert("L").tobytes() == decoded(text).tobytes()
