"""Names of pictures: what is wrong with each is one finding, and never a failure of the system's."""

from __future__ import annotations

from pathlib import Path

import pytest

from guidegen.errors import Mark
from guidegen.vehicle.files import picture_file


@pytest.mark.parametrize(
    ("name", "rule"),
    [
        ("van.png", None),
        ("sub/van.png", None),
        ("./sub/../van.png", None),
        ("inner.png", None),  # a link that stays inside
        ("VAN.PNG", "file-missing"),
        ("van.gif", "file-kind"),
        ("logo.svg", "file-kind"),
        ("sub", "file-kind"),
        ("..", "file-outside"),
        ("../other/van.png", "file-outside"),
        ("outer.png", "file-outside"),
        ("a\0.png", "file-missing"),
        ("é" * 150 + ".png", "file-missing"),
        ("round.png", "file-missing"),
    ],
)
def test_one_finding_at_most(name: str, rule: str | None, tmp_path: Path) -> None:
    folder = tmp_path / "vehicle"
    (folder / "sub").mkdir(parents=True)
    for file in (folder / "van.png", folder / "sub" / "van.png", tmp_path / "out.png"):
        file.touch()
    (folder / "inner.png").symlink_to(folder / "van.png")
    (folder / "outer.png").symlink_to(tmp_path / "out.png")
    (folder / "round.png").symlink_to(folder / "round.png")
    found = list(picture_file(name, folder, Mark("v", 3, 8)))
    assert [f.rule for f in found] == ([rule] if rule else [])
    assert all(f.mark == Mark("v", 3, 8) and f.severity == "error" for f in found)
