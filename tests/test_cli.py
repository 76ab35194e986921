"""The command line as a whole: help, exit codes, and what a failure looks like."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import click
import pytest

from guidegen import cli
from guidegen.errors import GuidegenError

LARCH = Path(__file__).parents[1] / "sample_vehicles" / "larch.yaml"


def test_every_command_loads_and_shows_an_example(capsys: pytest.CaptureFixture[str]) -> None:
    for name in cli.COMMANDS:
        assert cli.run([name, "--help"]) == 0
        said = capsys.readouterr().out
        assert f"guidegen {name}" in said.split("Example")[1], name


def test_help_names_every_command_and_the_exit_codes(capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.run(["--help"]) == 0
    said = capsys.readouterr().out
    assert all(f"\n  {name} " in said for name in cli.COMMANDS)
    assert "Exit codes: 0" in said


@pytest.mark.parametrize(
    ("arguments", "hint"),
    [
        (["chekc"], "Did you mean “check”?"),
        (["no-such-thing"], "There are: "),
        (["check"], "VEHICLE"),
        (["list", "wheels"], "layouts"),
        (["check", "--jsn", "a.yaml"], "--json"),
    ],
)
def test_wrong_use_is_code_2_with_a_hint(
    arguments: list[str], hint: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert cli.run(arguments) == 2
    assert hint in capsys.readouterr().err


@pytest.mark.parametrize(
    ("error", "code", "words"),
    [
        (GuidegenError("this text does not fit"), 1, "this text does not fit"),
        (FileNotFoundError(2, "x", "a.yaml"), 2, "a.yaml: there is no such file"),
        (ZeroDivisionError("division by zero"), 3, "please report"),
        (RecursionError(), 3, "please report"),
        (KeyboardInterrupt(), 130, "interrupted"),
    ],
)
def test_each_failure_is_one_message_and_a_code(
    error: BaseException,
    code: int,
    words: str,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    def fail(*_: object, **__: object) -> None:
        raise error

    monkeypatch.setattr(cli.root, "main", fail)
    monkeypatch.delenv("GUIDEGEN_DEBUG", raising=False)
    assert cli.run([]) == code
    said = capsys.readouterr().err
    assert words in said
    assert "Traceback" not in said


def test_debug_shows_the_traceback(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    @click.command
    def broken() -> None:
        raise ZeroDivisionError

    monkeypatch.setattr(cli.LazyGroup, "get_command", lambda *_: broken)
    monkeypatch.setenv("GUIDEGEN_DEBUG", "1")
    assert cli.run(["check"]) == 3
    assert "Traceback" in capsys.readouterr().err


def test_reader_that_stops_early_is_no_failure() -> None:
    script = f"{sys.executable} -m guidegen schema | head -n 1"
    done = subprocess.run(["sh", "-c", script], capture_output=True, text=True)
    assert done.stderr == ""
    assert done.stdout == "{\n"


def test_the_package_is_cheap_to_import() -> None:
    # The heavy libraries are imported by the work that needs them.
    heavy = {"click", "pydantic", "yaml", "reportlab", "fontTools", "cairosvg", "PIL", "rich", "openpyxl"}
    code = "import sys, guidegen.cli; print(*sys.modules)"
    loaded = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout
    assert heavy & set(loaded.split()) == {"click"}


def test_rubbish_is_not_searched_for_while_a_command_is_loaded() -> None:
    count = "import gc; counted = []; gc.callbacks.append(lambda phase, _: counted.append(phase))"
    code = f"{count}; import sys; sys.argv = ['guidegen', '--version']; from guidegen.__main__ import main"
    code += "; before = len(counted); import os; os._exit = lambda code: print(len(counted) - before); main()"
    said = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True).stdout
    assert said.splitlines()[-1] == "0"


def test_who_interrupts_while_the_program_is_loaded_sees_no_traceback() -> None:
    code = "import sys; from guidegen.__main__ import main\nclass Loading:\n def find_spec(self, name, *_):\n"
    code += "  if name == 'guidegen.cli': raise KeyboardInterrupt\nsys.meta_path.insert(0, Loading()); main()"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True)
    assert (done.returncode, done.stdout, done.stderr) == (130, "", "guidegen: interrupted\n")


def test_the_help_says_of_every_command_what_it_does_in_whole_words(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert cli.run(["--help"]) == 0
    commands = capsys.readouterr().out.partition("Commands:")[2]
    assert "..." not in commands


@pytest.mark.parametrize("what", ["kinds", "layouts"])
def test_a_reader_that_has_gone_before_the_first_line_is_no_error(what: str) -> None:
    script = f"{sys.executable} -m guidegen list {what} | true; exit ${{PIPESTATUS[0]}}"
    assert subprocess.run(["bash", "-c", script], capture_output=True).returncode == 0


@pytest.mark.parametrize("more", [["--json"], ["--prove"], ["--only", "leave"]])
def test_why_goes_with_no_other_option(more: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.run(["sequence", str(LARCH), "--why", "pump-on", *more]) == 2
    assert "goes with no other option" in capsys.readouterr().err
