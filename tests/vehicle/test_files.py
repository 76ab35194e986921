"""Names of pictures: what is wrong with each is one finding, and never a failure of the system's."""

from __future__ import annotations

from pathlib import Path

import pytest

from guidegen.errors import Mark
from guidegen.vehicle.files import picture_file

# How files begin: ISO/IEC 15948, ISO/IEC 10918-1, RFC 9649, and ISO/IEC 23008-12 (HEIF).
SIGNATURES = {
    "png": b"\x89PNG\r\n\x1a\n",
    "jpeg": b"\xff\xd8\xff\xe0\x00\x10JFIF\x00",
    "webp": b"RIFF\x24\x00\x00\x00WEBPVP8 ",
    "heic": b"\x00\x00\x00\x18ftypheic\x00\x00",
    "text": b"not a picture",
    "nothing": b"",
}


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
        file.write_bytes(SIGNATURES["png"])
    (folder / "inner.png").symlink_to(folder / "van.png")
    (folder / "outer.png").symlink_to(tmp_path / "out.png")
    (folder / "round.png").symlink_to(folder / "round.png")
    found = list(picture_file(name, folder, Mark("v", 3, 8)))
    assert [f.rule for f in found] == ([rule] if rule else [])
    assert all(f.mark == Mark("v", 3, 8) and f.severity == "error" for f in found)


@pytest.mark.parametrize(
    ("kind", "holds"),
    [("png", True), ("jpeg", True), ("webp", True)] + [(k, False) for k in ("heic", "text", "nothing")],
)
def test_what_is_no_photo_by_another_name_is_told(kind: str, holds: bool, tmp_path: Path) -> None:
    (tmp_path / "van.jpg").write_bytes(SIGNATURES[kind])
    found = list(picture_file("van.jpg", tmp_path, Mark("v", 3, 8)))
    assert [f.rule for f in found] == ([] if holds else ["file-kind"])
