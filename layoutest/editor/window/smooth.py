"""Shapes with smooth rims: how much of each pixel they cover, kept as pictures of their own.

The library's own smooth lines come out otherwise where a clip cuts them; a picture that is laid on comes out the same
whichever part of it is painted.
"""

from __future__ import annotations

from functools import lru_cache
from math import ceil, floor, hypot
from typing import TYPE_CHECKING, NamedTuple

import numpy as np
import pygame

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from layoutest.drawing.look import Rgb
    from layoutest.drawing.primitives import Point

# Parts of a pixel to which corners are told, and in which round and hollow shapes are painted.
FINE = 8
# Larger shapes are painted in squares, each made when it is first seen.
TILE_PX = 32
KEPT_SHAPES, KEPT_TILES = 8000, 4000
Corners = tuple["Point", ...]


class Placed(NamedTuple):
    """A picture and the pixel of its upper left corner."""

    picture: pygame.Surface | Tiled
    x: int
    y: int


class Tiled:
    """A polygon too large for one picture."""

    __slots__ = ("_colour", "_height", "_points", "_width")

    def __init__(self, points: Corners, colour: Rgb, width: int, height: int) -> None:
        self._points, self._colour, self._width, self._height = points, colour, width, height

    @property
    def size(self) -> tuple[int, int]:
        """Its width and height."""
        return self._width, self._height

    def paint(self, surface: pygame.Surface, x: int, y: int) -> None:
        """Paint what a surface shows of it, with its upper left corner at a pixel."""
        before = surface.get_clip()
        seen = before.clip((x, y, self._width, self._height))
        if not seen.width or not seen.height:
            return
        # Tiles reach beyond the shape's own box.
        surface.set_clip(seen)
        for row in range((seen.top - y) // TILE_PX, (seen.bottom - 1 - y) // TILE_PX + 1):
            for column in range((seen.left - x) // TILE_PX, (seen.right - 1 - x) // TILE_PX + 1):
                tile = _tile(self._points, self._colour, column, row)
                left, top = x + column * TILE_PX, y + row * TILE_PX
                if isinstance(tile, pygame.Surface):
                    surface.blit(tile, (left, top))
                elif tile:
                    surface.fill(self._colour, (left, top, TILE_PX, TILE_PX))
        surface.set_clip(before)


def polygon(points: Sequence[Point], colour: Rgb) -> Placed:
    """A filled polygon; its corners are in pixels, at the nearest eighth."""
    near = [(_grained(x), _grained(y)) for x, y in points]
    return _placed(near, 0, 0, colour)


def bar(start: Point, end: Point, weight: float, colour: Rgb) -> Placed:
    """A straight line with square ends, which lie at the nearest eighth of a pixel."""
    x, y = floor(start[0]), floor(start[1])
    # Counted from a whole pixel: the same line elsewhere is the same picture, to the last digit.
    x0, y0, x1, y1 = _grained(start[0]) - x, _grained(start[1]) - y, _grained(end[0]) - x, _grained(end[1]) - y
    dx, dy = x1 - x0, y1 - y0
    half = weight / 2 / max(hypot(dx, dy), 1 / FINE)
    ox, oy = -dy * half, dx * half
    return _placed(((x0 + ox, y0 + oy), (x1 + ox, y1 + oy), (x1 - ox, y1 - oy), (x0 - ox, y0 - oy)), x, y, colour)


def _grained(value: float) -> float:
    return floor(value * FINE + 0.5) / FINE


def _placed(points: Sequence[Point], x: int, y: int, colour: Rgb) -> Placed:
    xs, ys = [x for x, _ in points], [y for _, y in points]
    left, top = floor(min(xs)), floor(min(ys))
    width, height = max(ceil(max(xs)) - left, 1), max(ceil(max(ys)) - top, 1)
    corners = tuple([(px - left, py - top) for px, py in points])
    if max(width, height) <= TILE_PX:
        return Placed(_small(corners, colour, width, height), left + x, top + y)
    return Placed(Tiled(corners, colour, width, height), left + x, top + y)


def disc(centre: Point, radius: float, colour: Rgb, weight: float = 0.0) -> Placed:
    """A disc, or, with a weight, a ring that reaches as far inwards from the radius."""
    x, y, radius = _grained(centre[0]), _grained(centre[1]), _grained(radius)
    left, top = floor(x - radius), floor(y - radius)
    return Placed(_round(x - left, y - top, radius, weight, colour), left, top)


@lru_cache(KEPT_SHAPES)
def _small(points: Corners, colour: Rgb, width: int, height: int) -> pygame.Surface:
    return _picture(covered(points, 0, 0, width, height), colour)


@lru_cache(KEPT_TILES)
def _tile(points: Corners, colour: Rgb, column: int, row: int) -> pygame.Surface | bool:
    """One square of a polygon; True where all of it is filled, False where none is."""
    share = covered(points, column * TILE_PX, row * TILE_PX, TILE_PX, TILE_PX)
    if share.min() == share.max():
        return bool(share[0, 0])
    return _picture(share, colour)


def _picture(share: NDArray[np.float64], colour: Rgb) -> pygame.Surface:
    picture = pygame.Surface(share.shape, pygame.SRCALPHA)
    picture.fill((*colour, 0))
    pygame.surfarray.pixels_alpha(picture)[:] = share * 255 + 0.5
    return picture


def covered(points: Sequence[Point], left: int, top: int, width: int, height: int) -> NDArray[np.float64]:
    """How much of each pixel of a rectangle a polygon covers, 0 to 1, by column and row."""
    edges = [(a, b) for a, b in zip(points, (*points[1:], points[0]), strict=True) if a != b]
    turns = [
        (b[0] - a[0]) * (d[1] - c[1]) - (b[1] - a[1]) * (d[0] - c[0])
        for (a, b), (c, d) in zip(edges, (*edges[1:], *edges[:1]), strict=True)
    ]
    if not any(turns):
        return np.zeros((width, height))
    if min(turns) < 0 < max(turns):
        return _covered_by_rows(edges, left, top, width, height)
    side = 1 if sum(turns) > 0 else -1
    share = np.ones((width, height))
    columns, rows = np.arange(left + 0.5, left + width), np.arange(top + 0.5, top + height)
    for (x0, y0), (x1, y1) in edges:
        # How far inside the edge the middle of a pixel lies is how much more than its half is covered.
        length = hypot(x1 - x0, y1 - y0) * side
        across, down = (y0 - y1) / length, (x1 - x0) / length
        middle = (left + width / 2 - x0) * across + (top + height / 2 - y0) * down + 0.5
        most = (abs(across) * width + abs(down) * height) / 2
        if middle - most >= 1:
            continue
        if middle + most <= 0:
            return np.zeros((width, height))
        inside = np.add.outer(columns * across, rows * down + (0.5 - x0 * across - y0 * down))
        share *= np.minimum(np.maximum(inside, 0, out=inside), 1, out=inside)
    return share


def _covered_by_rows(
    edges: Sequence[tuple[Point, Point]], left: int, top: int, width: int, height: int
) -> NDArray[np.float64]:
    """The same for a polygon with hollows: exact along rows, of which there are several to a pixel."""
    rows = top + (np.arange(height * FINE) + 0.5) / FINE
    ends = np.arange(left + 1, left + width + 1)
    winding = np.zeros((height * FINE, width))
    for (x0, y0), (x1, y1) in edges:
        if y0 == y1:
            continue
        crossed = (rows >= min(y0, y1)) & (rows < max(y0, y1))
        at = x0 + (rows[crossed] - y0) * ((x1 - x0) / (y1 - y0))
        winding[crossed] += np.clip(ends - at[:, None], 0, 1) * (1 if y1 > y0 else -1)
    share: NDArray[np.float64] = np.minimum(np.abs(winding), 1).reshape(height, FINE, width).mean(axis=1).T
    return share


@lru_cache(KEPT_SHAPES)
def corners(radius: int, colour: Rgb, weight: int) -> list[pygame.Surface]:
    """The corners of a rounded rectangle or of its frame: upper left and right, lower left and right."""
    round_ = _round(radius, radius, radius, weight, colour)
    return [round_.subsurface((x, y, radius, radius)) for y in (0, radius) for x in (0, radius)]


@lru_cache(KEPT_SHAPES)
def _round(x: float, y: float, radius: float, weight: float, colour: Rgb) -> pygame.Surface:
    columns, rows = np.arange(0.5, ceil(x + radius)) - x, np.arange(0.5, ceil(y + radius)) - y
    away = np.hypot(columns[:, None], rows[None, :])
    share = np.clip(radius + 0.5 - away, 0, 1)
    if 0 < weight < radius:
        share -= np.clip(radius - weight + 0.5 - away, 0, 1)
    return _picture(share, colour)
