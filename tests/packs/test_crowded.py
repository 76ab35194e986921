"""Vehicles with more points than a plan on A4 holds: refused before anything is drawn, with what to do."""

from __future__ import annotations

import random
import re
from pathlib import Path

import pytest
from click.testing import CliRunner

from guidegen import build, pipeline
from guidegen.cli import root
from guidegen.documents import training
from guidegen.documents.registry import compose
from guidegen.packs import building
from guidegen.pipeline import prepare
from guidegen.plan.errors import SheetTooSmallError
from guidegen.vehicle.layout_reading import read_layout

SAMPLE = Path(__file__).parents[2] / "sample_vehicles" / "alder.yaml"


def crowded(folder: Path, count: int, pinned: bool = False) -> Path:
    """The sample with so many sockets more, anywhere; pinned: with a number each."""
    chance, layout = random.Random(count), read_layout("coachbuilt-rear-lounge")
    lines = [SAMPLE.read_text().rstrip()]
    for n in range(count):
        x, y = chance.uniform(0.02, 0.98) * layout.length, chance.uniform(0.05, 0.95) * layout.width
        lines.append(f"  - {{kind: socket-12v, id: more-{n}, x: {x:.0f} mm, y: {y:.0f} mm, height: low}}")
    file, text = folder / "crowded.yaml", "\n".join(lines) + "\n"
    numbers = iter(range(1, 1000))
    file.write_text(
        re.sub(r"^  - \{kind:", lambda _: f"  - {{number: {next(numbers)}, kind:", text, flags=re.MULTILINE)
        if pinned
        else text
    )
    return file


@pytest.mark.parametrize("pinned", [False, True])
def test_a_crowd_is_refused_before_anything_is_made(
    pinned: bool, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(building, "make_all", lambda *_: pytest.fail("documents were made"))
    monkeypatch.setattr(building, "context_of", lambda *_: pytest.fail("larger sheets were tried"))
    report = build(crowded(tmp_path, 150, pinned), tmp_path / "out")
    assert (report.outcome, report.exit_code) == ("failed", 1)
    assert "points are too many for a plan on A4" in report.message
    assert "--paper A3" in report.message
    assert "--only guide," in report.message
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize(("count", "warned"), [(30, False), (150, True)])
def test_a_crowd_is_told_by_check(count: int, warned: bool, tmp_path: Path) -> None:
    """At the first of them, before anything is built."""
    file = crowded(tmp_path, count)
    found = [f for f in pipeline.crowded(pipeline.inspect(file)) if f.rule == "too-many-points"]
    assert len(found) == warned
    if warned:
        assert "--paper A3" in found[0].hint
        first = next(n for n, line in enumerate(file.read_text().splitlines(), 1) if "- {kind:" in line)
        assert found[0].mark.line == first
    ran = CliRunner().invoke(root, ["check", str(file)])
    assert ("[too-many-points]" in ran.output) is warned


def test_what_is_foreseen_is_what_the_document_says(tmp_path: Path) -> None:
    for count, fits in ((30, True), (110, False)):
        context = prepare(crowded(tmp_path, count))
        if fits:
            training.refuse_crowd(context.vehicle)
            assert compose("training", context).sheets
        else:
            with pytest.raises(SheetTooSmallError, match="too many for a plan on A4"):
                training.refuse_crowd(context.vehicle)
            with pytest.raises(SheetTooSmallError, match="277 × 162"):
                compose("training", context)


def test_the_rest_is_built_as_the_refusal_says(tmp_path: Path) -> None:
    report = build(crowded(tmp_path, 110), tmp_path / "out", only=["check-sheet", "stickers"])
    assert report.outcome == "built"
