"""Copying parts of a layout and pasting them, here or in another one; between windows they travel as text."""

from __future__ import annotations

from dataclasses import replace
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

from layoutest.edit.ids import fresh_ids
from layoutest.edit.tables import changed
from layoutest.layout.document import Layout, Node

if TYPE_CHECKING:
    from collections.abc import Iterable



def copy(layout: Layout, ids: Iterable[str]) -> Layout:
    """The picked part as a layout of its own: legs with their nodes and items, outlines, and what they refer to."""
    wanted = set(ids)
    legs = {name: leg for name, leg in layout.legs.items() if name in wanted}
    items = {name: item for name, item in layout.items.items() if item.leg in legs}
    nodes = {node for leg in legs.values() for node in (leg.start, leg.end)}
    services = {leg.service for leg in legs.values()}
    pipes = {leg.pipe for leg in legs.values()}
    return Layout(
        view=layout.view,
        pipes=_part(layout.pipes, pipes),
        services=_part(layout.services, services),
        nodes=_part(layout.nodes, nodes),
        legs=MappingProxyType(legs),
        fittings=_part(layout.fittings, nodes),
        items=MappingProxyType(items),
        structure=_part(layout.structure, wanted),
    )


def paste(layout: Layout, clip: Layout, by: tuple[int, int, int]) -> tuple[Layout, tuple[str, ...]]:
    """Put a clip into a layout, moved, with fresh ids; services and pipes that are there already stay as they are.

    Returns:
        the layout and the ids of the new legs and outlines.
    """
    names = {
        old: new
        for prefix, table in (("n", clip.nodes), ("l", clip.legs), ("v", clip.items), ("w", clip.structure))
        for old, new in zip(table, fresh_ids(layout, prefix), strict=False)
    }
    dx, dy, dz = by
    legs = {
        names[name]: replace(leg, start=names[leg.start], end=names[leg.end]) for name, leg in clip.legs.items()
    }
    outlines = {
        names[name]: replace(one, outline=tuple((x + dx, y + dy) for x, y in one.outline))
        for name, one in clip.structure.items()
    }
    put: dict[str, Any] = {
        "pipes": {name: pipe for name, pipe in clip.pipes.items() if name not in layout.pipes},
        "services": {name: one for name, one in clip.services.items() if name not in layout.services},
        "nodes": {names[name]: Node(x + dx, y + dy, z + dz) for name, (x, y, z) in clip.nodes.items()},
        "legs": legs,
        "fittings": {names[name]: choice for name, choice in clip.fittings.items()},
        "items": {names[name]: replace(item, leg=names[item.leg]) for name, item in clip.items.items()},
        "structure": outlines,
    }
    return changed(layout, put), (*legs, *outlines)


def _part(table: Any, names: set[str]) -> Any:  # noqa: ANN401 - any table of a layout
    return MappingProxyType({name: record for name, record in table.items() if name in names})


