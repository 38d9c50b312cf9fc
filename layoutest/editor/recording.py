"""A sitting as text: one event a line, as JSON, to be replayed. Layouts stand in it as the text of their file."""

from __future__ import annotations

import json
import math
from typing import TYPE_CHECKING, Any, get_args

from layoutest.editor.events import Event, Packed
from layoutest.errors import UnreadableError
from layoutest.files.findings import shown
from layoutest.files.layout_read import parse_layout
from layoutest.files.layout_write import layout_text
from layoutest.layout.document import Layout

if TYPE_CHECKING:
    from collections.abc import Callable

_KINDS: dict[str, type] = {kind.__name__: kind for kind in get_args(Event) if kind is not Packed}


def event_text(event: Event) -> str:
    """Return the line of an event; nothing for a plan, which a replay finds again by packing."""
    if isinstance(event, Packed):
        return ""
    left_out = event._field_defaults
    values = {
        name: layout_text(value) if isinstance(value, Layout) else value
        for name, value in event._asdict().items()
        if name not in left_out or value != left_out[name]
    }
    return json.dumps({"event": type(event).__name__, **values}) + "\n"


def read_events(text: str) -> tuple[Event, ...]:
    """Return the events of a recording.

    Raises:
        UnreadableError: some lines are no events; every one of them is told with its number.
    """
    events: list[Event] = []
    faults: list[str] = []
    for number, line in enumerate(text.split("\n"), start=1):
        if line.strip():
            try:
                events.append(_event(line))
            except UnreadableError as error:
                faults += [f"line {number}: {fault}" for fault in error.faults]
    if faults:
        raise UnreadableError(tuple(faults))
    return tuple(events)


def _event(line: str) -> Event:
    try:
        raw = json.loads(line)
    except (ValueError, RecursionError):
        raise _refused(f"{shown(line)} is no JSON; expected an event as an object in braces") from None
    kind = _KINDS.get(str(raw.get("event"))) if isinstance(raw, dict) else None
    if kind is None:
        what = shown(raw.get("event")) if isinstance(raw, dict) and "event" in raw else "nothing"
        raise _refused(f"{what} stands under 'event'; expected one of {', '.join(_KINDS)}")
    del raw["event"]
    return _made(kind, raw)


def _made(kind: Any, raw: dict[str, Any]) -> Event:  # noqa: ANN401 - a class of named tuples
    """Make an event, or tell all that is wrong with its fields."""
    expected: dict[str, Any] = kind.__annotations__
    faults = [f"{kind.__name__} has no {shown(name)}" for name in raw if name not in expected]
    values = {}
    for name, annotation in expected.items():
        if name in raw:
            try:
                values[name] = _READERS[_words(annotation)](raw[name])
            except UnreadableError as error:
                faults += [f"{name}: {fault}" for fault in error.faults]
        elif name not in kind._field_defaults:
            faults.append(f"{kind.__name__} lacks {name!r}")
    if faults:
        raise UnreadableError(tuple(faults))
    event: Event = kind(**values)
    return event


def _words(annotation: Any) -> str:  # noqa: ANN401 - Python wraps the words of a named tuple's annotations
    return str(getattr(annotation, "__forward_arg__", annotation))


def _plain(types: tuple[type, ...], words: str) -> Callable[[Any], Any]:
    def read(value: object) -> object:
        if type(value) not in types or (isinstance(value, float) and not math.isfinite(value)):
            raise _refused(f"{shown(value)} stands here; expected {words}")
        return value

    return read


def _texts(value: object) -> tuple[str, ...]:
    if not isinstance(value, list) or not all(isinstance(text, str) for text in value):
        raise _refused(f"{shown(value)} stands here; expected a list of texts")
    return tuple(value)


def _layout(value: object) -> Layout | None:
    if value is None:
        return None
    if not isinstance(value, str):
        raise _refused(f"{shown(value)} stands here; expected the text of a layout's file, or null")
    return parse_layout(value.encode(errors="replace"), "").layout


_READERS: dict[str, Callable[[Any], Any]] = {
    "str": _plain((str,), "text"),
    "int": _plain((int,), "a whole number"),
    "float": _plain((int, float), "a number"),
    "bool": _plain((bool,), "true or false"),
    "str | None": _plain((str, type(None)), "text or null"),
    "tuple[str, ...]": _texts,
    "Layout | None": _layout,
    "Layout": lambda value: _layout(value) or _plain((Layout,), "the text of a layout's file")(value),
}


def _refused(says: str) -> UnreadableError:
    return UnreadableError((says,))
