"""What the README shows is true: its commands exist and its example can be read."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from guidegen.cli import COMMANDS
from guidegen.vehicle.reading import vehicle_from_text

ROOT = Path(__file__).parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")


def blocks(language: str) -> list[str]:
    return re.findall(rf"```{language}\n(.*?)```", README, re.DOTALL)


def test_two_commands_set_up_and_run() -> None:
    first, second = (block.strip() for block in blocks("sh")[:2])
    for command in (first, second):
        assert command.startswith("python3 -m venv .venv && ")
        assert "\n" not in command
    assert first.endswith("guidegen build sample_vehicles/larch.yaml -o out")
    assert second.endswith("/pytest")


def test_every_command_that_it_names_is_there() -> None:
    named = set(re.findall(r"^guidegen ([a-z]+)", "\n".join(blocks("sh")), re.MULTILINE))
    assert len(named) > 8
    assert named <= set(COMMANDS)


def test_files_that_it_names_exist() -> None:
    for name in re.findall(r"\]\(([^)#:]+)\)|\b(sample_vehicles/[\w./-]+)", README):
        assert (ROOT / (name[0] or name[1])).exists(), name


def test_example_can_be_read(tmp_path: Path) -> None:
    (example,) = blocks("yaml")
    vehicle = vehicle_from_text(example, tmp_path)
    assert len(vehicle.points) == example.count("{kind:")


@pytest.mark.parametrize("code", ["0", "1", "2", "3", "130"])
def test_exit_codes_are_documented(code: str) -> None:
    assert re.search(rf"^\| {code} \|", README, re.MULTILINE)
