"""The panels on surfaces of their own: only what changed of one is painted again."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import pygame

from layoutest.editor.window.brush import DISC, FILL, PICTURE, WITHIN, paint

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from layoutest.drawing.primitives import Primitive
    from layoutest.editor.picture import Panel
    from layoutest.editor.window.brush import Stroke
    from layoutest.editor.window.layer import PxBox
    from layoutest.editor.window.strokes import Strokes

# With more of a panel changed than this share it is painted at once.
MOST_CHANGED = 0.6


class Made(NamedTuple):
    """The strokes of a part and the box round them, in pixels of the window."""

    strokes: list[Stroke]
    box: pygame.Rect


class Sides:
    """Keeps each panel as it was painted, with the strokes of its parts."""

    def __init__(self, strokes: Strokes, scale: float) -> None:
        self._strokes, self._scale = strokes, scale
        self._kept: dict[str, tuple[Panel, pygame.Surface, dict[Primitive, Made]]] = {}

    def surface_of(self, panel: Panel, box: PxBox, like: pygame.Surface) -> pygame.Surface:
        """The panel as it is now."""
        kept = self._kept.get(panel.name)
        if kept and kept[0].box == panel.box and kept[0].ground == panel.ground and kept[1].get_size() == box[2:]:
            if kept[0].parts is panel.parts:
                return kept[1]
            before, surface, old = kept
            made = self._made(panel.parts, old)
            dirty = _dirty(before.parts, panel.parts, old, made, pygame.Rect(box))
        else:
            surface, made = pygame.Surface(box[2:], 0, like), self._made(panel.parts, {})
            dirty = [pygame.Rect(box)]
        for place in dirty:
            self._repaint(surface, panel, made, place, box)
        self._kept[panel.name] = (panel, surface, made)
        return surface

    def _made(self, parts: Iterable[Primitive], old: dict[Primitive, Made]) -> dict[Primitive, Made]:
        made: dict[Primitive, Made] = {}
        for part in parts:
            known = old.get(part)
            if known is None:
                strokes = self._strokes.of((part,), self._scale, up=False)
                known = Made(strokes, _round(strokes))
            made[part] = known
        return made

    def _repaint(
        self, surface: pygame.Surface, panel: Panel, made: dict[Primitive, Made], place: pygame.Rect, box: PxBox
    ) -> None:
        seen = place.move(-box[0], -box[1])
        surface.set_clip(seen)
        surface.fill(self._strokes.rgb(panel.ground))
        touches = place.colliderect
        for part in panel.parts:
            one = made[part]
            if touches(one.box):
                paint(surface, one.strokes, -box[0], -box[1])
        surface.set_clip(None)


def _dirty(
    before: Sequence[Primitive],
    after: Sequence[Primitive],
    old: dict[Primitive, Made],
    new: dict[Primitive, Made],
    whole: pygame.Rect,
) -> list[pygame.Rect]:
    """The boxes in which something came or went; all of it where parts changed their order."""
    if [part for part in before if part in new] != [part for part in after if part in old]:
        return [whole]
    changed = [old[part].box for part in before if part not in new] + [
        new[part].box for part in after if part not in old
    ]
    merged: list[pygame.Rect] = []
    for box in changed:
        here = box.clip(whole)
        while here.size != (0, 0) and (hit := here.collidelist(merged)) >= 0:
            here = here.union(merged.pop(hit))
        if here.width and here.height:
            merged.append(here)
    area = sum(box.width * box.height for box in merged)
    return merged if area <= MOST_CHANGED * whole.width * whole.height else [whole]


def _round(strokes: Iterable[Stroke]) -> pygame.Rect:
    """The box round some strokes."""
    boxes = [_box(stroke) for stroke in strokes]
    return boxes[0].unionall(boxes[1:]) if boxes else pygame.Rect(0, 0, 0, 0)


def _box(stroke: Stroke) -> pygame.Rect:
    kind = stroke[0]
    if kind == FILL:
        return pygame.Rect(stroke[2:6])
    if kind == WITHIN:
        return pygame.Rect(stroke[1])
    if kind == DISC:
        _, _, x, y, radius, weight = stroke
        reach = radius + weight + 1
        return pygame.Rect(x - reach, y - reach, 2 * reach + 1, 2 * reach + 1)
    size = stroke[1].get_size() if kind == PICTURE else stroke[1].size
    return pygame.Rect((stroke[2], stroke[3]), size)
