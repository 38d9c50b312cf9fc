"""Walls, slabs and plant: closed outlines, put on the sheet."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layoutest.edit.ids import next_id
from layoutest.edit.tables import changed
from layoutest.errors import UsageError
from layoutest.layout.document import Outline

if TYPE_CHECKING:
    from collections.abc import Sequence

    from layoutest.layout.document import Layout, OutlineKind


def add_outline(
    layout: Layout, kind: OutlineKind, points: Sequence[tuple[int, int]], levels_mm: tuple[int, int] | None = None
) -> tuple[Layout, str]:
    """Put an outline on the sheet.

    Args:
        layout: the layout.
        kind: wall, slab or plant.
        points: its corners in x and y, at least three.
        levels_mm: of its foot and of its top, in either order; all levels when not given.

    Returns:
        the layout and the outline's id; no id for an outline farther out than a file can hold.

    Raises:
        UsageError: there are less than three corners, or both levels are one.
    """
    if len(points) < 3:
        raise UsageError(f"a {kind} has {len(points)} corners; expected at least three")
    if levels_mm is not None and levels_mm[0] == levels_mm[1]:
        raise UsageError(f"a {kind} has its foot and its top at {levels_mm[0]} mm; expected two levels")
    name = next_id(layout, "w")
    levels = None if levels_mm is None else (min(levels_mm), max(levels_mm))
    made = changed(layout, {"structure": {name: Outline(kind, tuple(points), levels)}})
    return made, "" if made is layout else name
