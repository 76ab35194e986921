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
        drawn = Image.open(BytesIO(file.read_bytes())).convert("RGB")
        # Maximum coverage keeps what is rare, such as the green and amber of safety; others make it grey.
        few = drawn.quantize(256, Image.Quantize.MAXCOVERAGE, kmeans=1, dither=Image.Dither.NONE)
        few.save(file, optimize=True)


if __name__ == "__main__":
    main()
