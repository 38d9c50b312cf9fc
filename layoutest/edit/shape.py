"""Turning and mirroring what is picked, in the plane of the sheet."""

from __future__ import annotations

from dataclasses import replace
from itertools import product
from typing import TYPE_CHECKING, Literal

from layoutest.edit.move import nodes_of
from layoutest.edit.tables import changed
from layoutest.layout.plane import Spot, node_of, spot_of

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from layoutest.layout.document import Layout, Outline, View

Axis = Literal["upright", "level"]
Point = tuple[int, int]


def rotate(layout: Layout, ids: Iterable[str], quarter_turns: int) -> Layout:
    """Turn what is picked by quarters, anticlockwise, about its middle; legs that hang on it follow with their ends.

    What stands on the grid stays on it, and four quarters lead back, also one by one. In an elevation walls, slabs and
    plant stay as they are: they stand upright.
    """
    wanted = set(ids) if layout.view == "plan" else set(ids) - layout.structure.keys()
    spots = _spots(layout, wanted)
    if not spots:
        return layout
    plus, minus = _centre(spots, layout.grid_mm)

    def turned(u: int, v: int) -> Point:
        for _ in range(quarter_turns % 4):
            u, v = plus - v, minus + u
        return u, v

    return _mapped(layout, wanted, turned)


def mirror(layout: Layout, ids: Iterable[str], axis: Axis) -> Layout:
    """Mirror what is picked about an upright or a level line through its middle; twice leads back."""
    wanted = set(ids)
    spots = _spots(layout, wanted)
    if not spots:
        return layout
    place = 0 if axis == "upright" else 1
    both = min(spot[place] for spot in spots) + max(spot[place] for spot in spots)
    if axis == "upright":
        return _mapped(layout, wanted, lambda u, v: (both - u, v))
    return _mapped(layout, wanted, lambda u, v: (u, both - v))


def _spots(layout: Layout, wanted: set[str]) -> list[Point]:
    """Where the corners of what is picked are seen."""
    spots = [spot_of(layout.view, layout.nodes[name])[:2] for name in nodes_of(layout, wanted)]
    for name in wanted & layout.structure.keys():
        spots += _corners(layout.structure[name], layout.view)
    return spots


def _corners(outline: Outline, view: View) -> list[Point]:
    if view == "plan":
        return list(outline.outline)
    return [(x, level) for x, _ in outline.outline for level in outline.levels_mm or ()]


def _centre(spots: list[Point], grid_mm: int) -> Point:
    """About what a selection is turned: a grid point or the middle of a grid cell, whichever is nearest to its middle.

    About such a point the grid turns into itself. Which one is taken when several are as near does not change by the
    turn, so that the next quarter is about the same.

    Returns:
        the sum of the point's u and v, and v less u, both in whole mm.
    """
    twice = [min(axis) + max(axis) for axis in zip(*spots, strict=True)]
    near = [[both // grid_mm + step for step in (-1, 0, 1, 2)] for both in twice]
    half_cells = [(i, j) for i, j in product(*near) if (i + j) % 2 == 0]

    def worth(place: Point) -> tuple[int, int, int]:
        off = sum((half * grid_mm - both) ** 2 for half, both in zip(place, twice, strict=True))
        return off, place[0] % 2, sum(place) % 4

    i, j = min(half_cells, key=worth)
    return (i + j) // 2 * grid_mm, (j - i) // 2 * grid_mm


def _mapped(layout: Layout, wanted: set[str], to: Callable[[int, int], Point]) -> Layout:
    nodes = {}
    for name in nodes_of(layout, wanted):
        spot = spot_of(layout.view, layout.nodes[name])
        nodes[name] = node_of(layout.view, Spot(*to(spot.u_mm, spot.v_mm), spot.depth_mm))
    turned = {name: _outline(layout.structure[name], to, layout.view) for name in wanted & layout.structure.keys()}
    return changed(layout, {"nodes": nodes, "structure": turned})


def _outline(outline: Outline, to: Callable[[int, int], Point], view: View) -> Outline:
    """An outline in its new place; in an elevation it is mirrored in x or in level."""
    if view == "plan":
        return replace(outline, outline=tuple(to(x, y) for x, y in outline.outline))
    corners = tuple((to(x, 0)[0], y) for x, y in outline.outline)
    if outline.levels_mm is None:
        return replace(outline, outline=corners)
    foot, top = sorted(to(0, level)[1] for level in outline.levels_mm)
    return replace(outline, outline=corners, levels_mm=(foot, top))
