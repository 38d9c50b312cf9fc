"""Shapes with smooth rims: painted four times as large, shrunk, and kept as pictures of their own.

The library's own smooth lines come out otherwise where a clip cuts them; a picture that is laid on comes out the same
whichever part of it is painted.
"""

from __future__ import annotations

from functools import lru_cache
from math import floor
from typing import TYPE_CHECKING, NamedTuple

import pygame

if TYPE_CHECKING:
    from collections.abc import Sequence

    from layoutest.drawing.look import Rgb
    from layoutest.drawing.primitives import Point

# Parts of a pixel in which corners are told and rims are painted.
FINE = 4
# Larger shapes are painted in squares, each made when it is first seen.
TILE_PX = 64
KEPT_SMALL, KEPT_LARGE, KEPT_TILES = 8000, 2000, 600
FinePoint = tuple[int, int]


class Placed(NamedTuple):
    """A picture and the pixel of its upper left corner."""

    picture: pygame.Surface | Tiled
    x: int
    y: int


class Tiled:
    """A polygon too large for one picture."""

    __slots__ = ("_colour", "_height", "_points", "_width")

    def __init__(self, points: tuple[FinePoint, ...], colour: Rgb, width: int, height: int) -> None:
        self._points, self._colour, self._width, self._height = points, colour, width, height

    def paint(self, surface: pygame.Surface, x: int, y: int) -> None:
        """Paint what a surface shows of it, with its upper left corner at a pixel."""
        seen = surface.get_clip().clip((x, y, self._width, self._height))
        if not seen.width or not seen.height:
            return
        for row in range((seen.top - y) // TILE_PX, (seen.bottom - 1 - y) // TILE_PX + 1):
            for column in range((seen.left - x) // TILE_PX, (seen.right - 1 - x) // TILE_PX + 1):
                tile = _tile(self._points, self._colour, column, row)
                left, top = x + column * TILE_PX, y + row * TILE_PX
                if isinstance(tile, pygame.Surface):
                    surface.blit(tile, (left, top))
                elif tile:
                    surface.fill(self._colour, (left, top, TILE_PX, TILE_PX))


def polygon(points: Sequence[Point], colour: Rgb) -> Placed:
    """A filled polygon; its corners are in pixels, at the nearest quarter."""
    fine = _within_outline([(floor(x * FINE + 0.5), floor(y * FINE + 0.5)) for x, y in points])
    xs, ys = [x for x, _ in fine], [y for _, y in fine]
    left, top = min(xs) // FINE, min(ys) // FINE
    width, height = max(xs) // FINE - left + 1, max(ys) // FINE - top + 1
    corners = tuple((x - left * FINE, y - top * FINE) for x, y in fine)
    if max(width, height) <= TILE_PX:
        return Placed(_small(corners, colour, width, height), left, top)
    return Placed(_large(corners, colour, width, height), left, top)


def bar(start: Point, end: Point, weight: float, colour: Rgb) -> Placed:
    """A straight line with square ends."""
    (x0, y0), (x1, y1) = start, end
    dx, dy = x1 - x0, y1 - y0
    length = max((dx * dx + dy * dy) ** 0.5, 1e-9)
    ox, oy = -dy / length * weight / 2, dx / length * weight / 2
    return polygon(((x0 + ox, y0 + oy), (x1 + ox, y1 + oy), (x1 - ox, y1 - oy), (x0 - ox, y0 - oy)), colour)


def disc(centre: Point, radius: float, colour: Rgb, weight: float = 0.0) -> Placed:
    """A disc, or, with a weight, a ring that reaches as far inwards from the radius."""
    x, y = floor(centre[0] * FINE + 0.5), floor(centre[1] * FINE + 0.5)
    reach, inner = max(round(radius * FINE), 1), max(round((radius - weight) * FINE), 0) if weight else 0
    left, top = (x - reach) // FINE, (y - reach) // FINE
    return Placed(_round(x - left * FINE, y - top * FINE, reach, inner, colour), left, top)


def _within_outline(fine: list[FinePoint]) -> list[FinePoint]:
    """Corners moved to the last fine pixel inside: a painted polygon takes in the pixels of its outline."""
    ahead = [*fine[1:], fine[0]]
    area = sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in zip(fine, ahead, strict=True))
    turn = 1 if area > 0 else -1
    # To which side of each edge the outside lies: to the right, below.
    right = [(y1 - y0) * turn > 0 for (_, y0), (_, y1) in zip(fine, ahead, strict=True)]
    below = [(x1 - x0) * turn < 0 for (x0, _), (x1, _) in zip(fine, ahead, strict=True)]
    return [
        (x - (right[number] or right[number - 1]), y - (below[number] or below[number - 1]))
        for number, (x, y) in enumerate(fine)
    ]


@lru_cache(KEPT_SMALL)
def _small(points: tuple[FinePoint, ...], colour: Rgb, width: int, height: int) -> pygame.Surface:
    return _shrunk(points, colour, width, height)


@lru_cache(KEPT_LARGE)
def _large(points: tuple[FinePoint, ...], colour: Rgb, width: int, height: int) -> Tiled:
    return Tiled(points, colour, width, height)


@lru_cache(KEPT_TILES)
def _tile(points: tuple[FinePoint, ...], colour: Rgb, column: int, row: int) -> pygame.Surface | bool:
    """One square of a polygon; True where all of it is filled, False where none is."""
    side = TILE_PX * FINE
    left, top = column * side, row * side
    near = clipped(points, left - FINE, top - FINE, left + side + FINE, top + side + FINE)
    if not near:
        return False
    at = [(floor(x + 0.5) - left, floor(y + 0.5) - top) for x, y in near]
    corners = ((-FINE, -FINE), (side + FINE, -FINE), (side + FINE, side + FINE), (-FINE, side + FINE))
    if set(at) == set(corners):
        return True
    return _shrunk(at, colour, TILE_PX, TILE_PX)


def _shrunk(points: Sequence[FinePoint], colour: Rgb, width: int, height: int) -> pygame.Surface:
    large = _ground(width, height, colour)
    pygame.draw.polygon(large, (*colour, 255), points)
    return pygame.transform.smoothscale(large, (width, height))


@lru_cache(KEPT_LARGE)
def corners(radius: int, colour: Rgb, weight: int) -> list[pygame.Surface]:
    """The corners of a rounded rectangle or of its frame: upper left and right, lower left and right."""
    reach = radius * FINE
    round_ = _round(reach, reach, reach, max(reach - weight * FINE, 0) if weight else 0, colour)
    return [round_.subsurface((x, y, radius, radius)) for y in (0, radius) for x in (0, radius)]


@lru_cache(KEPT_LARGE)
def _round(x: int, y: int, reach: int, inner: int, colour: Rgb) -> pygame.Surface:
    width, height = -(-(x + reach) // FINE) + 1, -(-(y + reach) // FINE) + 1
    large = _ground(width, height, colour)
    pygame.draw.circle(large, (*colour, 255), (x, y), reach)
    if inner:
        pygame.draw.circle(large, (*colour, 0), (x, y), inner)
    return pygame.transform.smoothscale(large, (width, height))


def _ground(width: int, height: int, colour: Rgb) -> pygame.Surface:
    large = pygame.Surface((width * FINE, height * FINE), pygame.SRCALPHA)
    # Nothing of another colour may come into the rims.
    large.fill((*colour, 0))
    return large


def clipped(points: Sequence[Point], left: float, top: float, right: float, bottom: float) -> list[Point]:
    """What of a polygon lies in an upright rectangle (Sutherland and Hodgman 1974)."""
    kept = list(points)
    for axis, limit, sign in ((0, left, 1), (0, right, -1), (1, top, 1), (1, bottom, -1)):
        made: list[Point] = []
        for number, here in enumerate(kept):
            last = kept[number - 1]
            inside, was = sign * (here[axis] - limit) >= 0, sign * (last[axis] - limit) >= 0
            if inside != was:
                made.append(_crossing(last, here, axis, limit))
            if inside:
                made.append(here)
        kept = made
    return kept


def _crossing(one: Point, other: Point, axis: int, limit: float) -> Point:
    share = (limit - one[axis]) / (other[axis] - one[axis])
    across = one[1 - axis] + (other[1 - axis] - one[1 - axis]) * share
    return (limit, across) if axis == 0 else (across, limit)
