"""Copying a part of a layout, and pasting it there or into another layout."""

from __future__ import annotations

from dataclasses import replace
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

from layoutest.edit.ids import fresh_ids
from layoutest.edit.move import moved_outline
from layoutest.edit.tables import changed
from layoutest.layout.document import Layout, Node
from layoutest.layout.ids import natural_key

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

# A clip is a layout: it travels as the text of one, and what comes back is checked as a file is.
Clip = Layout


def copy(layout: Layout, ids: Iterable[str]) -> Clip:
    """The legs among some ids, with their nodes, items and fitting choices, outlines, and what all these refer to."""
    wanted = set(ids)
    legs = {name: layout.legs[name] for name in _ordered(wanted & layout.legs.keys())}
    nodes = {node for leg in legs.values() for node in (leg.start, leg.end)}
    return Layout(
        view=layout.view,
        pipes=_part(layout.pipes, {leg.pipe for leg in legs.values()}),
        services=_part(layout.services, {leg.service for leg in legs.values()}),
        nodes=_part(layout.nodes, nodes),
        legs=MappingProxyType(legs),
        fittings=_part(layout.fittings, nodes),
        items=_part(layout.items, {name for name, item in layout.items.items() if item.leg in legs}),
        structure=_part(layout.structure, wanted),
    )


def paste(layout: Layout, clip: Clip, by: tuple[int, int, int]) -> tuple[Layout, tuple[str, ...]]:
    """Put a clip into a layout, moved in x, y and level, with fresh ids; what is there by the same name stays.

    Returns:
        the layout and the ids of the new legs and outlines; none where nothing is pasted.
    """
    names = {
        old: new
        for prefix, table in (("n", clip.nodes), ("l", clip.legs), ("v", clip.items), ("w", clip.structure))
        for old, new in zip(_ordered(table), fresh_ids(layout, prefix), strict=False)
    }
    legs = {names[name]: replace(leg, start=names[leg.start], end=names[leg.end]) for name, leg in _sorted(clip.legs)}
    outlines = {names[name]: moved_outline(one, by) for name, one in _sorted(clip.structure)}
    dx, dy, dz = by
    put: dict[str, Any] = {
        "pipes": {name: pipe for name, pipe in clip.pipes.items() if name not in layout.pipes},
        "services": {name: one for name, one in clip.services.items() if name not in layout.services},
        "nodes": {names[name]: Node(x + dx, y + dy, z + dz) for name, (x, y, z) in _sorted(clip.nodes)},
        "legs": legs,
        "fittings": {names[name]: choice for name, choice in _sorted(clip.fittings)},
        "items": {names[name]: replace(item, leg=names[item.leg]) for name, item in _sorted(clip.items)},
        "structure": outlines,
    }
    made = changed(layout, put)
    return made, () if made is layout else (*legs, *outlines)


def _ordered(names: Iterable[str]) -> list[str]:
    return sorted(names, key=natural_key)


def _sorted(table: Mapping[str, Any]) -> list[tuple[str, Any]]:
    return [(name, table[name]) for name in _ordered(table)]


def _part(table: Mapping[str, Any], names: set[str]) -> Mapping[str, Any]:
    return MappingProxyType({name: table[name] for name in _ordered(names & table.keys())})
