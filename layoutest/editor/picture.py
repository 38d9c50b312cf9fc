"""What the window shows, as data: the sheet to scale, what is told on top of it, and the panels round it."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Mapping

    from layoutest.drawing.boxes import Boxes
    from layoutest.drawing.primitives import Box, Group, Point, Primitive

Measure = Callable[[str, str, bool], float]
"""Width in logical pixels of words in a size (a role of the look), SemiBold or not."""


class View(NamedTuple):
    """Which part of the sheet is seen: logical px per millimetre, and the sheet's millimetres at the window's corner.

    The sheet's plane is x and y in a plan, x and level in an elevation; up is positive.
    """

    scale: float
    left_mm: float
    top_mm: float

    def to_px(self, point: Point) -> Point:
        """Where a point of the sheet is seen."""
        return (point[0] - self.left_mm) * self.scale, (self.top_mm - point[1]) * self.scale

    def to_mm(self, point: Point) -> Point:
        """Which point of the sheet is seen at a place."""
        return self.left_mm + point[0] / self.scale, self.top_mm - point[1] / self.scale


class Panel(NamedTuple):
    """A part of the window with its own ground. It is painted again only when `parts` is another object."""

    name: str
    box: Box
    ground: str
    parts: tuple[Primitive, ...]


class SheetScene(NamedTuple):
    """The sheet. `groups` are in the sheet's millimetres and keep their identity while they do not change.

    `boxes` finds them by place, in the order in which they are drawn. `grid_mm` is the layout's grid. `over` is in
    logical pixels of the window and painted on top at every frame.
    """

    box: Box
    view: View
    grid_mm: int
    groups: Mapping[str, Group]
    boxes: Boxes
    over: tuple[Primitive, ...]


class Scene(NamedTuple):
    """Everything the window shows. `top` is painted last: dialogs, drop-down lists, tooltips."""

    width: float
    height: float
    sheet: SheetScene
    panels: tuple[Panel, ...]
    top: tuple[Primitive, ...]
    title: str
    cursor: str = "arrow"
