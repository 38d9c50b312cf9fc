"""One record of a layout file: checked against its shape, its unknown keys kept, its faults put into words."""

from __future__ import annotations

import json
from functools import cache
from typing import TYPE_CHECKING, Any, TypeVar

from pydantic import ValidationError

from layoutest.files.expected import expected_at, fragment_at, fragment_below
from layoutest.files.findings import quoted, shown
from layoutest.files.layout_shape import Shape

if TYPE_CHECKING:
    from collections.abc import Mapping

    from pydantic_core import ErrorDetails

    from layoutest.files.findings import Findings, Path
    from layoutest.layout.document import Extra

S = TypeVar("S", bound=Shape)

_ENCODE = json.JSONEncoder(ensure_ascii=False, separators=(",", ":")).encode


@cache
def known_keys(shape: type[Shape]) -> frozenset[str]:
    """Return the keys that a record of a file has a meaning for."""
    return frozenset(field.alias or name for name, field in shape.model_fields.items())


def checked(shape: type[S], raw: object, path: Path, findings: Findings) -> S | None:
    """Return a record's values, or None after adding all its faults.

    Args:
        shape: the model of the record.
        raw: what stands in the file.
        path: where it stands; must be a path of the schema.
        findings: takes the faults.
    """
    try:
        return shape.model_validate(raw)
    except ValidationError as error:
        add_faults(error, raw, path, findings)
        return None


def add_faults(error: ValidationError, raw: object, path: Path, findings: Findings) -> None:
    """Add the faults that pydantic found in what stands at a path of the schema."""
    for detail in error.errors(include_url=False, include_context=False, include_input=False):
        _fault(raw, path, detail, findings)


def extra_of(shape: type[Shape], raw: Mapping[str, Any], path: Path, findings: Findings) -> Extra:
    """Return the unknown keys of a record with the JSON text of their values, and warn of each."""
    known = known_keys(shape)
    if raw.keys() <= known:
        return ()
    unknown = [key for key in raw if key not in known]
    for key in unknown:
        near = findings.near_text(key, sorted(known))
        findings.warn(path, f"unknown key {quoted(key)} is kept but not used{near}")
    return tuple((key, _ENCODE(raw[key])) for key in unknown)


def missing(key: str, raw: Mapping[str, Any], path: Path, findings: Findings) -> None:
    """Add the fault of a record that lacks a key; an unknown key that looks like it is named."""
    here = fragment_at(path)
    near = findings.near_text(key, sorted(raw.keys() - here["properties"].keys()))
    findings.fault((*path, key), f"this key is missing; expected {expected_at((*path, key))}{near}")


def misfit(value: object, path: Path, findings: Findings) -> None:
    """Add the fault of a value that its place cannot hold, unless the place has one already."""
    if path not in findings.faulty:
        findings.fault(path, f"{shown(value)} stands here; expected {expected_at(path)}")


def _fault(raw: object, path: Path, detail: ErrorDetails, findings: Findings) -> None:
    """Follow a fault of pydantic's to the deepest place that both the file and the schema have."""
    here, value = fragment_at(path), raw
    for part in detail["loc"]:
        below = fragment_below(here, part)
        if below is None:
            break
        if isinstance(value, dict) and isinstance(part, str):
            if part not in value:
                missing(part, value, path, findings)
                return
            value = value[part]
        elif isinstance(value, list) and isinstance(part, int) and part < len(value):
            value = value[part]
        else:
            break
        here, path = below, (*path, part)
    # Pydantic counts only the good members of a list, and calls a long one with bad members too short.
    if detail["type"] == "too_short" and isinstance(value, list) and len(value) >= here["minItems"]:
        return
    misfit(value, path, findings)
