"""The commands that print: what they say, and that their JSON is as agreed."""

from __future__ import annotations

import json
import os
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import jsonschema
import pytest
import yaml

from guidegen import cli
from guidegen.vehicle.source import parse_source, read_source

SAMPLES = sorted((Path(__file__).parents[2] / "sample_vehicles").glob("*.yaml"))


@pytest.fixture
def run(capsys: pytest.CaptureFixture[str]):  # type: ignore[no-untyped-def]
    """run("check", file): exit code and standard output."""

    def runner(*arguments: object) -> tuple[int, str]:
        code = cli.run([str(a) for a in arguments])
        return code, capsys.readouterr().out

    return runner


@pytest.fixture(scope="module")
def record() -> dict[str, Any]:
    """The JSON of one sample, made once."""
    from guidegen.pipeline import prepare
    from guidegen.sequence import sequences_json

    context = prepare(SAMPLES[0])
    return sequences_json(context.sequences, context.vehicle)


@pytest.mark.parametrize("epoch", ["abc", "-1", "1e9", "99999999999999", "1.5"])
def test_a_wrong_date_of_the_source_is_wrong_use(
    epoch: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("SOURCE_DATE_EPOCH", epoch)
    assert cli.run(["check", str(SAMPLES[0])]) == 2
    assert f"SOURCE_DATE_EPOCH is “{epoch}”" in capsys.readouterr().err


def test_a_file_that_may_not_be_read_is_told_with_the_others(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """It does not keep them from being looked at."""
    locked = tmp_path / "locked.yaml"
    locked.write_bytes(SAMPLES[0].read_bytes())
    plain = Path.open

    def opened(self: Path, *given: Any, **named: Any) -> Any:
        if self.name == locked.name:
            raise PermissionError(13, "Permission denied", str(self))
        return plain(self, *given, **named)

    monkeypatch.setattr(Path, "open", opened)
    monkeypatch.setattr(os, "access", lambda path, mode: str(path) != str(locked))
    assert cli.run(["check", "--json", str(locked), str(SAMPLES[1])]) == 2
    told = json.loads(capsys.readouterr().out)
    assert {one["file"] for one in told} == {str(locked)}


def test_a_yard_that_is_not_there_is_wrong_use(tmp_path: Path) -> None:
    assert cli.run(["status", str(tmp_path / "nosuch")]) == 2


def test_a_name_that_yaml_takes_for_something_else_makes_a_sound_file(tmp_path: Path) -> None:
    file = tmp_path / "yes.yaml"
    assert cli.run(["new", "yes", "--layout", "van-short", "-o", str(file)]) == 0
    assert read_source(file).data["id"] == "yes"


class TestSchema:
    @pytest.fixture
    def schema(self, run) -> dict[str, Any]:  # type: ignore[no-untyped-def]
        code, said = run("schema")
        assert code == 0
        return json.loads(said)  # type: ignore[no-any-return]

    def test_is_a_schema_by_the_standard(self, schema: dict[str, Any]) -> None:
        jsonschema.Draft202012Validator.check_schema(schema)

    @pytest.mark.parametrize("sample", SAMPLES, ids=lambda s: s.stem)
    def test_accepts_every_sample(self, sample: Path, schema: dict[str, Any]) -> None:
        jsonschema.validate(read_source(sample).data, schema, jsonschema.Draft202012Validator)

    @pytest.mark.parametrize(
        ("old", "new"),
        [
            ("layout: ", "layout: no-"),
            ("kind: gas-locker", "kind: gas-loker"),
            ("length: 7.35 m", "length: 7.35"),
            ("length: 7.35 m", "length: 7.35 kg"),
            ("in: toilet", "in: toilett"),
            ("height: worktop", "height: worktp"),
            ("points:", "poins:"),
            ("id: alder", "id: Alder 7"),
        ],
    )
    def test_refuses_a_mistake(self, old: str, new: str, schema: dict[str, Any]) -> None:
        text = next(s for s in SAMPLES if s.stem == "alder").read_text()
        assert old in text
        data = parse_source(text.replace(old, new, 1).encode(), "alder").data
        with pytest.raises(jsonschema.ValidationError):
            jsonschema.validate(data, schema, jsonschema.Draft202012Validator)

    @pytest.mark.parametrize("sample", SAMPLES, ids=lambda s: s.stem)
    def test_accepts_every_sample_as_other_readers_of_yaml_see_it(
        self, sample: Path, schema: dict[str, Any]
    ) -> None:
        data = yaml.load(sample.read_text(), CoreLoader)
        jsonschema.validate(data, schema, jsonschema.Draft202012Validator)

    def test_a_vehicle_that_changes_its_layout_may_have_other_places(self, schema: dict[str, Any]) -> None:
        data = {"id": "a", "name": "A", "kind": "campervan", "layout": "van-short"}
        data |= {"points": [{"kind": "torch", "in": "own-locker"}], "layout_changes": {"about": "x"}}
        jsonschema.validate(data, schema, jsonschema.Draft202012Validator)
        del data["layout_changes"]
        with pytest.raises(jsonschema.ValidationError):
            jsonschema.validate(data, schema, jsonschema.Draft202012Validator)


class CoreLoader(yaml.SafeLoader):
    """The core schema of YAML 1.2.2 (10.3.2), which editors use: yes, no and dates are words."""

    yaml_implicit_resolvers: dict[str, Any] = {}


for _tag, _form, _first in (
    ("null", r"null|Null|NULL|~|", ["n", "N", "~", ""]),
    ("bool", r"true|True|TRUE|false|False|FALSE", list("tTfF")),
    ("int", r"[-+]?[0-9]+|0o[0-7]+|0x[0-9a-fA-F]+", list("-+0123456789")),
    ("float", r"[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]+)?", list("-+0123456789.")),
):
    CoreLoader.add_implicit_resolver(f"tag:yaml.org,2002:{_tag}", re.compile(rf"^(?:{_form})$"), _first)


class TestList:
    @pytest.mark.parametrize(
        ("what", "word"),
        [
            ("layouts", "coachbuilt-rear-lounge"),
            ("kinds", "pump-switch"),
            ("equipment", "fresh_water"),
            ("folds", "quarter"),
            ("stickers", "a4-24"),
            ("symbols", "fresh-drain"),
            ("documents", "plan"),
        ],
    )
    def test_names_what_there_is(self, what: str, word: str, run) -> None:  # type: ignore[no-untyped-def]
        code, said = run("list", what)
        assert code == 0
        assert any(line.split()[0] == word for line in said.splitlines())
        code, said = run("list", what, "--json")
        assert word in {record["id"] for record in json.loads(said)}

    def test_every_kind_has_the_letter_of_its_system(self, run) -> None:  # type: ignore[no-untyped-def]
        _, said = run("list", "kinds")
        assert {line.split()[1] for line in said.splitlines()} == set("GFHWDMVABS")


class TestCheck:
    def test_warnings_alone_are_no_failure_unless_strict(self, run, tmp_path: Path) -> None:  # type: ignore[no-untyped-def]
        text = next(s for s in SAMPLES if s.stem == "alder").read_text()
        kept = [line for line in text.splitlines() if "kind: co-alarm" not in line]
        file = tmp_path / "alder.yaml"
        file.write_text("\n".join(kept))
        code, said = run("check", file)
        assert code == 0
        assert "warning: " in said
        assert run("check", "--strict", file)[0] == 1

    def test_json_of_several_files_is_one_list(self, run, tmp_path: Path) -> None:  # type: ignore[no-untyped-def]
        code, said = run("check", "--json", *SAMPLES, tmp_path / "none.yaml")
        assert code == 2
        records = json.loads(said)
        assert records[-1]["file"] == str(tmp_path / "none.yaml")
        keys = {"file", "line", "column", "severity", "rule", "message", "hint"}
        assert all(record.keys() == keys for record in records)


class TestNumbers:
    def test_text_has_every_sentence_and_formula_of_the_json(self, run) -> None:  # type: ignore[no-untyped-def]
        _, plain = run("numbers", SAMPLES[0])
        _, said = run("numbers", SAMPLES[0], "--json")
        numbers = json.loads(said)["numbers"]
        flat = " ".join(plain.split())
        assert len(numbers) > 5
        for number in numbers:
            assert " ".join(number["text"].split()) in flat
            assert " ".join(number["formula"].split()) in flat


class TestSequence:
    def test_json_has_the_agreed_shape(self, run) -> None:  # type: ignore[no-untyped-def]
        code, said = run("sequence", SAMPLES[0], "--json")
        assert code == 0
        record = json.loads(said)
        assert record["vehicle"] == SAMPLES[0].stem
        assert set(record["sequences"]) == {"arrive", "leave", "lay-up", "recommission"}
        assert set(record["walk_m"]) == set(record["sequences"])
        keys = {"step", "points", "numbers", "place", "text", "check", "caution", "needs", "gives"}
        for steps in record["sequences"].values():
            assert len(steps) > 0
            assert all(keys <= step.keys() for step in steps)

    def test_text_gives_every_step_in_order_with_its_callouts(self, run, record: dict[str, Any]) -> None:  # type: ignore[no-untyped-def]
        code, said = run("sequence", SAMPLES[0], "--only", "leave")
        assert code == 0
        flat = " ".join(said.split())
        at = 0
        for number, step in enumerate(record["sequences"]["leave"], 1):
            callouts = f" [{', '.join(map(str, step['numbers']))}]" if step["numbers"] else ""
            at = flat.index(f"{number} {step['text']}{callouts}", at)
        assert "Arrive" not in said

    def test_json_of_one_alone_holds_that_one(self, run) -> None:  # type: ignore[no-untyped-def]
        code, said = run("sequence", SAMPLES[0], "--only", "leave", "--json")
        assert code == 0 and list(json.loads(said)["sequences"]) == ["leave"]

    def test_why_names_what_comes_before_and_the_reason(self, run) -> None:  # type: ignore[no-untyped-def]
        code, said = run("sequence", SAMPLES[0], "--why", "pump-on")
        assert code == 0
        assert "It comes after:" in said
        assert "(fill)" in said

    def test_why_of_an_unknown_step_is_wrong_use_and_names_the_nearest(
        self, capsys: pytest.CaptureFixture[str]
    ) -> None:
        assert cli.run(["sequence", str(SAMPLES[0]), "--why", "pump-onn"]) == 2
        assert "pump-on" in capsys.readouterr().err


class TestPlanOfAKind:
    def test_an_exercise_in_svg_has_its_lines_and_answers_beside_it(self, run, tmp_path: Path) -> None:  # type: ignore[no-untyped-def]
        assert run("plan", SAMPLES[0], "-o", tmp_path / "gas.svg", "--blank", "--system", "G")[0] == 0
        assert sorted(f.name for f in tmp_path.iterdir()) == ["gas-answers.svg", "gas-lines.svg", "gas.svg"]

    def test_names_stand_beside_an_upright_vehicle_on_a3(self, run, tmp_path: Path) -> None:  # type: ignore[no-untyped-def]
        assert run("plan", SAMPLES[0], "-o", tmp_path / "wall.svg", "--names")[0] == 0
        svg = (tmp_path / "wall.svg").read_text()
        assert 'width="297mm"' in svg and 'height="420mm"' in svg  # A3, ISO 216

    def test_names_on_paper_too_small_say_which_would_do_and_write_nothing(
        self, tmp_path: Path, capsys: pytest.CaptureFixture[str]
    ) -> None:
        file = tmp_path / "wall.svg"
        assert cli.run(["plan", str(SAMPLES[0]), "-o", str(file), "--names", "--paper", "A4"]) == 1
        assert "--paper A3" in capsys.readouterr().err
        assert not file.exists()


class TestCard:
    def test_is_a_pdf_of_one_sheet(self, run, tmp_path: Path) -> None:  # type: ignore[no-untyped-def]
        import pypdfium2

        file = tmp_path / "new folder" / "my card.pdf"
        assert run("card", SAMPLES[0], "-o", file)[0] == 0
        assert [f.name for f in file.parent.iterdir()] == ["my card.pdf"]
        with pypdfium2.PdfDocument(file) as document:
            assert len(document) == 2
            # A4, ISO 216, in points of 1/72 inch, either way up
            for page in document:
                assert sorted(page.get_size()) == pytest.approx([210 / 25.4 * 72, 297 / 25.4 * 72], abs=0.1)

    @pytest.mark.parametrize("wrong", [["-o", "card.txt"], ["-o", "c.pdf", "--fold", "octagon"], []])
    def test_wrong_use(self, wrong: list[str], capsys: pytest.CaptureFixture[str]) -> None:
        assert cli.run(["card", str(SAMPLES[0]), *wrong]) == 2
        assert "Traceback" not in capsys.readouterr().err


class TestPlan:
    @pytest.mark.parametrize(
        ("suffix", "start"), [("pdf", b"%PDF-"), ("svg", b"<?xml"), ("png", b"\x89PNG"), ("PDF", b"%PDF-")]
    )
    def test_format_follows_the_ending(self, suffix: str, start: bytes, run, tmp_path: Path) -> None:  # type: ignore[no-untyped-def]
        file = tmp_path / f"plan.{suffix}"
        assert run("plan", SAMPLES[0], "-o", file)[0] == 0
        assert file.read_bytes().startswith(start)


class TestSurvey:
    @pytest.mark.parametrize("subject", [SAMPLES[0], "van-short"], ids=["vehicle", "layout"])
    def test_is_a_pdf_on_a4(self, subject: object, run, tmp_path: Path) -> None:  # type: ignore[no-untyped-def]
        import pypdfium2

        file = tmp_path / "survey.pdf"
        assert run("survey", subject, "-o", file)[0] == 0
        with pypdfium2.PdfDocument(file) as document:
            assert len(document) >= 2
            assert sorted(document[0].get_size()) == pytest.approx([595.28, 841.89], abs=0.1)  # A4, ISO 216

    def test_unknown_layout_is_wrong_use_and_names_the_nearest(
        self, tmp_path: Path, capsys: pytest.CaptureFixture[str]
    ) -> None:
        assert cli.run(["survey", "van-shrt", "-o", str(tmp_path / "s.pdf")]) == 2
        assert "van-short" in capsys.readouterr().err
        assert not list(tmp_path.iterdir())


@pytest.fixture
def refused_as_wrong_use(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> Callable[[tuple[object, ...]], str]:
    """Runs a command that is to write nothing and to leave with 2; what it says."""

    def run(arguments: tuple[object, ...]) -> str:
        monkeypatch.chdir(tmp_path)
        assert cli.run([str(argument) for argument in arguments]) == 2
        assert not list(tmp_path.iterdir())
        return capsys.readouterr().err

    return run


@pytest.mark.parametrize(
    "arguments",
    [
        ("build", ""),
        ("build", SAMPLES[0], "-o", ""),
        ("build", SAMPLES[0], "--only", " , "),
        ("check", SAMPLES[0], ""),
        ("card", "", "-o", "card.pdf"),
        ("plan", SAMPLES[0], "-o", "plan.pdf", "--system", ""),
        ("status", ""),
    ],
    ids=lambda arguments: " ".join(map(str, arguments[:1])),
)
def test_a_name_that_is_empty_means_nothing_and_never_everything(
    arguments: tuple[object, ...], refused_as_wrong_use: Callable[..., str]
) -> None:
    """As of a variable in a script that is not set."""
    assert "empty" in refused_as_wrong_use(arguments)


@pytest.mark.parametrize(
    "arguments",
    [
        ("build", SAMPLES[0], "--sticker-points", "nosuch"),
        ("build", SAMPLES[0], "--sticker-start", "99"),
        ("freeze", SAMPLES[0], "--printed", "nosuch"),
        ("plan", SAMPLES[0], "-o", "plan.png", "--paper", "a0", "--dpi", "1200"),
        ("card", SAMPLES[0], "-o", "card.pdf", "--fold", "nosuch"),
    ],
    ids=lambda arguments: " ".join(map(str, arguments[2:])),
)
def test_what_there_is_not_is_wrong_use(
    arguments: tuple[object, ...], refused_as_wrong_use: Callable[..., str]
) -> None:
    assert refused_as_wrong_use(arguments)
