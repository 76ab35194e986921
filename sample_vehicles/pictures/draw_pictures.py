"""Draws the README's pictures anew: python sample_vehicles/pictures/draw_pictures.py."""

from __future__ import annotations

import subprocess
import sys
from io import BytesIO
from pathlib import Path

from PIL import Image

HERE = Path(__file__).resolve().parent
VEHICLE = HERE.parent / "larch.yaml"


def main() -> None:
    for name in ("plan", "card"):
        file = HERE / f"larch-{name}.png"
        command = [sys.executable, "-m", "guidegen", name, str(VEHICLE), "-o", str(file), "--dpi", "100"]
        subprocess.run(command, check=True)
        few = Image.open(BytesIO(file.read_bytes())).convert("RGB").quantize(160, dither=Image.Dither.NONE)
        few.save(file, optimize=True)


if __name__ == "__main__":
    main()
