"""The plane in which a sheet is drawn: x and y in a plan, x and level in an elevation; the third value is its depth."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from layoutest.layout.document import Node

if TYPE_CHECKING:
    from layoutest.layout.document import View


class Spot(NamedTuple):
    """A node as the sheet sees it, in mm: to the right, up the sheet, and its level (plan) or its y (elevation)."""

    u_mm: int
    v_mm: int
    depth_mm: int


def spot_of(view: View, node: Node) -> Spot:
    """See a node in the sheet's plane."""
    x_mm, y_mm, level_mm = node
    return Spot(x_mm, y_mm, level_mm) if view == "plan" else Spot(x_mm, level_mm, y_mm)


def node_of(view: View, spot: Spot) -> Node:
    """The node that is seen at a spot."""
    u_mm, v_mm, depth_mm = spot
    return Node(u_mm, v_mm, depth_mm) if view == "plan" else Node(u_mm, depth_mm, v_mm)
