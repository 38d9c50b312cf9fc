"""Painting strokes: short tuples of whole device pixels, colours and pictures.

A stroke's coordinates are relative to an origin that is given when it is painted, so that a moved view costs nothing.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pygame

if TYPE_CHECKING:
    from collections.abc import Iterable

FILL, PICTURE, TILED, DISC, WITHIN = range(5)
# Its kind and what that needs: see `paint`.
Stroke = tuple[Any, ...]


def paint(surface: pygame.Surface, strokes: Iterable[Stroke], ox: int, oy: int) -> None:
    """Paint strokes with their origin at a pixel."""
    fill, blit = surface.fill, surface.blit
    for stroke in strokes:
        kind = stroke[0]
        if kind == FILL:
            _, colour, x, y, w, h = stroke
            fill(colour, (x + ox, y + oy, w, h))
        elif kind == PICTURE:
            blit(stroke[1], (stroke[2] + ox, stroke[3] + oy))
        elif kind == TILED:
            stroke[1].paint(surface, stroke[2] + ox, stroke[3] + oy)
        elif kind == DISC:
            pygame.draw.aacircle(surface, stroke[1], (stroke[2] + ox, stroke[3] + oy), stroke[4], stroke[5])
        else:
            _within(surface, stroke, ox, oy)


def _within(surface: pygame.Surface, stroke: Stroke, ox: int, oy: int) -> None:
    x, y, w, h = stroke[1]
    before = surface.get_clip()
    surface.set_clip(before.clip(pygame.Rect(x + ox, y + oy, w, h)))
    paint(surface, stroke[2], ox, oy)
    surface.set_clip(before)
