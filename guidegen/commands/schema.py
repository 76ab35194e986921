"""guidegen schema: the JSON Schema of a vehicle description, for editors."""

from __future__ import annotations

import json

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
    from guidegen.vehicle.description import Description

    schema = {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        **Description.model_json_schema(by_alias=True),
    }
    click.echo(json.dumps(schema, ensure_ascii=False, indent=2))
