"""The SVG of the plan looks the same in a browser as in CairoSVG: compared pixel by pixel."""

from __future__ import annotations

import shutil
import subprocess
from io import BytesIO
from pathlib import Path

import cairosvg
import pytest
from PIL import Image, ImageChops, ImageFilter

from guidegen import build

BROWSER = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")
pytestmark = [pytest.mark.bench, pytest.mark.skipif(not BROWSER, reason="no Chromium here")]

SAMPLES = sorted((Path(__file__).parents[2] / "sample_vehicles").glob("*.yaml"))
SCALE = 96 / 25.4  # CSS pixels to the millimetre


def in_browser(svg: Path, size: tuple[int, int], folder: Path) -> Image.Image:
    """A screenshot of the drawing alone, on white, at twice the pixels of CSS."""
    page, shot = folder / "page.html", folder / "shot.png"
    page.write_text(
        f'<body style="margin:0;background:#fff"><img style="display:block" src="{svg.as_uri()}">'
    )
    command = [
        str(BROWSER),
        "--headless=new",
        "--no-sandbox",
        "--disable-gpu",
        "--hide-scrollbars",
        "--force-color-profile=srgb",
        "--force-device-scale-factor=2",
        f"--user-data-dir={folder / 'profile'}",
        f"--window-size={size[0] + 40},{size[1] + 200}",
        f"--screenshot={shot}",
        page.as_uri(),
    ]
    subprocess.run(command, check=True, capture_output=True, timeout=120)
    with Image.open(shot) as image:
        return image.convert("L").crop((0, 0, 2 * size[0], 2 * size[1]))


@pytest.mark.parametrize("sample", SAMPLES, ids=lambda f: f.stem)
def test_the_plan_looks_the_same_in_a_browser(sample: Path, tmp_path: Path) -> None:
    """Both smooth edges in their own way, so that a pixel counts only where its neighbours differ too."""
    report = build(sample, tmp_path, only=["plan"])
    assert report.folder
    assert not report.failed, report.message
    svg = report.folder / f"{report.id}-plan.svg"
    size = round(297 * SCALE), round(210 * SCALE)
    theirs = in_browser(svg, size, tmp_path)
    data = cairosvg.svg2png(
        url=str(svg), output_width=2 * size[0], output_height=2 * size[1], background_color="white"
    )
    ours = Image.open(BytesIO(data)).convert("L")
    differs = ImageChops.difference(ours, theirs).filter(ImageFilter.MinFilter(3))
    histogram = differs.histogram()
    share = sum(histogram[64:]) / sum(histogram)
    dark = [sum(image.histogram()[:128]) for image in (ours, theirs)]
    print(f"\n{sample.stem}: {share:.6%} of the pixels differ; dark {dark[0]} and {dark[1]}")
    assert dark[1] > 5_000, "the browser drew nothing"
    assert share < 0.0005
