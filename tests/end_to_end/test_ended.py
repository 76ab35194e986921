"""A build that is ended by its terminal or by another process leaves nothing behind."""

from __future__ import annotations

import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

SAMPLE = Path(__file__).parents[2] / "sample_vehicles" / "hazel.yaml"
STEPPED = """
import sys, time
from guidegen import cli
from guidegen.packs import building
plain = building.Writing.add
def add(self, name, data):
    plain(self, name, data)
    print(name, flush=True)
    time.sleep(0.2)  # so that the end comes amid the writing
building.Writing.add = add
cli.main(["build", sys.argv[1], "-o", sys.argv[2]])
"""


@pytest.mark.skipif(sys.platform == "win32", reason="there are no such signals")
@pytest.mark.parametrize("ending", ["SIGTERM", "SIGHUP"])
def test_who_is_ended_amid_writing_takes_back_what_was_begun(ending: str, tmp_path: Path) -> None:
    out = tmp_path / "out"
    command = [sys.executable, "-c", STEPPED, str(SAMPLE), str(out)]
    number = getattr(signal, ending)

    def as_in_a_terminal() -> None:  # where a test is run by nohup, signals are ignored from the start
        signal.signal(number, signal.SIG_DFL)

    with subprocess.Popen(
        command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, preexec_fn=as_in_a_terminal
    ) as process:
        assert process.stdout and process.stdout.readline()
        time.sleep(0.05)
        assert list(out.rglob(".guidegen-*.tmp"))
        process.send_signal(number)
        said = process.communicate()[1]
    assert process.returncode == 130
    assert "interrupted" in said and "Traceback" not in said
    assert not [file for file in out.rglob("*") if file.is_file()]
