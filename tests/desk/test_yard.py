"""Comparing two vehicles, and the yard: what is missing, checked and printed."""

from __future__ import annotations

import json
import re
import shutil
from pathlib import Path
from typing import Any

import lxml.html
import pytest

from guidegen import cli
from guidegen.desk.comparing import Difference, compare
from guidegen.desk.yard import Standings, standings, told, yard
from guidegen.desk.yard_page import inline, yard_page
from guidegen.pipeline import prepare
from guidegen.trade.load import load_trade
from guidegen.vehicle.description import Check

SAMPLES = sorted((Path(__file__).parents[2] / "sample_vehicles").glob("*.yaml"))


@pytest.fixture
def fleet(tmp_path: Path) -> Path:
    """Two vehicles in a folder, one a copy of the other."""
    folder = tmp_path / "fleet"
    shutil.copytree(SAMPLES[0].parent, folder)
    for file in folder.glob("*.yaml"):
        if file.stem not in ("hazel", "sorrel"):
            file.unlink()
    return folder


def change(file: Path, *pairs: tuple[str, str]) -> None:
    text = file.read_text()
    for old, new in pairs:
        assert old in text, old
        text = text.replace(old, new, 1)
    file.write_text(text)


class TestCompare:
    def test_a_vehicle_and_itself(self, fleet: Path, capsys: pytest.CaptureFixture[str]) -> None:
        file = str(fleet / "hazel.yaml")
        assert cli.run(["compare", file, file]) == 0
        assert capsys.readouterr().out == "no difference\n"

    def test_one_change_of_each_kind(self, fleet: Path) -> None:
        one, two = fleet / "hazel.yaml", fleet / "other.yaml"
        shutil.copy(one, two)
        change(
            two,
            ("capacity: 65 l", "capacity: 80 l"),
            ("solar: {power: 110 W}", "inverter: {power: 600 W}"),
            ("on: offside, from_front: 3.55 m, height: low", "on: offside, from_front: 3.25 m, height: low"),
            ("  - {kind: usb-socket, grid: I5, height: worktop}\n", ""),
            ("owner: M. Sample", "owner: Someone Else"),
            ("length: 5.41 m", "length: 541 cm"),  # the same length
            ("{kind: diesel-heater-exhaust,", "{kind: diesel-heater-exhaust, note: Hot.,"),
        )
        found = [d for d in compare(one, two) if d.subject != "number"]
        assert Difference("vehicle", "Owner", "M. Sample", "Someone Else") in found
        assert Difference("equipment", "Fridge: capacity", "65 l", "80 l") in found
        assert Difference("equipment", "Solar", "power 110 W", "") in found
        assert Difference("equipment", "Inverter", "", "power 600 W") in found
        assert (
            Difference("point", "diesel-heater-exhaust: note", "", "Hot.", "Diesel heater exhaust: note")
            in found
        )
        assert {(d.subject, d.what) for d in found if d.subject in ("place", "point")} == {
            ("place", "water-inlet-pump-socket"),
            ("point", "usb-socket"),
            ("point", "diesel-heater-exhaust: note"),
        }
        assert not [d for d in found if "length" in d.what]

    def test_numbers_that_differ_are_those_that_are_printed(self, fleet: Path) -> None:
        one, two = fleet / "hazel.yaml", fleet / "other.yaml"
        shutil.copy(one, two)
        change(two, ("{kind: fridge, in", "{kind: fridge, number: 90, in"))
        numbers = {d.what: (d.a, d.b) for d in compare(one, two) if d.subject == "number"}
        left = {p.id: p.number for p in prepare(one).vehicle.points}
        right = {p.id: p.number for p in prepare(two).vehicle.points}
        assert numbers == {id: (str(left[id]), str(right[id])) for id in left if left[id] != right[id]}
        assert numbers["fridge"][1] == "90"

    def test_output_for_people_and_for_programs(
        self, fleet: Path, capsys: pytest.CaptureFixture[str]
    ) -> None:
        files = [str(fleet / "hazel.yaml"), str(fleet / "sorrel.yaml")]
        assert cli.run(["compare", *files]) == 0
        said = capsys.readouterr().out
        assert "hazel.yaml" in said and "Callout numbers" in said
        assert cli.run(["compare", *files, "--json"]) == 0
        records = json.loads(capsys.readouterr().out)
        assert all(record.keys() == {"subject", "what", "a", "b", "name"} for record in records)


class TestStatus:
    @pytest.fixture
    def printed(self, fleet: Path) -> Path:
        packs = fleet.parent / "print"
        assert (
            cli.run(["build", str(fleet / "hazel.yaml"), "-o", str(packs), "--only", "plan", "--large-print"])
            == 0
        )
        return packs

    def status(
        self, fleet: Path, packs: Path, capsys: pytest.CaptureFixture[str], code: int = 0
    ) -> dict[str, Any]:
        capsys.readouterr()
        assert cli.run(["status", str(fleet), "--packs", str(packs), "--json"]) == code
        return {record["file"].rpartition("/")[2]: record for record in json.loads(capsys.readouterr().out)}

    def test_what_is_missing_checked_and_printed(
        self, fleet: Path, printed: Path, capsys: pytest.CaptureFixture[str]
    ) -> None:
        with (fleet / "sorrel.yaml").open("a") as stream:
            stream.write("\nchecks:\n  first: {by: A. Sample, on: 2026-05-01}\n")
        (fleet / "bad.yaml").write_text("id: bad\n")
        rows = self.status(fleet, printed, capsys, 2)
        assert rows["sorrel.yaml"]["to_locate"] == ["Water filter"]
        assert rows["sorrel.yaml"]["checks"]["first"] == {"by": "A. Sample", "on": "2026-05-01"}
        assert rows["sorrel.yaml"]["printed"] == "not printed"
        assert rows["bad.yaml"]["readable"] is False
        assert rows["hazel.yaml"]["documents"]["plan"] == "up to date"  # whatever options it was printed with
        assert rows["hazel.yaml"]["documents"]["card"] == "not printed"
        assert rows["hazel.yaml"]["checks"] == {"first": None, "sale": None, "handover": None}

    def test_what_is_out_of_date(
        self, fleet: Path, printed: Path, capsys: pytest.CaptureFixture[str]
    ) -> None:
        file = fleet / "hazel.yaml"
        (printed / "hazel" / "hazel-plan.svg").write_text("changed by hand")
        assert self.status(fleet, printed, capsys)["hazel.yaml"]["documents"]["plan"] == "files changed"
        change(file, ("M. Sample", "N. Sample"), ("power: 700 W}", "power: 750 W}  # to check"))
        row = self.status(fleet, printed, capsys)["hazel.yaml"]
        assert row["documents"]["plan"] == "out of date"
        assert row["to_check"] == 1
        assert row["numbers_frozen"] is False
        assert row["renumbered"] == 0
        assert cli.run(["freeze", str(file)]) == 0
        assert self.status(fleet, printed, capsys)["hazel.yaml"]["numbers_frozen"] is True

    def test_numbers_that_would_change(self, fleet: Path, printed: Path) -> None:
        file = fleet / "hazel.yaml"
        old = {p.id: p.number for p in prepare(file).vehicle.points}
        change(file, ("points:", "points:\n  - {kind: torch, in: sliding-door, spot: front, height: low}"))
        new = {p.id: p.number for p in prepare(file).vehicle.points}
        assert standings(file, printed).renumbered == sum(new[id] != old[id] for id in old) > 0

    def test_a_yard_numbers_and_draws_nothing_anew_that_stands_as_it_was_printed(
        self, fleet: Path, printed: Path, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        def refuse(*_: object) -> None:
            raise AssertionError("takes most of the time")

        monkeypatch.setattr("guidegen.plan.numbering.numbered", refuse)
        monkeypatch.setattr("guidegen.plan.sheet.plan_sheet", refuse)
        file = fleet / "hazel.yaml"
        page = yard_page("Yard", [standings(file, printed)], load_trade())
        assert 'class="callout"' in page
        change(file, ("M. Sample", "N. Sample"))
        row = standings(file, printed)
        assert (row.renumbered, row.documents["plan"]) == (0, "out of date")
        change(file, ("on: offside, from_front: 3.55 m", "on: offside, from_front: 3.25 m"))
        with pytest.raises(AssertionError, match="most of the time"):
            standings(file, printed)

    def test_two_files_with_one_id_are_told(self, fleet: Path) -> None:
        """Build refuses the second of them."""
        assert [row.errors for row in yard(fleet, fleet)] == [0, 0]
        shutil.copy(fleet / "hazel.yaml", fleet / "spare.yaml")
        twice = {
            row.file.name: [f.message for f in row.findings if f.rule == "id-twice"]
            for row in yard(fleet, fleet)
        }
        assert twice == {
            "hazel.yaml": ["its id “hazel” is that of spare.yaml too"],
            "sorrel.yaml": [],
            "spare.yaml": ["its id “hazel” is that of hazel.yaml too"],
        }

    def test_table(self, fleet: Path, capsys: pytest.CaptureFixture[str]) -> None:
        assert cli.run(["status", str(fleet), "--packs", str(fleet)]) == 0
        lines = capsys.readouterr().out.splitlines()
        assert lines[0].split()[:2] == ["Vehicle", "Stock"]
        assert [line.split()[0] for line in lines[1:]] == ["hazel", "sorrel"]

    def test_a_print_in_one_phrase(self, fleet: Path) -> None:
        def phrase(**documents: str) -> str:
            return Standings(fleet, None, (), documents=documents).print_state  # type: ignore[arg-type]

        assert phrase(plan="out of date", card="out of date") == "out of date"
        assert phrase(plan="up to date", card="up to date") == "up to date"
        assert phrase(plan="not printed", card="not printed") == "not printed"
        assert phrase(plan="up to date", card="not printed") == "1 of 2"
        assert phrase(plan="up to date", card="out of date") == "2 of 2, 1 out of date"

    def test_checks_in_a_phrase(self) -> None:
        readings = {"RCD trips": "no", "damp, highest reading": "12 %"}
        done = Check.read(
            {"by": "A. Sample", "on": "2026-05-01", "readings": readings, "remarks": "wipers worn"}
        )
        assert told(done) == "2026-05-01, A. Sample, 2 readings, of which 1 “no”, wipers worn"
        assert told(None) == "not done"

    def test_an_empty_folder(self, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
        assert cli.run(["status", str(tmp_path)]) == 2
        assert "no vehicle description" in capsys.readouterr().err


class TestPage:
    @pytest.fixture
    def page(self, fleet: Path) -> lxml.html.HtmlElement:
        change(fleet / "hazel.yaml", ("name: Hazel 541", "name: '<script>alert(1)</script> & \"x\"'"))
        (fleet / "bad.yaml").write_text("id: <b>bad</b>\nname: <img src=x onerror=alert(1)>\nwrong: <i>\n")
        file = fleet / "yard.html"
        assert cli.run(["status", str(fleet), "--packs", str(fleet), "--html", str(file)]) == 2
        return lxml.html.fromstring(file.read_bytes())

    def test_nothing_that_a_browser_would_run_or_fetch(self, page: lxml.html.HtmlElement) -> None:
        assert not page.xpath("//script | //iframe | //object | //embed | //link | //img | //b | //i")
        attributes = [(e.tag, name, value) for e in page.iter() for name, value in e.attrib.items()]
        assert not [a for a in attributes if a[1].startswith("on")]
        targets = [value for _, name, value in attributes if name.rpartition(":")[2] in ("href", "src")]
        assert all(value.startswith(("#", "data:")) for value in targets)
        assert "<script>alert(1)</script>" in page.text_content()  # as words

    def test_a_plan_for_each_vehicle_that_has_one_and_no_id_twice(self, page: lxml.html.HtmlElement) -> None:
        assert len(page.xpath("//svg")) == 2
        ids = page.xpath("//@id")
        assert len(ids) == len(set(ids))
        # Every reference inside the page finds its target.
        text = lxml.html.tostring(page, encoding="unicode")
        named = re.findall(
            r'url\(#([^)"]+)\)|href="#([^"]+)"|aria-(?:labelledby|describedby)="([^"]+)"', text
        )
        assert {next(filter(None, found)) for found in named} <= set(ids)

    def test_warnings_are_there_to_be_unfolded(self, fleet: Path) -> None:
        change(fleet / "hazel.yaml", ("on: offside, from_front: 3.55 m", "on: offside, from_front: 4.4 m"))
        file = fleet / "yard.html"
        assert cli.run(["status", str(fleet), "--packs", str(fleet), "--html", str(file)]) == 0
        page = lxml.html.fromstring(file.read_bytes())
        (warnings,) = page.xpath("//details")
        assert "warning" in warnings.xpath("summary")[0].text_content()
        assert "wheel" in warnings.text_content()

    def test_ids_are_changed_in_tags_alone(self) -> None:
        drawing = (
            '<?xml?><svg id="a" clip-path="url(#a)"><use xlink:href="#a"/><title>id="a" url(#a)</title></svg>'
        )
        wanted = (
            '<svg id="n-a" clip-path="url(#n-a)"><use xlink:href="#n-a"/><title>id="a" url(#a)</title></svg>'
        )
        assert inline(drawing, "n") == wanted
