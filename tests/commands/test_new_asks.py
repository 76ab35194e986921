"""guidegen new in a terminal: what it asks, what it forgives, and pictures where the terminal draws them."""

from __future__ import annotations

import os
import re
import select
import subprocess
import sys
import time
from pathlib import Path

import pytest

from guidegen.vehicle.source import read_source

if sys.platform == "win32":
    pytest.skip("needs a POSIX terminal", allow_module_level=True)

# Primary device attributes (DA1) as a terminal answers them: 4 is sixel graphics (VT330/VT340 manual).
ASKS = "\x1b[c"
DRAWS, DRAWS_NOT = "\x1b[?62;1;4;22c", "\x1b[?62;1;22c"


class Terminal:
    """A command in a terminal of its own, and a person who waits for words and types."""

    def __init__(self, folder: Path) -> None:
        import pty

        self.screen, inner = pty.openpty()
        environment = {**os.environ, "TERM": "xterm", "PYTHONIOENCODING": "utf-8"}
        self.process = subprocess.Popen(
            [sys.executable, "-m", "guidegen", "new"],
            stdin=inner, stdout=inner, stderr=inner, cwd=folder, env=environment,
        )  # fmt: skip
        os.close(inner)
        self.said = ""

    def waits_for(self, words: str) -> str:
        """What it said up to these words."""
        end = time.monotonic() + 20
        while words not in self.said:
            ready = select.select([self.screen], [], [], max(0, end - time.monotonic()))[0]
            assert ready, f"“{words}” does not come: {self.said[-500:]!r}"
            self.said += os.read(self.screen, 65536).decode("utf-8", "replace")
        before, _, self.said = self.said.partition(words)
        return before

    def types(self, text: str) -> None:
        os.write(self.screen, text.encode())

    def ends(self) -> int:
        while select.select([self.screen], [], [], 20)[0]:
            try:
                if not (data := os.read(self.screen, 65536)):
                    break
            except OSError:  # the other side is gone
                break
            self.said += data.decode("utf-8", "replace")
        os.close(self.screen)
        return self.process.wait(20)


def test_a_person_is_asked_and_slips_are_forgiven(tmp_path: Path) -> None:
    terminal = Terminal(tmp_path)
    terminal.waits_for("to be printed: ")
    terminal.types("Willow 540\n")
    terminal.waits_for(ASKS)
    terminal.types(DRAWS_NOT)
    assert "\x1bP" not in terminal.waits_for("p draws them in layouts.pdf: ")
    terminal.types("p\n")
    terminal.waits_for("layouts.pdf: ")
    terminal.types("van\n")
    terminal.waits_for("which of these: van-rear-lounge, van-short, van-transverse-bed?")
    terminal.waits_for("layouts.pdf: ")
    terminal.types("van-s\n")
    terminal.waits_for("[right]: ")
    terminal.types("l\n")
    terminal.waits_for("[usual]: ")
    terminal.types("fridge:compresor\n")
    terminal.waits_for("did you mean “compressor”?")
    terminal.waits_for("[usual]: ")
    terminal.types("usual,-gas,hob:mains\n")
    assert terminal.ends() == 0
    assert "guidegen sheet willow-540.yaml" in terminal.said
    assert (tmp_path / "layouts.pdf").read_bytes().startswith(b"%PDF")
    data = read_source(tmp_path / "willow-540.yaml").data
    assert (data["layout"], data["steering"], data["name"]) == ("van-short", "left", "Willow 540")
    assert "gas" not in data["equipment"] and data["equipment"]["hob"]["mains"]


def test_a_terminal_that_draws_sixels_shows_the_layouts(tmp_path: Path) -> None:
    terminal = Terminal(tmp_path)
    terminal.waits_for("to be printed: ")
    terminal.types("Fir\n")
    terminal.waits_for(ASKS)
    terminal.types(DRAWS)
    shown = terminal.waits_for("Layout, by number or name: ")
    assert re.search(r'\x1bP0;1;0q"1;1;\d{3};\d{3}#0;2;', shown)
    terminal.types("8\n")
    terminal.waits_for("[right]: ")
    terminal.types("\n")
    terminal.waits_for("[usual]: ")
    terminal.types("\n")
    assert terminal.ends() == 0
    assert read_source(tmp_path / "fir.yaml").data["layout"] == "van-short"
