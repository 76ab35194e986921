"""Pictures broken by chance are drawn or refused, never a fault of the program."""

from __future__ import annotations

import os
import random
from collections import Counter
from pathlib import Path

import pytest

from guidegen.drawing.logos import prepare_logo
from guidegen.drawing.pdf import write_pdf
from guidegen.drawing.pictures import prepare_photo
from guidegen.drawing.primitives import Document, Sheet
from guidegen.drawing.svg import write_svg
from guidegen.errors import GuidegenError

pytestmark = pytest.mark.bench

SAMPLES = Path(__file__).parents[2] / "sample_vehicles"
BROKEN = int(os.environ.get("GUIDEGEN_BROKEN_PICTURES", "1000"))
WORDS = (b"1e999", b"nan", b"-", b"9" * 12, b'"', b"<g>", b"&#0;", b"\xff", b"%", b"em", b"0", b"\x00")


def broken(data: bytes, chance: random.Random) -> bytes:
    found = bytearray(data)
    for _ in range(chance.choice((1, 3, 20))):
        at = chance.randrange(len(found) + 1)
        change = chance.randrange(4)
        if change == 0:
            found[at : at + 1] = bytes([chance.randrange(256)])
        elif change == 1:
            del found[at : at + chance.randrange(50)]
        elif change == 2:
            found[at:at] = chance.choice(WORDS)
        elif chance.random() < 0.3:
            del found[at:]
    return bytes(found)


def test_no_fault_of_the_program_in_broken_pictures(tmp_path: Path) -> None:
    pictures = [
        f
        for f in sorted(SAMPLES.rglob("*.*"))
        if f.suffix in (".svg", ".png", ".jpg") and f.stat().st_size < 120_000
    ]
    assert {f.suffix for f in pictures} >= {".svg", ".jpg"}
    counts: Counter[str] = Counter()
    for seed in range(BROKEN):
        chance = random.Random(seed)
        picture = chance.choice(pictures)
        file = tmp_path / f"broken{picture.suffix}"
        file.write_bytes(broken(picture.read_bytes(), chance))
        try:
            if picture.suffix == ".svg" or chance.random() < 0.5:
                sheet = Sheet(60, 20, (prepare_logo(file, 60, 20).item,))
                write_svg(sheet)
                write_pdf(Document((sheet,)))
            else:
                prepare_photo(file, 60, 40)
            counts[f"{picture.suffix} drawn"] += 1
        except GuidegenError:
            counts[f"{picture.suffix} refused"] += 1
    print(f"\nseeds 0 to {BROKEN - 1}:", dict(sorted(counts.items())))
    assert sum(counts.values()) == BROKEN
    assert any(name.endswith("drawn") for name in counts)
