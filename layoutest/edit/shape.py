"""Turning and mirroring what is picked, in the plane of the sheet."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Literal

from layoutest.edit.tables import changed
from layoutest.layout.plane import Spot, node_of, spot_of

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from layoutest.layout.document import Layout

Axis = Literal["upright", "level"]


def rotate(layout: Layout, ids: Iterable[str], quarter_turns: int) -> Layout:
    """Turn what is picked by quarters, anticlockwise, about its middle; legs that hang on it follow with their ends."""
    wanted = set(ids)
    middle = _middle(layout, wanted)
    for _ in range(quarter_turns % 4):
        layout = _mapped(layout, wanted, lambda u, v: (middle[0] - (v - middle[1]), middle[1] + (u - middle[0])))
    return layout


def mirror(layout: Layout, ids: Iterable[str], axis: Axis) -> Layout:
    """Mirror what is picked about an upright or a level line through its middle."""
    wanted = set(ids)
    low, high = _reach(layout, wanted)
    if axis == "upright":
        return _mapped(layout, wanted, lambda u, v: (low[0] + high[0] - u, v))
    return _mapped(layout, wanted, lambda u, v: (u, low[1] + high[1] - v))


def _nodes(layout: Layout, wanted: set[str]) -> set[str]:
    nodes = wanted & layout.nodes.keys()
    for name in wanted & layout.legs.keys():
        nodes |= {layout.legs[name].start, layout.legs[name].end}
    return nodes


def _reach(layout: Layout, wanted: set[str]) -> tuple[tuple[int, int], tuple[int, int]]:
    spots = [spot_of(layout.view, layout.nodes[name])[:2] for name in _nodes(layout, wanted)]
    if layout.view == "plan":
        spots += [point for name in wanted & layout.structure.keys() for point in layout.structure[name].outline]
    if not spots:
        return (0, 0), (0, 0)
    return (min(u for u, _ in spots), min(v for _, v in spots)), (max(u for u, _ in spots), max(v for _, v in spots))


def _middle(layout: Layout, wanted: set[str]) -> tuple[int, int]:
    """The middle of what is picked, on the grid, so that everything stays on whole millimetres."""
    low, high = _reach(layout, wanted)
    step = max(layout.grid_mm, 1)
    return round((low[0] + high[0]) / 2 / step) * step, round((low[1] + high[1]) / 2 / step) * step


def _mapped(layout: Layout, wanted: set[str], to: Callable[[int, int], tuple[int, int]]) -> Layout:
    nodes = {}
    for name in _nodes(layout, wanted):
        spot = spot_of(layout.view, layout.nodes[name])
        nodes[name] = node_of(layout.view, Spot(*to(spot.u_mm, spot.v_mm), spot.depth_mm))
    outlines = {}
    if layout.view == "plan":
        for name in wanted & layout.structure.keys():
            one = layout.structure[name]
            outlines[name] = replace(one, outline=tuple(to(x, y) for x, y in one.outline))
    return changed(layout, {"nodes": nodes, "structure": outlines})
