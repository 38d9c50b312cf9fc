"""Painting scenes: only what changed since the last one, so that a drag costs the same on every size of sheet."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pygame

from layoutest.drawing.look import load_look
from layoutest.editor.window.layer import Layer, exact_zero
from layoutest.editor.window.snapping import whole
from layoutest.editor.window.strokes import Strokes, paint

if TYPE_CHECKING:
    from layoutest.drawing.primitives import Box, Point, Primitive
    from layoutest.editor.picture import Panel, Scene, SheetScene
    from layoutest.editor.window.layer import PxBox
    from layoutest.editor.window.strokes import Stroke
    from layoutest.editor.window.type import Type


class Painter:
    """Paints scenes on a surface, at the scale of its type. It keeps the sheet, the panels and the strokes of both."""

    def __init__(self, surface: pygame.Surface, theme: str, type_: Type) -> None:
        self.surface, self.scale = surface, type_.scale
        self._strokes = Strokes(load_look().themes[theme], type_)
        self.layer = Layer(self._strokes)
        self._panels: dict[str, tuple[Panel, pygame.Surface]] = {}
        self._kept: dict[str, dict[Primitive, list[Stroke]]] = {}

    def paint(self, scene: Scene) -> None:
        """Paint a scene."""
        sheet = scene.sheet
        box = self._px_box(sheet.box)
        self.layer.update(sheet, self.surface, box)
        self.surface.blit(self.layer.surface, box[:2])
        self._paint_over(sheet, box)
        for panel in scene.panels:
            self._paint_panel(panel)
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
        paint(self.surface, self._strokes.of(sheet.over, self.scale, up=False, off=off), 0, 0)
        self.surface.set_clip(before)

    def _paint_panel(self, panel: Panel) -> None:
        left, top, width, height = self._px_box(panel.box)
        kept = self._panels.get(panel.name)
        if kept is None or not _same(kept[0], panel):
            surface = kept[1] if kept and kept[1].get_size() == (width, height) else None
            surface = surface or pygame.Surface((width, height), 0, self.surface)
            surface.fill(self._strokes.rgb(panel.ground))
            paint(surface, self._panel_strokes(panel), -left, -top)
            kept = self._panels[panel.name] = (panel, surface)
        self.surface.blit(kept[1], (left, top))

    def _panel_strokes(self, panel: Panel) -> list[Stroke]:
        """The strokes of a panel. Most of its parts are those of the last time: they keep their strokes."""
        old, new = self._kept.get(panel.name, {}), {}
        strokes: list[Stroke] = []
        for part in panel.parts:
            made = old.get(part)
            if made is None:
                made = self._strokes.of((part,), self.scale, up=False)
            new[part] = made
            strokes += made
        self._kept[panel.name] = new
        return strokes


def _same(one: Panel, other: Panel) -> bool:
    return one.parts is other.parts and one.box == other.box and one.ground == other.ground
