"""Deleting."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layoutest.edit.tables import changed

if TYPE_CHECKING:
    from collections.abc import Iterable

    from layoutest.layout.document import Layout


def delete(layout: Layout, ids: Iterable[str]) -> Layout:
    """Delete legs with their items, items, outlines, and nodes with the legs at them.

    Nodes that lose their last leg go with it, and so do choices made for the fittings at nodes that are gone. A pipe
    that loses its branch stays two legs, which are one straight.
    """
    wanted = set(ids)
    nodes = wanted & layout.nodes.keys()
    legs = wanted & layout.legs.keys()
    if nodes:
        legs |= {name for name, leg in layout.legs.items() if leg.start in nodes or leg.end in nodes}
    loose = {node for name in legs for node in (layout.legs[name].start, layout.legs[name].end)}
    for name, leg in layout.legs.items():
        if (leg.start in loose or leg.end in loose) and name not in legs:
            loose -= {leg.start, leg.end}
    nodes |= loose
    return changed(
        layout,
        gone={
            "nodes": nodes,
            "legs": legs,
            "items": {name for name, item in layout.items.items() if name in wanted or item.leg in legs},
            "fittings": nodes,
            "structure": wanted & layout.structure.keys(),
        },
    )
