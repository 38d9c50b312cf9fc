"""A layout with some records of its tables changed; what is not named stays the same object."""

from __future__ import annotations

from dataclasses import replace
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from layoutest.layout.document import Layout, Node, Outline

# No file holds a place farther out: an edit that would lead there is not done.
FARTHEST_MM = 1_000_000


def changed(
    layout: Layout,
    put: Mapping[str, Mapping[str, Any]] | None = None,
    gone: Mapping[str, Iterable[str]] | None = None,
) -> Layout:
    """Put records into tables (`nodes`, `legs`, `items`, `fittings`, `structure`, …) and take others out.

    The same layout comes back where nothing changes, and where something would come to lie farther out than a file
    can hold.
    """
    tables: dict[str, Any] = {}
    for name in {**(put or {}), **(gone or {})}:
        table: Mapping[str, Any] = getattr(layout, name)
        fresh = {key: value for key, value in (put or {}).get(name, {}).items() if table.get(key) != value}
        out = {key for key in (gone or {}).get(name, ()) if key in table}
        if name in _IN_REACH and not all(map(_IN_REACH[name], fresh.values())):
            return layout
        if fresh or out:
            # A read-only map copies itself as fast as the map behind it; reading it key by key is thirty times slower.
            kept = table.copy() if isinstance(table, MappingProxyType) else dict(table)
            for key in out:
                del kept[key]
            kept.update(fresh)
            tables[name] = MappingProxyType(kept)
    return replace(layout, **tables) if tables else layout


def _node_in_reach(node: Node) -> bool:
    return max(node) <= FARTHEST_MM and min(node) >= -FARTHEST_MM


def _outline_in_reach(outline: Outline) -> bool:
    places = [place for corner in outline.outline for place in corner] + list(outline.levels_mm or ())
    return all(-FARTHEST_MM <= place <= FARTHEST_MM for place in places)


_IN_REACH: dict[str, Any] = {"nodes": _node_in_reach, "structure": _outline_in_reach}
