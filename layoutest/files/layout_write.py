"""Writing a layout: the same text for the same layout, one record a line, moved into place in one step."""

from __future__ import annotations

import json
import os
from dataclasses import MISSING, Field, fields
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from layoutest.errors import LayoutestError
from layoutest.files.layout_keys import FORMAT, REQUIRED_TABLES, TABLES, VERSION
from layoutest.files.whole import write_whole
from layoutest.layout.document import Item, Layout, Node, Service, Settings
from layoutest.layout.ids import natural_key

if TYPE_CHECKING:
    from collections.abc import Mapping

_ENCODE = json.JSONEncoder(ensure_ascii=False, allow_nan=False).encode
_KEYS = {"start": "from", "end": "to"}
# Fields that stand in a file even where they have their default value.
_SPELT_OUT: dict[type, frozenset[str]] = {
    Settings: frozenset(field.name for field in fields(Settings)) - {"extra"},
    Service: frozenset({"setting"}),
    Item: frozenset({"kind", "covered"}),
}
# Above this a whole number is written as 1e+300 is, not with all its digits.
_LONGEST_WHOLE = 1e15


def layout_text(layout: Layout) -> str:
    """Return the text of a layout's file: equal layouts give equal texts, and reading it gives the layout back.

    Tables are in the order of their ids; what has its default value is left out, but for the sheet, the settings and
    the kinds of things. Unknown keys stand at the end of their object.
    """
    lines = [
        f'"format": {_ENCODE(FORMAT)}, "version": {VERSION}',
        ", ".join(
            f'"{key}": {value_text(getattr(layout, key))}' for key in ("title", "revision", "view", "grid_mm", "times")
        ),
        f'"settings": {value_text(layout.settings)}',
    ]
    for section in TABLES:
        table = getattr(layout, section)
        if table or section in REQUIRED_TABLES:
            lines.append(f'"{section}": {_table_text(table)}')
    lines += [f"{_ENCODE(key)}: {text}" for key, text in layout.extra]
    return "{\n  " + ",\n  ".join(lines) + "\n}\n"


def save_layout(layout: Layout, path: Path) -> None:
    """Write a layout to a file; what stood there before stays beside it with `.bak` after its name.

    The file is at every moment either the old one or the new one, whole.

    Raises:
        LayoutestError: the place cannot be written to; what stood there is unchanged.
    """
    try:
        data = layout_text(layout).encode()
        place = Path(os.path.realpath(path))
        if place.exists():
            write_whole(place.with_name(place.name + ".bak"), place.read_bytes(), like=place)
        write_whole(place, data, like=place)
    except (OSError, ValueError) as error:
        reason = (getattr(error, "strerror", None) or str(error)).lower()
        raise LayoutestError(
            f"{path.name}: the file cannot be saved in '{path.parent}': {reason}; what stood there is unchanged"
        ) from error


def _table_text(table: Mapping[str, Any]) -> str:
    lines = [f"    {_ENCODE(name)}: {value_text(table[name])}" for name in sorted(table, key=natural_key)]
    return "{\n" + ",\n".join(lines) + "\n  }" if lines else "{}"


def value_text(value: object) -> str:
    """Return the JSON text of a record, or of a field's value: a tuple or something plain."""
    if isinstance(value, Node) or type(value) is tuple:
        return "[" + ", ".join(map(value_text, value)) + "]"
    if hasattr(value, "__dataclass_fields__"):
        return _record_text(value)
    if isinstance(value, float) and value.is_integer() and abs(value) < _LONGEST_WHOLE:
        return str(int(value))
    return _ENCODE(value)


def _record_text(record: Any) -> str:  # noqa: ANN401 - any record of the document
    pairs = [
        f"{key}: {value_text(value)}"
        for name, key, left_out in _plan(record.__class__)
        if (value := getattr(record, name)) != left_out
    ]
    pairs += [f"{_ENCODE(key)}: {text}" for key, text in record.extra]
    return "{" + ", ".join(pairs) + "}"


@cache
def _plan(record: type) -> tuple[tuple[str, str, object], ...]:
    """Return each field of a record with its key in the file and the value at which it is left out."""
    spelt_out = _SPELT_OUT.get(record, frozenset())

    def left_out(field: Field[Any]) -> object:
        return MISSING if field.name in spelt_out else field.default

    return tuple(
        (field.name, _ENCODE(_KEYS.get(field.name, field.name)), left_out(field))
        for field in fields(record)
        if field.name != "extra"
    )
