"""The verb `schema`: prints the JSON Schema of a layout."""

from __future__ import annotations

import json

import click


@click.command("schema")
def command() -> None:
    """Print the JSON Schema (draft 2020-12) of a layout file.

    \b
    Example:
      layoutest schema > layout.schema.json
    """  # noqa: D301 - the sign that keeps lines apart is meant
    from layoutest.files.layout_shape import layout_schema

    click.echo(json.dumps(layout_schema(), indent=2, ensure_ascii=False))
