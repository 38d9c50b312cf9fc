"""Painting scenes: only what changed since the last one, so that a drag costs the same on every size of sheet."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layoutest.drawing.look import load_look
from layoutest.editor.window.brush import paint
from layoutest.editor.window.layer import Layer, exact_zero
from layoutest.editor.window.sides import Sides
from layoutest.editor.window.snapping import whole
from layoutest.editor.window.strokes import Strokes

if TYPE_CHECKING:
    import pygame

    from layoutest.drawing.primitives import Box, Point, Primitive
    from layoutest.editor.picture import Scene, SheetScene
    from layoutest.editor.window.brush import Stroke
    from layoutest.editor.window.layer import PxBox
    from layoutest.editor.window.type import Type


class Painter:
    """Paints scenes on a surface, at the scale of its type. It keeps the sheet, the panels and the strokes of both."""

    def __init__(self, surface: pygame.Surface, theme: str, type_: Type) -> None:
        self.surface, self.scale = surface, type_.scale
        self._strokes = Strokes(load_look().themes[theme], type_)
        self.layer = Layer(self._strokes)
        self._sides = Sides(self._strokes, self.scale)
        self._over: dict[Primitive, list[Stroke]] = {}
        self._over_off: Point = (0.0, 0.0)

    def paint(self, scene: Scene) -> None:
        """Paint a scene."""
        sheet = scene.sheet
        box = self._px_box(sheet.box)
        self.layer.update(sheet, self.surface, box)
        self.surface.blit(self.layer.surface, box[:2])
        self._paint_over(sheet, box)
        for panel in scene.panels:
            place = self._px_box(panel.box)
            self.surface.blit(self._sides.surface_of(panel, place, self.surface), place[:2])
        paint(self.surface, self._strokes.of(scene.top, self.scale, up=False), 0, 0)

    def _px_box(self, box: Box) -> PxBox:
        left, top = whole(box.low_x * self.scale), whole(box.low_y * self.scale)
        return left, top, max(whole(box.high_x * self.scale) - left, 1), max(whole(box.high_y * self.scale) - top, 1)

    def _paint_over(self, sheet: SheetScene, box: PxBox) -> None:
        # What lies over the sheet moves with it by whole pixels, so that it keeps to what it marks.
        x, y = exact_zero(sheet, self.scale, box)
        off: Point = (whole(x) - x, whole(y) - y)
        before = self.surface.get_clip()
        self.surface.set_clip(box)
        known = self._over if self._over_off == off else {}
        over: dict[Primitive, list[Stroke]] = {}
        for part in sheet.over:
            made = known.get(part)
            if made is None:
                made = self._strokes.of((part,), self.scale, up=False, off=off)
            over[part] = made
            paint(self.surface, made, 0, 0)
        self._over, self._over_off = over, off
        self.surface.set_clip(before)
