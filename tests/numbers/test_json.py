"""The sheet as JSON."""

from __future__ import annotations

import json

from guidegen.numbers import numbers_json


def test_json_holds_every_number_with_formula_assumptions_and_source(sheet_with):
    sheet = sheet_with()
    plain = json.loads(json.dumps(numbers_json(sheet), ensure_ascii=False))
    assert [n["id"] for n in plain["numbers"]] == [n.id for n in sheet.numbers]
    for number in plain["numbers"]:
        assert {"value", "unit", "text", "formula", "assumptions", "source"} <= set(number)
    assert plain["hook_up"][1]["shown"][0]["watts"] <= 2300
    assert plain["payload"]["left_kg"] == sheet.payload.left_kg
    assert plain["rest_volts"][0] == {"volts": 12.7, "percent": 100}


def test_json_gives_reasons_for_what_is_missing(sheet_with):
    plain = numbers_json(sheet_with({"persons": None}))
    assert {"id": "water.fresh-days", "reason": "the number of persons is not given"} in plain["missing"]
