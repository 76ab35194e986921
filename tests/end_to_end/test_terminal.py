"""On a terminal there is a progress bar with rate and time left, and colour."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

pty = pytest.importorskip("pty", reason="pseudo-terminals are POSIX")


def on_terminal(*arguments: object, **environment: str) -> str:
    """All that the command shows on a terminal."""
    control, terminal = pty.openpty()
    command = [sys.executable, "-m", "guidegen", *map(str, arguments)]
    variables = {k: v for k, v in os.environ.items() if k not in {"NO_COLOR", "CI"}}
    variables |= {"TERM": "xterm-256color", "COLUMNS": "100", **environment}
    process = subprocess.Popen(command, stdout=terminal, stderr=terminal, env=variables)
    os.close(terminal)
    shown = b""
    while True:
        try:
            part = os.read(control, 65536)
        except OSError:  # Linux says so when the other end is closed
            break
        if not part:
            break
        shown += part
    process.wait()
    os.close(control)
    return shown.decode()


@pytest.fixture
def twins(samples: list[Path], tmp_path: Path) -> list[Path]:
    files = []
    for n in range(3):
        file = tmp_path / f"van {n}.yaml"
        file.write_text(f"id: van-{n}\nname: [\n")
        files.append(file)
    return files


def test_progress_of_several_vehicles(twins: list[Path], tmp_path: Path) -> None:
    shown = on_terminal("build", *twins, "-o", tmp_path)
    assert "3/3" in shown
    assert "vehicles/s" in shown
    assert shown.count("failed") == 3 + 1  # one line each, and the summary


def test_no_progress_for_one_vehicle(twins: list[Path], tmp_path: Path) -> None:
    assert "1/1" not in on_terminal("build", twins[0], "-o", tmp_path)


def test_colour_unless_it_is_refused(twins: list[Path]) -> None:
    red, ended = "\x1b[31m", "\x1b[0m"
    shown = on_terminal("check", twins[0])
    assert red in shown
    assert ended in shown
    assert "\x1b" not in on_terminal("check", twins[0], NO_COLOR="1")
    assert "\x1b[" not in on_terminal("build", twins[0], NO_COLOR="1")
