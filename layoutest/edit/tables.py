"""A layout with some records of its tables changed; what is not named stays the same object."""

from __future__ import annotations

from dataclasses import replace
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from layoutest.layout.document import Layout


def changed(
    layout: Layout,
    put: Mapping[str, Mapping[str, Any]] | None = None,
    gone: Mapping[str, Iterable[str]] | None = None,
) -> Layout:
    """Put records into tables (`nodes`, `legs`, `items`, `fittings`, `structure`, `services`) and take others out.

    The same layout comes back where nothing changes.
    """
    tables: dict[str, Any] = {}
    for name in {**(put or {}), **(gone or {})}:
        table: Mapping[str, Any] = getattr(layout, name)
        fresh = {key: value for key, value in (put or {}).get(name, {}).items() if table.get(key) != value}
        out = {key for key in (gone or {}).get(name, ()) if key in table}
        if fresh or out:
            kept = {key: value for key, value in table.items() if key not in out} if out else dict(table)
            kept.update(fresh)
            tables[name] = MappingProxyType(kept)
    return replace(layout, **tables) if tables else layout
