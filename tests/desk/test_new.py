"""A new file: it reads at once, lists every point that the equipment needs, and is easy to go on with."""

from __future__ import annotations

import random
import re
import shutil
from pathlib import Path
from types import ModuleType
from typing import Any

import jsonschema
import pytest
from msgspec.structs import replace

from guidegen import cli
from guidegen.commands.schema import description_schema
from guidegen.desk.starting import UnknownWordError, equipment_data, equipment_words, usual_equipment
from guidegen.desk.template import Start, id_of, kind_of, new_text, required_points
from guidegen.pipeline import inspect
from guidegen.vehicle.description import Description, Equipment
from guidegen.vehicle.layout_reading import layout_ids, read_layout
from guidegen.vehicle.reading import vehicle_from_text
from guidegen.vehicle.source import parse_source, read_source

SAMPLES = sorted((Path(__file__).parents[2] / "sample_vehicles").glob("*.yaml"))


def start(words: str = "usual", layout: str = "coachbuilt-rear-lounge", kind: str = "motorhome") -> Start:
    hand = "left" if kind == "caravan" else "right"
    return Start("Fir 735", layout, kind, hand, equipment_data(words, kind))


@pytest.mark.parametrize("layout", layout_ids())
def test_reads_at_once_and_every_point_is_to_be_located(layout: str) -> None:
    kind = kind_of(read_layout(layout))
    begun = start("usual", layout, kind)
    text = new_text(begun)
    vehicle = vehicle_from_text(text, Path())
    assert vehicle.points == ()
    assert vehicle.to_locate == required_points(kind, vehicle.equipment)
    blanks = [line for line in text.splitlines() if line.startswith("#  - {kind: ") and "because" in line]
    assert {re.search(r"kind: ([\w-]+)", line)[1] for line in blanks} == {  # type: ignore[index]
        p.kind for p in vehicle.to_locate if p.reason != "needed in every vehicle"
    }


@pytest.mark.parametrize("seed", range(25))
def test_with_the_signs_taken_away_and_places_filled_in_nothing_is_to_be_located(
    seed: int, vehicles_by_chance: ModuleType
) -> None:
    rng = random.Random(seed)
    words = ",".join(word for word in equipment_words() if rng.random() < 0.7)
    text = new_text(start(words))
    # What a clerk does: takes the # away and says a place.
    head, _, rest = text.partition("\npoints:\n")
    filled = []
    for line in rest.splitlines():
        if line.startswith("#  - {kind: "):
            line = re.sub(r"(grid: |in: [\w-]+).*?\}", "x: 3.0 m, y: 1.0 m}", line[1:])
        filled.append(line)
    vehicle = vehicle_from_text("\n".join([head, "points:", *filled]), Path())
    assert vehicle.to_locate == ()
    assert len(vehicle.points) >= len(required_points("motorhome", vehicle.equipment))


def test_the_schema_beside_it_accepts_it() -> None:
    data = parse_source(new_text(start()).encode(), "new").data
    jsonschema.validate(data, description_schema(), jsonschema.Draft202012Validator)


@pytest.mark.parametrize("word", equipment_words().values(), ids=lambda w: w.name)
def test_every_word_and_option_makes_equipment_that_the_schema_knows(word: Any) -> None:
    for option in ("", *word.options):
        data = equipment_data(f"{word.name}:{option}" if option else word.name, "motorhome")
        assert getattr(Equipment.read(data), word.key)


def test_the_words_are_all_that_a_description_can_have_fitted() -> None:
    lists = {"mains_loads", "dc_loads"}  # the owner's own kettle and lights
    assert {word.key for word in equipment_words().values()} == set(Equipment.__struct_fields__) - lists


@pytest.mark.parametrize("kind", ["motorhome", "campervan", "caravan"])
def test_usual_equipment_gives_no_warning_but_what_is_to_be_found_and_checked(
    kind: str, tmp_path: Path
) -> None:
    layout = next(id for id in layout_ids() if kind_of(read_layout(id)) == kind)
    file = tmp_path / "fir.yaml"
    file.write_text(new_text(start("usual", layout, kind)))
    assert "usual" not in usual_equipment(kind)
    found = inspect(file).findings
    assert {f.rule for f in found} <= {"to-locate", "to-check", "co-alarm-missing"}, found
    assert all(f.severity == "warning" for f in found)


@pytest.mark.parametrize(
    ("words", "says"),
    [
        ("gass", "did you mean “gas”"),
        ("usual,-ovenn", "did you mean “oven”"),
        ("gas:too", "did you mean “two”"),
        ("solar:big", "it has no options"),
        ("steadies:lots", "say how many"),
        ("steadies:99", "say how many"),
        ("drop-down-bed:2", "it has no options"),
    ],
)
def test_a_slip_names_what_was_meant(words: str, says: str) -> None:
    with pytest.raises(UnknownWordError, match=says):
        equipment_data(words, "motorhome")


def test_a_hyphen_takes_out_what_is_usual() -> None:
    usual = equipment_data("usual", "motorhome")
    changed = equipment_data("usual,-oven,-grill,-awning,hob:mains", "motorhome")
    assert usual.keys() - changed.keys() == {"oven", "grill", "awning"}
    assert "gas" not in changed["hob"]


@pytest.mark.parametrize(
    ("words", "fitted"),
    [
        ("hob:gas", {"gas", "hob"}),
        ("hob:gas,-gas", {"hob"}),
        ("microwave", {"microwave", "hook_up"}),
        ("microwave,inverter", {"microwave", "inverter"}),
        ("microwave,-hook-up", {"microwave"}),
        ("solar", {"solar"}),
    ],
)
def test_what_burns_gas_or_takes_230_v_brings_its_supply_with_it(words: str, fitted: set[str]) -> None:
    assert equipment_data(words, "motorhome").keys() == fitted


def test_a_supply_that_was_named_stays_as_it_was_named() -> None:
    data = equipment_data("hob:gas,gas:two", "motorhome")
    assert len(data["gas"]["cylinders"]) == 2


def test_options_join_and_energies_are_never_forgotten() -> None:
    data = equipment_data("water-heater:combined,fridge:automatic,steadies:2,roof_lights", "motorhome")
    assert data["water_heater"] == {"type": "combined", "water": "10 l", "gas": "1.5 kW", "mains": ["850 W"]}
    assert data["fridge"]["gas"] and data["fridge"]["mains"] and data["fridge"]["choice"] == "automatic"
    assert (data["steadies"], data["roof_lights"]) == (2, 3)


@pytest.mark.parametrize(
    ("name", "id"),
    [
        ("Larch 745 Garage", "larch-745-garage"),
        ("Jarząb 695 L", "jarzab-695-l"),
        ("Łódź", "lodz"),
        ("!!", "vehicle"),
    ],
)
def test_the_id_comes_from_the_name(name: str, id: str) -> None:
    assert id_of(name) == id


class TestLike:
    @pytest.fixture
    def yard(self, tmp_path: Path) -> Path:
        shutil.copytree(SAMPLES[0].parent, tmp_path / "yard")
        return tmp_path / "yard"

    @pytest.mark.parametrize("sample", SAMPLES, ids=lambda s: s.stem)
    def test_identity_is_cleared_and_all_else_is_kept(self, sample: Path, yard: Path) -> None:
        assert cli.run(["new", "Fir 9", "--like", str(yard / sample.name)]) == 0
        old = Description.read(read_source(yard / sample.name).data)
        new = Description.read(read_source(yard / "fir-9.yaml").data)
        cleared = {
            "stock_number": None,
            "owner": None,
            "printed": None,
            "photo": None,
            "web": None,
            "checks": None,
        }
        gone = dict.fromkeys(("number", "photo", "photo_x", "photo_y", "web"))
        points = tuple(replace(p, **gone) for p in old.points)
        assert new == replace(old, id="fir-9", name="Fir 9", points=points, **cleared)
        lines = (yard / "fir-9.yaml").read_text().splitlines()
        assert sum(line.endswith("# to check") for line in lines) == len(points)
        assert not inspect(yard / "fir-9.yaml").has_errors

    def test_the_first_line_stays_the_one_that_editors_look_for(self, yard: Path) -> None:
        assert cli.run(["new", "Fir 1", "--layout", "van-short", "-o", str(yard / "fir-1.yaml")]) == 0
        assert cli.run(["new", "Fir 2", "--like", str(yard / "fir-1.yaml")]) == 0
        assert cli.run(["new", "Fir 3", "--like", str(yard / "fir-2.yaml")]) == 0
        first, second, third = (yard / "fir-3.yaml").read_text().splitlines()[:3]
        assert first.startswith("# yaml-language-server: $schema=")
        assert second.startswith("# Begun from fir-2.yaml (Fir 2): ")
        assert third.endswith("then: guidegen check fir-3.yaml")

    @pytest.mark.parametrize(
        "points",
        [
            "- kind: hob # gas\n  in: hob\n  photo: a.jpg\n  web: https://example.org\n",
            "- photo: a.jpg\n  number: 4\n  kind: hob\n  in: hob\n",
            "- {photo: a.jpg, kind: hob, in: hob, web: 'https://a.b'} #\n- {kind: fridge, in: fridge}",
            "- {kind: hob,\n   number: 3,\n   in: hob}\n",
            "",
        ],
    )
    def test_points_in_every_style(self, points: str, yard: Path) -> None:
        head = "id: a\nname: A\nkind: motorhome\nlayout: coachbuilt-rear-lounge\n"
        head += "checks:\n  first: {by: B, on: 2026-01-01} # c\n# kept\n"
        (yard / "a.jpg").write_bytes(b"\xff\xd8\xff")
        (yard / "a.yaml").write_text(f"{head}steering: right\npoints:\n{points}")
        assert cli.run(["new", "B", "--like", str(yard / "a.yaml")]) == 0
        text = (yard / "b.yaml").read_text()
        assert "# kept" in text and "a.jpg" not in text and "checks" not in text and "number" not in text
        assert text.count("  # to check") == points.count("kind")


class TestCommand:
    @pytest.fixture(autouse=True)
    def here(self, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
        monkeypatch.chdir(tmp_path)

    def test_writes_file_and_schema_and_keeps_what_is_there(self, capsys: pytest.CaptureFixture[str]) -> None:
        new = ["new", "Fir 735", "--layout", "van-short", "--equipment", "usual"]
        assert cli.run(new) == 0
        assert {p.name for p in Path().iterdir()} == {"fir-735.yaml", "guidegen.schema.json"}
        before = Path("fir-735.yaml").read_text()
        assert before.splitlines()[0] == "# yaml-language-server: $schema=guidegen.schema.json"
        assert cli.run(new) == 2
        assert "exists already" in capsys.readouterr().err
        assert Path("fir-735.yaml").read_text() == before
        assert cli.run([*new, "--force"]) == 0

    def test_asks_for_what_is_not_said_and_asks_again_after_a_slip(
        self, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
    ) -> None:
        answers = iter(["Fir 5", "van-shrt", "van-short", "l", "usual,solr", "usual,solar"])
        monkeypatch.setattr("click.termui.visible_prompt_func", lambda _: next(answers))
        assert cli.run(["new"]) == 0
        said = capsys.readouterr().err
        assert "did you mean “van-short”" in said and "did you mean “solar”" in said
        data = read_source(Path("fir-5.yaml")).data
        assert (data["layout"], data["steering"], data["kind"]) == ("van-short", "left", "campervan")
        assert "solar" in data["equipment"]

    def test_nobody_there_to_answer(
        self, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
    ) -> None:
        def nobody(_: object) -> str:
            raise EOFError

        monkeypatch.setattr("click.termui.visible_prompt_func", nobody)
        assert cli.run(["new", "Fir"]) == 2
        assert "--layout" in capsys.readouterr().err
        assert not list(Path().iterdir())

    def test_lists_the_words(self, capsys: pytest.CaptureFixture[str]) -> None:
        assert cli.run(["new", "--equipment", "list"]) == 0
        said = capsys.readouterr().out
        assert all(f" {word} " in said for word in equipment_words())
        assert not list(Path().iterdir())

    @pytest.mark.parametrize(
        "wrong",
        [["--layout", "van-shorr"], ["--layout", "van-short", "--equipment", "gsa"], ["--like", "none.yaml"]],
    )
    def test_wrong_words_write_nothing(self, wrong: list[str]) -> None:
        assert cli.run(["new", "Fir", *wrong]) == 2
        assert not list(Path().iterdir())
