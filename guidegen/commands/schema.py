"""guidegen schema: the JSON Schema of a vehicle description, for editors."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import click


@click.command(
    epilog="""\b
Example:
  guidegen schema > vehicle.schema.json
and as the first line of a description, for editors that speak to a YAML language server:
  # yaml-language-server: $schema=vehicle.schema.json"""
)
def command() -> None:
    """Prints the JSON Schema of a vehicle description."""
    click.echo(json.dumps(description_schema(), ensure_ascii=False, indent=2))


def write_schema(folder: Path) -> None:
    """Writes the schema beside the vehicle files whose first line names it."""
    from guidegen.desk.template import SCHEMA_FILE
    from guidegen.packs.writing import write_file

    schema = json.dumps(description_schema(), ensure_ascii=False, indent=1) + "\n"
    write_file(folder / SCHEMA_FILE, schema.encode())


def description_schema() -> dict[str, Any]:
    """The schema (JSON Schema 2020-12), with the layouts, kinds and places that there are as choices."""
    from guidegen.trade.load import load_trade
    from guidegen.trade.records import counted
    from guidegen.vehicle.description import Description
    from guidegen.vehicle.layout_reading import layout_ids
    from guidegen.vehicle.schema import schema_of

    schema = schema_of(Description).model_json_schema(by_alias=True)
    schema["properties"]["layout"]["enum"] = list(layout_ids())
    kinds = sorted(load_trade().kinds.values(), key=lambda kind: kind.id)
    # A choice each with its name, which editors show beside the word.
    schema["$defs"]["PointEntry"]["properties"]["kind"] = {
        "title": "Kind",
        "oneOf": [
            {"const": kind.id, "description": f"{kind.name}. {counted(kind.about, 0)}".strip()}
            for kind in kinds
        ],
    }
    schema["allOf"] = list(_places())
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", **_answers(schema)}


def _places() -> Iterator[dict[str, Any]]:
    """For each layout what a point can be in or at; a vehicle that changes its layout may have more."""
    from guidegen.desk.lists import parts_of
    from guidegen.vehicle.layout_reading import layout_ids, read_layout

    for id in layout_ids():
        parts = parts_of(read_layout(id))
        known = [{"const": part, "description": name} for part, name in parts]
        place = {"properties": {"in": {"oneOf": [*known, {"type": "null"}]}}}
        yield {
            "if": {"properties": {"layout": {"const": id}, "layout_changes": False}, "required": ["layout"]},
            "then": {"properties": {"points": {"items": place}}},
        }


def _answers(part: Any) -> Any:
    """The schema with "yes" and "no" beside true and false: YAML 1.2 reads them as words."""
    if isinstance(part, list):
        return [_answers(one) for one in part]
    if not isinstance(part, dict):
        return part
    found = {key: _answers(value) for key, value in part.items()}
    if found.get("type") == "boolean":
        del found["type"]
        found["enum"] = [True, False, "yes", "no"]
    return found
