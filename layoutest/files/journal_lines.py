"""What stands in a journal: a line with the whole layout at its head, then one line for each action.

Every line begins with a seal: a checksum over the seal before it and what the line says, so that a line which was torn,
changed, lost or moved ends what can be read.
"""

from __future__ import annotations

import json
from dataclasses import fields
from hashlib import blake2b
from typing import TYPE_CHECKING, Any, NamedTuple

from layoutest.errors import UnreadableError
from layoutest.files.layout_keys import TABLES
from layoutest.files.layout_read import parse_layout
from layoutest.files.layout_write import layout_text, value_text
from layoutest.layout.document import Layout

if TYPE_CHECKING:
    from collections.abc import Mapping

FORMAT, VERSION = "layoutest-journal", 1
SHEET_KEYS = tuple(field.name for field in fields(Layout) if field.name not in {*TABLES, "extra"})

_ENCODE = json.JSONEncoder(ensure_ascii=False).encode
_OWN_KEYS = frozenset({"format", "version", *SHEET_KEYS, *TABLES})


class Head(NamedTuple):
    """What a journal belongs to: the path and SHA-256 of a file (empty: none), and whether it begins with edits.

    `instead_of` names the journal whose place it took when that had grown too long.
    """

    path: str
    sha256: str
    edited: bool
    instead_of: str


class Contents(NamedTuple):
    """What can be read of a journal: its head, the layout it begins with as text, and its whole lines."""

    head: Head
    text: str
    changes: tuple[dict[str, Any], ...]


def head_text(head: Head, layout: Layout) -> str:
    """Return what the first line says."""
    return _ENCODE({"format": FORMAT, "version": VERSION, **head._asdict(), "layout": layout_text(layout)})


def change_text(before: Layout, after: Layout) -> str:
    """Return what the line of an action says: what differs from the layout before it; empty when nothing does.

    Records that are the same object are not looked at, so it costs what the action changed and one walk over tables
    that are not the same object.
    """
    sheet = [
        f"{_ENCODE(key)}: {value_text(value)}"
        for key in SHEET_KEYS
        if (value := getattr(after, key)) != getattr(before, key)
    ]
    if after.extra != before.extra:
        sheet.append('"extra": {' + ", ".join(f"{_ENCODE(key)}: {text}" for key, text in after.extra) + "}")
    put, gone = [], []
    for section in TABLES:
        old, new = getattr(before, section), getattr(after, section)
        if old is not new:
            records = _fresh_records(old, new)
            if records:
                put.append(f'"{section}": {{{", ".join(records)}}}')
            lost = [name for name in old if name not in new]
            if lost:
                gone.append(f'"{section}": {_ENCODE(lost)}')
    parts = (("sheet", sheet), ("put", put), ("gone", gone))
    said = [f'"{name}": {{{", ".join(pairs)}}}' for name, pairs in parts if pairs]
    return "{" + ", ".join(said) + "}" if said else ""


def _fresh_records(old: Mapping[str, object], new: Mapping[str, object]) -> list[str]:
    changed = [(name, record) for name, record in new.items() if old.get(name) is not record]
    return [f"{_ENCODE(name)}: {value_text(record)}" for name, record in changed if old.get(name) != record]


def sealed(seal: str, says: str) -> tuple[str, bytes]:
    """Return the seal of a line that follows another (empty for the first), and the line itself."""
    data = says.encode()
    fresh = _seal(seal, data)
    return fresh, b"%s %s\n" % (fresh.encode(), data)


def _seal(before: str, data: bytes) -> str:
    return blake2b(before.encode() + data, digest_size=8).hexdigest()


def read_contents(data: bytes) -> Contents | None:
    """Return what stands in a journal up to its last whole line; None when not even its head can be read."""
    lines = _whole_lines(data)
    head = lines[0] if lines else {}
    text, names = head.get("layout"), (head.get("path"), head.get("sha256"), head.get("instead_of"))
    if (head.get("format"), head.get("version")) != (FORMAT, VERSION) or not isinstance(text, str):
        return None
    path, sha256, instead_of = (name if isinstance(name, str) else "" for name in names)
    return Contents(Head(path, sha256, head.get("edited") is True, instead_of), text, tuple(lines[1:]))


def _whole_lines(data: bytes) -> list[dict[str, Any]]:
    made: list[dict[str, Any]] = []
    seal = ""
    # What stands behind the last line break was torn.
    for line in data.split(b"\n")[:-1]:
        told, _, says = line.partition(b" ")
        seal = _seal(seal, says)
        if told != seal.encode():
            break
        try:
            value = json.loads(says)
        except (ValueError, RecursionError):
            break
        if not isinstance(value, dict):
            break
        made.append(value)
    return made


def replayed(contents: Contents) -> Layout | None:
    """Return the layout after the last action of a journal; None when its head holds no layout.

    Should the last actions have made something that is no layout, the last one before them is returned.
    """
    back = 0
    while True:
        layout = _after(contents, len(contents.changes) - back)
        if layout is not None or back == len(contents.changes):
            return layout
        # Ever longer steps: it is better to lose an action more than to read a long journal again and again.
        back = min(max(1, 2 * back), len(contents.changes))


def _after(contents: Contents, count: int) -> Layout | None:
    """Return the layout after so many actions; None when that is no layout."""
    if count == 0:
        return _parsed(contents.text)
    try:
        document = json.loads(contents.text)
        for change in contents.changes[:count]:
            document = _changed(document, change)
        return _parsed(json.dumps(document, ensure_ascii=False))
    except (ValueError, TypeError, AttributeError, RecursionError):
        return None


def _parsed(text: str) -> Layout | None:
    try:
        return parse_layout(text.encode(), "journal").layout
    except (UnreadableError, ValueError):
        return None


def _changed(document: dict[str, Any], change: dict[str, Any]) -> dict[str, Any]:
    """Apply one action to the values of a layout's file."""
    sheet = dict(change.get("sheet", {}))
    if "extra" in sheet:
        document = {key: value for key, value in document.items() if key in _OWN_KEYS} | sheet.pop("extra")
    document.update(sheet)
    for section, records in change.get("put", {}).items():
        document.setdefault(section, {}).update(records)
    for section, names in change.get("gone", {}).items():
        for name in names:
            document.get(section, {}).pop(name, None)
    return document
