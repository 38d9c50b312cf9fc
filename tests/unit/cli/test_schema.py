"""The verb `schema`."""

from __future__ import annotations

import json
from pathlib import Path

from click.testing import CliRunner

from layoutest.cli.schema import command

RELEASED = Path(__file__).parents[2] / "golden" / "layout.schema.json"


def test_it_prints_the_schema():
    result = CliRunner().invoke(command)
    assert result.exit_code == 0
    assert json.loads(result.output) == json.loads(RELEASED.read_bytes())


def test_help_has_an_example():
    result = CliRunner().invoke(command, ["--help"])
    assert "Example:\n    layoutest schema > layout.schema.json" in result.output
