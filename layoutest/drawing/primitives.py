"""What pictures are made of. Nothing here knows what a pipe is, nor a screen, nor a page.

Coordinates are in the units of the picture: millimetres with y up for what is drawn to scale, logical pixels with y
down for panels. Colours and weights go by role (`assets/look.toml`), so that one picture serves every theme and paper.
A colour role is a name of the look, or `tint:HF` (a service's tint) or `body:HF` (the tint mixed with the sheet).
A style is a role of line: it gives the weight, and the colour where none is named. An empty role draws nothing.
"""

from __future__ import annotations

from typing import Literal, NamedTuple

Point = tuple[float, float]
Size = Literal["tiny", "base", "lead", "figure", "money"]
Align = Literal["left", "middle", "right"]


class Box(NamedTuple):
    """An upright rectangle: from its low corner to its high one."""

    low_x: float
    low_y: float
    high_x: float
    high_y: float


class Polyline(NamedTuple):
    """A line through points.

    `width` is its width in the units of the picture, on top of the weight of its style; `dash` a key of the look's
    dashes. `ticks` are distances along it at which a stroke crosses it at a right angle, reaching `tick` to each side
    and the look's overshoot beyond.
    """

    points: tuple[Point, ...]
    style: str
    colour: str = ""
    width: float = 0.0
    closed: bool = False
    dash: str = ""
    ticks: tuple[float, ...] = ()
    tick: float = 0.0


class Polygon(NamedTuple):
    """A filled shape; its outline is drawn where a style is named."""

    points: tuple[Point, ...]
    fill: str
    style: str = ""
    colour: str = ""


class Rect(NamedTuple):
    """An upright rectangle from its upper left corner in a picture with y down; `radius` is a role of the look."""

    x: float
    y: float
    width: float
    height: float
    fill: str = ""
    style: str = ""
    colour: str = ""
    radius: Literal["sheet", "field", "dialog"] = "sheet"


class Circle(NamedTuple):
    """A circle, filled, outlined or both; the radius is in the units of the picture."""

    centre: Point
    radius: float
    fill: str = ""
    style: str = ""
    colour: str = ""


class Hatch(NamedTuple):
    """The hatching of a shape, without its fill or outline; `pattern` is `offcut`, `scrap` or `structure`."""

    points: tuple[Point, ...]
    pattern: str
    colour: str


class Text(NamedTuple):
    """A line of words. `at` lies at the left, middle or right of the words and half-way up their capitals.

    The size goes by role, or, where `cap_height` is given, by the height of a capital in the units of the picture.
    `turn_deg` is 0 or 90 (read from the right). `halo` is the colour role of a rim of 3 px round the letters.
    """

    at: Point
    words: str
    size: Size = "base"
    bold: bool = False
    colour: str = "text"
    align: Align = "left"
    turn_deg: int = 0
    halo: str = ""
    cap_height: float = 0.0


class Clip(NamedTuple):
    """Parts of which only what lies inside a rectangle is seen; for what scrolls."""

    box: Box
    parts: tuple[Primitive, ...]


Primitive = Polyline | Polygon | Rect | Circle | Hatch | Text | Clip


class Group(NamedTuple):
    """Primitives that belong together, by name.

    `details` holds one list for every picture, or four from the coarsest to the finest: on a screen the one is drawn
    that fits how many pixels `width` has there (under 3, 8, 14, more); paper takes the last.
    """

    name: str
    box: Box
    details: tuple[tuple[Primitive, ...], ...]
    width: float = 0.0


DETAIL_FROM_PX = (3.0, 8.0, 14.0)


def detail(group: Group, scale: float) -> tuple[Primitive, ...]:
    """The list of a group that is drawn at a scale, in logical pixels for each unit of the picture."""
    if len(group.details) == 1:
        return group.details[0]
    return group.details[sum(group.width * scale >= least for least in DETAIL_FROM_PX)]
