"""What a place in a layout file may hold, in words made from the JSON Schema, so that the two never disagree."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING, Any

from layoutest.files.findings import shown
from layoutest.files.layout_shape import layout_schema

if TYPE_CHECKING:
    from layoutest.files.findings import Path

Fragment = dict[str, Any]

_UNITS = {"_mm": " of mm", "_deg": " of degrees", "_c": " of °C", "outline": " of mm"}
_schema = cache(layout_schema)


def fragment_at(path: Path) -> Fragment:
    """Return the part of the schema that a known path leads to."""
    here = _schema()
    for part in path:
        below = fragment_below(here, part)
        if below is None:
            raise KeyError(path)
        here = below
    return here


def fragment_below(here: Fragment, part: str | int) -> Fragment | None:
    """Return the part of the schema for one key or place below another, None where nothing is told of it."""
    if isinstance(part, int):
        places = here.get("prefixItems", [])
        below = places[part] if part < len(places) else here.get("items")
    else:
        below = here.get("properties", {}).get(part, here.get("additionalProperties"))
    if below is not None and "$ref" in below:
        below = _schema()["$defs"][below["$ref"].rpartition("/")[2]]
    return below


def expected_at(path: Path) -> str:
    """Return what a known path may hold, such as `a whole number of mm from 1 to 1000`."""
    return _phrase(fragment_at(path), _unit(path))


def _unit(path: Path) -> str:
    if path[0] == "nodes":
        return " of mm"
    key = next(part for part in reversed(path) if isinstance(part, str))
    return next((unit for suffix, unit in _UNITS.items() if key.endswith(suffix)), "")


def _phrase(here: Fragment, unit: str) -> str:
    if "anyOf" in here:
        return " or ".join(_phrase(choice, unit) for choice in here["anyOf"])
    if "const" in here or "enum" in here:
        return _choice(here.get("enum") or [here["const"]])
    match here["type"]:
        case "integer":
            return f"a whole number{unit}{_limits(here)}"
        case "number":
            return f"a number{unit}{_limits(here)}"
        case "array":
            return _list(here, unit)
        case other:
            return {"string": "text in double quotes", "boolean": "true or false", "object": "an object in braces"}[
                other
            ]


def _choice(values: list[str | int]) -> str:
    *first, last = map(shown, values)
    return f"{', '.join(first)} or {last}" if first else last


def _limits(here: Fragment) -> str:
    if "exclusiveMinimum" in here:
        return f" above {here['exclusiveMinimum']} and up to {here['maximum']:,}"
    return f" from {here['minimum']:,} to {here['maximum']:,}" if "minimum" in here else ""


def _list(here: Fragment, unit: str) -> str:
    if "prefixItems" in here:
        return f"a list of {here['minItems']}, each {_phrase(here['prefixItems'][0], unit)}"
    return f"a list of at least {here['minItems']}" if "minItems" in here else "a list"
