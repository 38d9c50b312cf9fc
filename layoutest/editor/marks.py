"""What the eye and the hand are at on the sheet, as plain values; the picture on top of it is a function of them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, NamedTuple

from layoutest.drawing.primitives import Box

if TYPE_CHECKING:
    from layoutest.cover.covering import Covering
    from layoutest.drawing.primitives import Point, Primitive
    from layoutest.live.lit import LitPiece

FLAG_PX = 11.0
DOT_PX = 4.0


class Flag(NamedTuple):
    """A snag's flag in px: the place it stands on, and the middle of its sign. One not `told` is a dot at its foot."""

    foot: Point
    sign: Point
    severity: str
    number: int
    told: bool = True

    @property
    def box(self) -> Box:
        """What words keep clear of."""
        x, y = self.sign if self.told else self.foot
        reach = FLAG_PX + 2 if self.told else DOT_PX
        return Box(x - reach, y - reach, x + reach, y + reach)


class Held(NamedTuple):
    """What is dragged: the legs, the covering before, how far on the sheet, and the leg whose length changes.

    `figure` is what is typed for that length, empty for the length itself.
    """

    legs: tuple[str, ...]
    before: Covering
    by: tuple[int, int]
    grows: str = ""
    figure: str = ""


class Hold(NamedTuple):
    """A place on the sheet in mm, and what it holds on to: `node`, `leg` or `grid`."""

    at: Point
    on: str = "grid"


class Rubber(NamedTuple):
    """A leg that is being drawn: where it begins, where it would end, and half its covered diameter."""

    start: Hold
    end: Hold | None = None
    half_mm: float = 0.0
    figure: str = ""


@dataclass(frozen=True, slots=True)
class SheetMarks:
    """Everything that is told on top of the sheet.

    `words` have found their places already, those of one thing together; `waiting` are those that waited for the
    pointer. `boxed` is the box drawn to pick, its corners in px; `cursor` the place of the grid cursor in mm;
    `depth_mm` the level, or the y in an elevation, at which most lies; `empty` what stands on an empty sheet.
    """

    words: tuple[tuple[Primitive, ...], ...] = ()
    waiting: tuple[Primitive, ...] = ()
    flags: tuple[Flag, ...] = ()
    lit: tuple[LitPiece, ...] = ()
    picked: frozenset[str] = frozenset()
    held: Held | None = None
    rubber: Rubber | None = None
    boxed: Box | None = None
    cursor: Point | None = None
    pointer: Point | None = None
    depth_mm: int = 0
    empty: str = ""
