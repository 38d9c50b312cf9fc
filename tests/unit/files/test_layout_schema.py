"""The JSON Schema of a layout: a good schema, the released one, and true to the records."""

from __future__ import annotations

import json
from dataclasses import fields
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator, ValidationError

from layoutest.files import layout_shape as shapes
from layoutest.files.layout_shape import layout_schema
from layoutest.layout import document

GOLDEN = Path(__file__).parents[2] / "golden"


def test_it_is_a_schema_of_draft_2020_12():
    Draft202012Validator.check_schema(layout_schema())
    assert layout_schema()["$id"] == "urn:layoutest-layout:1"


def test_it_is_the_released_one():
    """A wanted change is released by `layoutest schema > tests/golden/layout.schema.json`."""
    assert layout_schema() == json.loads((GOLDEN / "layout.schema.json").read_bytes())


def test_the_example_fits():
    Draft202012Validator(layout_schema()).validate(json.loads((GOLDEN / "example.layout.json").read_bytes()))


def test_a_bad_value_does_not_fit():
    example = json.loads((GOLDEN / "example.layout.json").read_bytes())
    example["nodes"]["n1"][2] = "2400"
    with pytest.raises(ValidationError, match="is not of type 'integer'"):
        Draft202012Validator(layout_schema()).validate(example)


def test_every_key_says_what_it_is_and_in_which_unit():
    schema = layout_schema()
    for record in (schema, *schema["$defs"].values()):
        assert record["title"]
        assert record["description"]
        for key, value in record["properties"].items():
            assert value["description"].endswith("."), key
            unit = {"_mm": "millimetre", "_c": "degrees Celsius", "deg": "degrees"}
            assert all(word in value["description"] for end, word in unit.items() if key.endswith(end)), key


@pytest.mark.parametrize(
    ("shape", "record"),
    [
        (shapes.SettingsShape, document.Settings),
        (shapes.PipeShape, document.PipeSize),
        (shapes.CriterionShape, document.Criterion),
        (shapes.ServiceShape, document.Service),
        (shapes.LegShape, document.Leg),
        (shapes.FittingShape, document.FittingChoice),
        (shapes.ItemShape, document.Item),
        (shapes.OutlineShape, document.Outline),
    ],
)
def test_shapes_have_the_fields_and_defaults_of_the_records(shape, record):
    own = {field.name: field.default for field in fields(record) if field.name != "extra"}
    required = {name for name, field in shape.model_fields.items() if field.is_required()}
    assert list(shape.model_fields) == list(own)
    assert {name: field.default for name, field in shape.model_fields.items() if name not in required} == {
        name: default for name, default in own.items() if name not in required
    }
    assert all(type(own[name]).__name__ == "_MISSING_TYPE" for name in required)
