"""Many ways to break a description: one message each, with its place and what to do."""

from __future__ import annotations

from pathlib import Path

import pytest

from guidegen.errors import DescriptionError
from guidegen.vehicle.reading import read_vehicle

GOOD = """\
guidegen: 1
id: test-van
name: Test van
kind: campervan
steering: right
layout: van-short
sizes: {length: 5.40 m}
dealer:
  name: Example Vans
equipment:
  fresh_water: {tank: 40 l}
  leisure_battery: {capacity: 95 Ah, type: agm}
points:
  - {kind: pump-switch, x: 3.0 m, y: 1.0 m, height: eye-level}
  - {kind: fresh-drain, on: offside, from_front: 4.1 m, height: under-floor}
"""

# name, what to replace, by what, rule, line, what stands at the column, words of the message, words of the hint
BROKEN = [
    ("wrong unit", "95 Ah", "95 W", "value", 12, "95 W", "“W” is not a unit of charge", ""),
    ("no unit", "40 l", "40", "value", 11, "40}", "has no unit", ""),
    ("negative length", "5.40 m", "-5.40 m", "value", 7, "-5.40", "is negative", ""),
    ("not a quantity", "5.40 m", "long", "value", 7, "long", "is not a length", ""),
    ("unknown kind", "pump-switch", "pump-swich", "kind-unknown", 14, "pump-swich", "pump-swich", "pump-switch"),
    ("unknown key", "steering", "stearing", "key-unknown", 5, "stearing", "“stearing”", "steering"),
    ("unknown key of a point", "height: eye-level", "hight: eye-level", "key-unknown", 14, "hight", "hight", "height"),
    ("unknown equipment", "fresh_water", "fresh_watter", "key-unknown", 11, "fresh_watter", "fresh_watter", "fresh_water"),
    ("unknown choice", "type: agm", "type: gel", "value-unknown", 12, "gel", "gel", "agm"),
    ("unknown vehicle kind", "kind: campervan", "kind: boat", "value-unknown", 4, "boat", "boat", "motorhome"),
    ("unknown height", "eye-level", "eyelevel", "value", 14, "eyelevel", "not a height", ""),
    ("missing key", "name: Test van\n", "", "key-missing", 1, "guidegen: 1", "“name” is missing", "name: …"),
    ("tab", "  fresh_water", "\tfresh_water", "yaml-tab", 11, "\t", "tab", "spaces"),
    ("duplicate key", "kind: campervan", "id: other", "key-twice", 4, "id: other", "“id” stands twice", "keep one"),
    ("second colon", "name: Test van", "name: Test: van", "yaml", 3, ": van", "second colon", "quotes"),
    ("open bracket", "{tank: 40 l}", "{tank: 40 l", "yaml", 12, ": {cap", "not valid YAML", ""),
    ("no comma", "tank: 40 l", "tank: 40 l pump: pressure", "yaml", 11, ": pressure", "a comma or } is missing", "a comma parts"),
    ("dashes not in line", "  - {kind: fresh", "   - {kind: fresh", "yaml", 15, "- {kind", "under the dashes", "one column"),
    ("long name", "name: Test van", f"name: {'x' * 201}", "value", 3, "xxx", "longer than 200 characters", ""),
    ("nothing written", "name: Test van", "name:", "value-type", 3, "", "nothing is written", "fill it in"),
    ("missing layout", "van-short", "van-shortt", "layout", 6, "van-shortt", "van-shortt", "van-short"),
    ("list for a map", "fresh_water: {tank: 40 l}\n  leisure_battery: {capacity: 95 Ah, type: agm}", "- fresh_water",
     "value-type", 11, "- fresh_water", "a block of", ""),
    ("map for a text", "name: Test van", "name: {a: b}", "value-type", 3, "{a: b}", "text is needed", ""),
    ("bad colour", "  name: Example Vans", "  name: A\n  colour: red", "value", 10, "red", "red", "#"),
    ("place in no photo", "height: eye-level}", "height: eye-level, photo_x: 40, photo_y: 65}", "photo-place", 14,
     "40, photo_y", "needs the photo", "percent"),
    ("place beyond a photo", "height: eye-level}", "height: eye-level, photo_x: 140}", "value", 14, "140", "100 or less", ""),
    ("missing logo", "  name: Example Vans", "  name: A\n  logo: no.png", "file-missing", 10, "no.png", "no.png", "name"),
    ("logo elsewhere", "  name: Example Vans", "  name: A\n  logo: ../x.png", "file-outside", 10, "../x", "outside", ""),
    ("bad web address", "guidegen: 1", "guidegen: 1\nweb: javascript:alert(1)", "value", 2, "javascript", "web address", "http"),
    ("bad id", "id: test-van", "id: Test Van", "value", 2, "Test Van", "is not an id", "small letters"),
    ("bad date", "guidegen: 1", "guidegen: 1\nprinted: soon", "value-type", 2, "soon", "date", "year-month-day"),
    ("furniture that is not there", "x: 3.0 m, y: 1.0 m", "in: sofa", "place-unknown", 14, "sofa", "sofa", ""),
    ("no place", "x: 3.0 m, y: 1.0 m, ", "", "place-missing", 14, "pump-switch", "no place", "in:"),
    ("two places", "x: 3.0 m,", "in: cab, x: 3.0 m,", "place-twice", 14, "3.0 m", "2 ways", "keep one"),
    ("place outside the body", "x: 3.0 m", "x: 30 m", "place-outside", 14, "30 m", "outside the vehicle", "long"),
    ("half a coordinate", "x: 3.0 m, y: 1.0 m", "x: 3.0 m", "place-missing", 14, "3.0 m", "needs “y”", "y:"),
    ("no such grid square", "x: 3.0 m, y: 1.0 m", "grid: Z9", "place-outside", 14, "Z9", "Z9", "columns"),
    ("bad grid square", "x: 3.0 m, y: 1.0 m", "grid: 9Z", "value", 14, "9Z", "grid square", "F3"),
    ("no distance", "from_front: 4.1 m, ", "", "place-missing", 15, "offside", "how far from the front", "from_front"),
    ("duplicate id", "fresh-drain,", "fresh-drain, id: pump-switch,", "id-twice", 0, "pump-switch, on", "pump-switch", ""),
    ("text for a number", "x: 3.0 m", "number: two, x: 3.0 m", "value-type", 14, "two", "whole number", ""),
    ("number out of range", "x: 3.0 m", "number: 0, x: 3.0 m", "value", 14, "0, x", "1 or more", ""),
    ("anchor", "name: Test van", "name: &a Test van", "file-anchor", 3, "&a", "anchors", "quotes"),
    ("step at no point", "points:", "extra_steps:\n  - {id: a, sequence: arrive, text: B, at: tap}\npoints:",
     "point-unknown", 14, "tap", "tap", ""),
]  # fmt: skip


def findings_of(tmp_path: Path, raw: bytes):
    file = tmp_path / "van.yaml"
    file.write_bytes(raw)
    with pytest.raises(DescriptionError) as caught:
        read_vehicle(file)
    return caught.value.findings


def test_the_good_file_is_good(tmp_path):
    file = tmp_path / "van.yaml"
    file.write_text(GOOD)
    vehicle = read_vehicle(file)
    assert [p.id for p in vehicle.points] == ["pump-switch", "fresh-drain"]


@pytest.mark.parametrize(
    ("old", "new", "rule", "line", "at", "message", "hint"),
    [case[1:] for case in BROKEN],
    ids=[case[0] for case in BROKEN],
)
def test_one_message_with_its_place(tmp_path, old, new, rule, line, at, message, hint):
    assert old in GOOD
    if rule == "id-twice":  # give the first point the id in writing too
        text = GOOD.replace("kind: pump-switch,", "kind: pump-switch, id: pump-switch,", 1).replace(
            old, new, 1
        )
        line = 15
    else:
        text = GOOD.replace(old, new, 1)
    found = findings_of(tmp_path, text.encode())
    assert len(found) == 1, found
    finding = found[0]
    if rule:
        assert finding.rule == rule
    assert finding.mark.line == line, finding
    assert text.splitlines()[line - 1][finding.mark.column - 1 :].startswith(at), finding
    assert message in finding.message
    assert hint in finding.hint
    assert finding.mark.file.endswith("van.yaml")


@pytest.mark.parametrize(
    ("raw", "rule"),
    [
        (b"", "file-empty"),
        (b"# only a comment\n", "file-empty"),
        (b"- a\n- b\n", "file-not-a-map"),
        (b"just words\n", "file-not-a-map"),
        (b"id: caf\xe9\n", "file-encoding"),
        (b"id: a\n---\nid: b\n", "file-two"),
        (b"id: " + b"[" * 60 + b"]" * 60, "file-depth"),
        (b"a: " + b"x" * 1_000_001, "file-large"),
        (b"\x00\x01", "yaml"),
    ],
)
def test_files_that_are_no_description(tmp_path, raw, rule):
    found = findings_of(tmp_path, raw)
    assert [f.rule for f in found] == [rule]


def test_a_missing_file_and_a_folder(tmp_path):
    for path, rule in ((tmp_path / "none.yaml", "file-missing"), (tmp_path, "file-folder")):
        with pytest.raises(DescriptionError) as caught:
            read_vehicle(path)
        assert caught.value.findings[0].rule == rule
