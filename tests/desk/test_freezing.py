"""Freezing: the numbers go into the file, and not one other byte changes."""

from __future__ import annotations

import difflib
import re
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from guidegen import cli
from guidegen.desk.description_text import description_text
from guidegen.desk.freezing import CannotFreezeError, freeze, frozen
from guidegen.pipeline import prepare, sound
from guidegen.plan.numbering import numbered
from guidegen.trade.load import load_trade
from guidegen.vehicle.reading import vehicle_from_source
from guidegen.vehicle.source import Source, parse_source, read_source

SAMPLES = sorted((Path(__file__).parents[2] / "sample_vehicles").glob("*.yaml"))


@pytest.fixture
def yard(tmp_path: Path) -> Path:
    """A copy of the samples with their pictures."""
    shutil.copytree(SAMPLES[0].parent, tmp_path / "yard")
    return tmp_path / "yard"


@pytest.mark.parametrize("sample", SAMPLES, ids=lambda s: s.stem)
def test_only_numbers_are_inserted(sample: Path) -> None:
    before = sample.read_bytes()
    after = freeze(sample).data
    inserted = []
    # Judge: the standard library's diff finds nothing but insertions, each a whole "number: n".
    for old, new in zip(before.split(b"\n"), after.split(b"\n"), strict=True):
        if old != new:
            matcher = difflib.SequenceMatcher(None, old, new, autojunk=False)
            assert {code for code, *_ in matcher.get_opcodes()} <= {"equal", "insert"}
            inserted.append(re.sub(rb"^(\s*- \{)number: \d+, ", rb"\1", new))
            assert inserted[-1] == old
    assert len(inserted) == sum("number" not in point for point in read_source(sample).data["points"])


@pytest.mark.parametrize("sample", SAMPLES, ids=lambda s: s.stem)
def test_a_frozen_file_numbers_as_before_and_stays_as_it_is(sample: Path, yard: Path) -> None:
    file = yard / sample.name
    numbers = {p.id: p.number for p in numbered(sound(file)).points}
    file.write_bytes(freeze(file).data)
    vehicle = sound(file)
    assert {p.id: p.number for p in vehicle.points} == numbers
    assert all(p.pinned for p in vehicle.points)
    assert freeze(file).data == file.read_bytes()
    assert not freeze(file).added


def test_a_point_added_later_takes_the_next_free_number(yard: Path) -> None:
    file = yard / "alder.yaml"
    file.write_bytes(freeze(file).data)
    old = {p.id: p.number for p in sound(file).points}
    added = "points:\n  - {kind: torch, in: dashboard, spot: nearside, height: low}"
    file.write_text(file.read_text().replace("points:", added, 1))
    new = {p.id: p.number for p in prepare(file).vehicle.points}
    assert new == {**old, "torch": max(old.values()) + 1}


HEAD = "id: a\nname: A\nkind: motorhome\nsteering: right\nlayout: coachbuilt-rear-lounge\n"


@pytest.mark.parametrize(
    ("points", "wanted"),
    [
        ("points:\n- kind: pump\n  in: fridge\n", "points:\n- number: 7\n  kind: pump\n  in: fridge\n"),
        ("points:\n -   kind: a # c\n     in: x", "points:\n -   number: 7\n     kind: a # c\n     in: x"),
        ("points: [{kind: pump, in: x}]\n", "points: [{number: 7, kind: pump, in: x}]\n"),
        ('points:\n- { "kind" : pump,\n  in: x }\n', 'points:\n- { number: 7, "kind" : pump,\n  in: x }\n'),
        ("points:\n- {kind: pump, number: , in: x}\n", "points:\n- {kind: pump, number: 7 , in: x}\n"),
        ("points:\n- kind: pump\n  number:\n  in: x\n", "points:\n- kind: pump\n  number: 7\n  in: x\n"),
        ("points:\n- {kind: pump, number: 3, in: x}\n", "points:\n- {kind: pump, number: 3, in: x}\n"),
        ("points:\r\n- kind: pump\r\n  in: x\r\n", "points:\r\n- number: 7\r\n  kind: pump\r\n  in: x\r\n"),
        ("# ÄŁ 🚐\npoints:\n- {kind: pump, in: x}", "# ÄŁ 🚐\npoints:\n- {number: 7, kind: pump, in: x}"),
        ("points: []\n", "points: []\n"),
    ],
)  # fmt: skip
def test_every_way_to_write_a_point(points: str, wanted: str) -> None:
    numbers = (int(re.search(r"number: (\d+)", wanted)[1]),) if "number" in wanted else ()  # type: ignore[index]
    for lead in (b"", b"\xef\xbb\xbf"):
        raw = lead + (HEAD + points).encode()
        assert frozen(raw, "a.yaml", numbers) == lead + (HEAD + wanted).encode()


def test_a_text_that_cannot_take_numbers_is_refused_whole() -> None:
    raw = (HEAD + "points:\n- ? kind\n  : pump\n").encode()
    assert parse_source(raw, "a.yaml").data["points"] == [{"kind": "pump"}]
    with pytest.raises(CannotFreezeError, match="a line of its own"):
        frozen(raw, "a.yaml", (7,))


class TestCommand:
    def test_writes_the_numbers_once(self, yard: Path, capsys: pytest.CaptureFixture[str]) -> None:
        file = yard / "hazel.yaml"
        assert cli.run(["freeze", str(file)]) == 0
        assert "numbers written" in capsys.readouterr().out
        assert cli.run(["freeze", str(file)]) == 0
        assert "every number is in the file" in capsys.readouterr().out

    def test_a_vehicle_with_errors_is_left_alone(self, yard: Path) -> None:
        file = yard / "hazel.yaml"
        file.write_text(file.read_text().replace("in: hob}", "in: nowhere}"))
        before = file.read_bytes()
        assert cli.run(["freeze", str(file)]) == 2
        assert file.read_bytes() == before

    def test_a_renumbering_build_warns_and_the_old_numbers_can_be_had_back(
        self, yard: Path, capsys: pytest.CaptureFixture[str]
    ) -> None:
        file, out = yard / "hazel.yaml", str(yard / "print")
        build = ["build", str(file), "-o", out, "--only", "plan"]
        assert cli.run(build) == 0
        assert "callout numbers changed" not in capsys.readouterr().err
        printed = {p.id: p.number for p in prepare(file).vehicle.points}
        added = "points:\n  - {kind: torch, in: sliding-door, spot: front, height: low}"
        file.write_text(file.read_text().replace("points:", added, 1))
        changed = {p.id: p.number for p in prepare(file).vehicle.points if p.id in printed}
        assert changed != printed, "the case must renumber, or it shows nothing"
        assert cli.run(build) == 0
        said = capsys.readouterr().err
        assert "callout numbers changed since the last print" in said
        assert "freeze" in said
        assert cli.run(["freeze", str(file), "--printed", out, "--before"]) == 0
        again = {p.id: p.number for p in prepare(file).vehicle.points}
        assert {id: n for id, n in again.items() if id in printed} == printed
        assert again["torch"] not in printed.values()
        assert cli.run(build) == 0
        said = capsys.readouterr().err
        assert "callout numbers are again those of the print before the last" in said
        assert "--before" not in said

    def test_prints_of_the_numbers_that_are_pinned_stay_up_to_date(
        self, yard: Path, capsys: pytest.CaptureFixture[str]
    ) -> None:
        file, out = yard / "hazel.yaml", str(yard / "print")
        build = ["build", str(file), "-o", out, "--only", "plan,stickers"]
        assert cli.run(build) == 0
        pack = sorted((yard / "print" / "hazel").glob("hazel-*"))
        printed = [one.read_bytes() for one in pack]
        assert cli.run(["freeze", str(file)]) == 0
        capsys.readouterr()
        assert cli.run(build) == 0
        assert "up-to-date" in capsys.readouterr().err
        assert cli.run([*build, "--force"]) == 0  # and so they are
        assert [one.read_bytes() for one in pack] == printed
        text = file.read_text()
        file.write_text(re.sub(r"number: \d+,", "number: 99,", text, count=1))
        assert cli.run(build) == 0
        assert "up-to-date" not in capsys.readouterr().err

    def test_a_second_point_of_a_kind_leaves_the_first_its_printed_number(self, yard: Path) -> None:
        file, out = yard / "hazel.yaml", str(yard / "print")
        assert cli.run(["build", str(file), "-o", out, "--only", "plan"]) == 0
        printed = {p.id: p.number for p in prepare(file).vehicle.points}
        line = "  - {kind: usb-socket, grid: I5, height: worktop}\n"
        file.write_text(file.read_text().replace(line, line + line.replace("I5", "G5")))
        assert cli.run(["freeze", str(file), "--printed", out]) == 0
        numbers = {p.id: p.number for p in prepare(file).vehicle.points}
        assert numbers["usb-socket-1"] == printed["usb-socket"]
        assert numbers["usb-socket-2"] not in printed.values()

    def test_numbers_of_a_print_that_is_not_there(self, yard: Path) -> None:
        assert cli.run(["freeze", str(yard / "hazel.yaml"), "--printed", str(yard)]) == 2
        assert cli.run(["freeze", str(yard / "hazel.yaml"), "--before"]) == 2


@pytest.mark.bench
@pytest.mark.parametrize("seed", range(2000, 2200))
def test_many_vehicles_are_frozen_and_nothing_else_changes(
    seed: int, description_by_chance: Callable[[int], dict[str, Any]], tmp_path: Path
) -> None:
    data = description_by_chance(seed)
    vehicle = vehicle_from_source(Source("x", data, {}, {}), tmp_path)
    raw = description_text(data, vehicle, load_trade()).encode()
    numbers = tuple(p.number if p.pinned else 500 + n for n, p in enumerate(vehicle.points))
    after = frozen(raw, "a.yaml", numbers)
    wanted = [{**point, "number": n} for point, n in zip(data["points"], numbers, strict=True)]
    assert (parse_source(after, "a.yaml").data.get("points") or []) == wanted
    assert re.sub(rb"number: 5\d\d, (?=kind)", b"", after) == raw
    assert frozen(after, "a.yaml", numbers) == after
