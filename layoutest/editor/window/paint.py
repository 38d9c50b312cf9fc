"""Painting scenes: only what changed since the last, so that a drag costs the same on a small sheet and a large one."""

from __future__ import annotations

from itertools import compress
from math import ceil, floor
from operator import is_not
from typing import TYPE_CHECKING

import pygame

from layoutest.drawing.look import load_look
from layoutest.drawing.primitives import Box, Circle, Polygon, Polyline
from layoutest.editor.window.strokes import Strokes, paint

if TYPE_CHECKING:
    from collections.abc import Iterable

    from layoutest.drawing.look import Rgb
    from layoutest.drawing.primitives import Group, Primitive
    from layoutest.editor.picture import Panel, Scene, SheetScene
    from layoutest.editor.window.strokes import Stroke
    from layoutest.editor.window.type import Type

DETAIL_FROM_PX = (3.0, 8.0, 14.0)
GRID_FROM_PX = (8.0, 24.0)
MARGIN_PX = 8
# With more changed groups than this the whole sheet is painted at once.
MOST_APART = 400
# A line that is longer than this from afar shows its dashes.
FAR_DASHED_PX = 90.0
# What is thinner than this is a whole rectangle of pixels from afar.
FAR_THIN_PX = 4.0
FarLine = tuple["Group", "Rgb | None", float, float, float, float]
PxBox = tuple[int, int, int, int]


class Painter:
    """Paints scenes on a surface. It keeps the sheet, the panels and the strokes of every group it has painted."""

    def __init__(self, surface: pygame.Surface, theme: str, type_: Type) -> None:
        self.surface, self.scale = surface, type_.scale
        self.theme = load_look().themes[theme]
        self.strokes = Strokes(self.theme, type_)
        self._layer = pygame.Surface((1, 1))
        self._scene: SheetScene | None = None
        self._origin = (0, 0)
        self._made: dict[str, tuple[Group, list[Stroke]]] = {}
        self._made_at = 0.0
        self._far: dict[str, FarLine] = {}
        self._panels: dict[str, tuple[Panel, pygame.Surface]] = {}
        self._parts: dict[str, dict[Primitive, list[Stroke]]] = {}

    def forget(self) -> None:
        """Begin anew with the sheet, as after a zoom."""
        self._scene, self._made = None, {}

    def paint(self, scene: Scene) -> None:
        """Paint a scene."""
        sheet = scene.sheet
        left, top, width, height = self._px_box(sheet.box)
        self._paint_layer(sheet, (width, height))
        self.surface.blit(self._layer, (left, top))
        before = self.surface.get_clip()
        self.surface.set_clip((left, top, width, height))
        paint(self.surface, self.strokes.of(sheet.over, self.scale, up=False), 0, 0)
        self.surface.set_clip(before)
        for panel in scene.panels:
            self._paint_panel(panel)
        paint(self.surface, self.strokes.of(scene.top, self.scale, up=False), 0, 0)

    def _px_box(self, box: Box) -> PxBox:
        left, top = round(box.low_x * self.scale), round(box.low_y * self.scale)
        return left, top, max(round(box.high_x * self.scale) - left, 1), max(round(box.high_y * self.scale) - top, 1)

    def _paint_panel(self, panel: Panel) -> None:
        left, top, width, height = self._px_box(panel.box)
        kept = self._panels.get(panel.name)
        if (
            kept is None
            or kept[0].parts is not panel.parts
            or kept[0].box != panel.box
            or kept[0].ground != panel.ground
        ):
            surface = kept[1] if kept and kept[1].get_size() == (width, height) else _like(self.surface, width, height)
            surface.fill(self.strokes.rgb(panel.ground))
            paint(surface, self._panel_strokes(panel), -left, -top)
            kept = (panel, surface)
            self._panels[panel.name] = kept
        self.surface.blit(kept[1], (left, top))

    def _panel_strokes(self, panel: Panel) -> list[Stroke]:
        """The strokes of a panel. Most of its parts are those of the last time: they keep their strokes."""
        old, new = self._parts.get(panel.name, {}), {}
        strokes: list[Stroke] = []
        for part in panel.parts:
            made = old.get(part)
            if made is None:
                made = self.strokes.of((part,), self.scale, up=False)
            new[part] = made
            strokes += made
        self._parts[panel.name] = new
        return strokes

    # The sheet ------------------------------------------------------------------------------------------------------

    def _paint_layer(self, sheet: SheetScene, size: tuple[int, int]) -> None:
        """Bring the layer up to date: strips that came into view, groups that changed, or everything."""
        grow = sheet.view.scale * self.scale
        left, top, *_ = self._px_box(sheet.box)
        # Where the sheet's own zero lies on the layer.
        zero = -round(sheet.view.left_mm * grow) - left, round(sheet.view.top_mm * grow) - top
        before = self._scene
        if self._layer.get_size() != size:
            self._layer, before = _like(self.surface, *size), None
        if before is not None and (before.view.scale != sheet.view.scale or before.grid_mm != sheet.grid_mm):
            before = None
        if self._made_at != grow:
            self._made, self._made_at = {}, grow
        whole = (0, 0, *size)
        if before is None:
            self._repaint(sheet, zero, whole, grow)
        else:
            dirty = self._moved(zero, size)
            if dirty is None:
                self._repaint(sheet, zero, whole, grow)
            else:
                dirty += self._changed(before, sheet, zero, grow, size)
                for box in dirty:
                    self._repaint(sheet, zero, box, grow)
        self._scene, self._origin = sheet, zero

    def _moved(self, zero: tuple[int, int], size: tuple[int, int]) -> list[PxBox] | None:
        """Scroll the layer; the strips that came into view, or None where nothing of it is left."""
        dx, dy = zero[0] - self._origin[0], zero[1] - self._origin[1]
        width, height = size
        if not dx and not dy:
            return []
        if abs(dx) >= width or abs(dy) >= height:
            return None
        self._layer.scroll(dx, dy)
        strips: list[PxBox] = []
        if dx:
            strips.append((0 if dx > 0 else width + dx, 0, abs(dx), height))
        if dy:
            strips.append((0, 0 if dy > 0 else height + dy, width, abs(dy)))
        return strips

    def _changed(
        self, before: SheetScene, sheet: SheetScene, zero: tuple[int, int], grow: float, size: tuple[int, int]
    ) -> list[PxBox]:
        """The boxes in which a group changed, came or went."""
        if before.groups is sheet.groups:
            return []
        old, new = before.groups, sheet.groups
        names = list(compress(new, map(is_not, new.values(), map(old.get, new))))
        gone = [old[name] for name in names if name in old]
        if len(old) + len(names) - len(gone) != len(new):
            gone += [group for name, group in old.items() if name not in new]
        boxes = [self._seen(group.box, zero, grow) for group in (*gone, *(new[name] for name in names))]
        whole = (0, 0, *size)
        boxes = [box for box in boxes if _overlaps(box, whole)]
        if len(boxes) > MOST_APART:
            return [whole]
        return _merged([_cut(box, whole) for box in boxes])

    def _seen(self, box: Box, zero: tuple[int, int], grow: float) -> PxBox:
        margin = ceil(MARGIN_PX * self.scale)
        left, top = floor(zero[0] + box.low_x * grow) - margin, floor(zero[1] - box.high_y * grow) - margin
        right, bottom = ceil(zero[0] + box.high_x * grow) + margin, ceil(zero[1] - box.low_y * grow) + margin
        return left, top, right - left, bottom - top

    def _repaint(self, sheet: SheetScene, zero: tuple[int, int], box: PxBox, grow: float) -> None:
        """Paint all that touches a box of the layer, from the ground up."""
        x, y, width, height = box
        self._layer.set_clip(box)
        self._layer.fill(self.strokes.rgb("sheet"), box)
        self._paint_grid(sheet, zero, box, grow)
        margin = MARGIN_PX * self.scale
        reach = Box(
            (x - zero[0] - margin) / grow,
            (zero[1] - y - height - margin) / grow,
            (x + width - zero[0] + margin) / grow,
            (zero[1] - y + margin) / grow,
        )
        groups, made, layer = sheet.groups, self._made, self._layer
        far_mm = DETAIL_FROM_PX[0] / sheet.view.scale
        fill, far, (zero_x, zero_y) = layer.fill, self._far, zero
        weight = self.strokes.weight("far")
        for name in sheet.boxes.touching(reach):
            group = groups[name]
            if 0 < group.width < far_mm:
                # By far the most frequent on a large sheet seen whole: one rectangle of pixels, or nothing.
                line = far.get(name)
                if line is None or line[0] is not group:
                    line = far[name] = self._far_line(group)
                _, rgb, x0, y0, x1, y1 = line
                if rgb is None:
                    continue
                across, up = (x1 - x0) * grow, (y1 - y0) * grow
                if across < FAR_DASHED_PX and up < FAR_DASHED_PX and (across < FAR_THIN_PX or up < FAR_THIN_PX):
                    wide, high = max(int(across), weight), max(int(up), weight)
                    fill(rgb, (zero_x + floor(x0 * grow), zero_y - floor(y1 * grow), wide, high))
                    continue
            kept = made.get(name)
            if kept is None or kept[0] is not group:
                kept = made[name] = (group, self._strokes_of(group, sheet.view.scale, grow))
            paint(layer, kept[1], *zero)
        self._layer.set_clip(None)

    def _far_line(self, group: Group) -> FarLine:
        """What of a group is seen from afar: a line or a box by its low and high corner, or nothing."""
        parts = group.details[0]
        if not parts:
            return group, None, 0.0, 0.0, 0.0, 0.0
        part = parts[0]
        if len(parts) == 1 and isinstance(part, Circle):
            (x, y), reach = part.centre, part.radius
            return group, self.strokes.rgb(part.fill), x - reach, y - reach, x + reach, y + reach
        if len(parts) == 1 and isinstance(part, Polyline | Polygon):
            xs, ys = [x for x, _ in part.points], [y for _, y in part.points]
            colour = part.colour if isinstance(part, Polyline) else part.fill
            if len(part.points) == 2 or len(set(xs)) == len(set(ys)) == 2:
                return group, self.strokes.rgb(colour), min(xs), min(ys), max(xs), max(ys)
        return group, (0, 0, 0), 0.0, 0.0, 1e9, 1e9

    def _strokes_of(self, group: Group, scale: float, grow: float) -> list[Stroke]:
        details = group.details
        number = 0
        if len(details) > 1:
            px = group.width * scale
            number = sum(px >= least for least in DETAIL_FROM_PX)
        return self.strokes.of(details[number], grow, up=True)

    def _paint_grid(self, sheet: SheetScene, zero: tuple[int, int], box: PxBox, grow: float) -> None:
        """Minor lines from a pitch of 8 px, major ones, ten steps apart, from 24; else the next step of ten."""
        step = max(sheet.grid_mm, 1) * grow
        least_minor, least_major = (px * self.scale for px in GRID_FROM_PX)
        while step < least_minor:
            step *= 10
        x, y, width, height = box
        fill = self._layer.fill
        for pitch, role, least in ((step, "grid_minor", least_minor), (step * 10, "grid_major", least_major)):
            if pitch < least:
                continue
            colour = self.strokes.rgb(role)
            for number in range(ceil((x - zero[0]) / pitch) - 1, floor((x + width - zero[0]) / pitch) + 2):
                fill(colour, (zero[0] + floor(number * pitch + 0.5), y, 1, height))
            for number in range(ceil((y - zero[1]) / pitch) - 1, floor((y + height - zero[1]) / pitch) + 2):
                fill(colour, (x, zero[1] + floor(number * pitch + 0.5), width, 1))


def _like(surface: pygame.Surface, width: int, height: int) -> pygame.Surface:
    return pygame.Surface((width, height), 0, surface)


def _overlaps(one: PxBox, other: PxBox) -> bool:
    return (
        one[0] < other[0] + other[2]
        and other[0] < one[0] + one[2]
        and one[1] < other[1] + other[3]
        and other[1] < one[1] + one[3]
    )


def _cut(box: PxBox, to: PxBox) -> PxBox:
    left, top = max(box[0], to[0]), max(box[1], to[1])
    right, bottom = min(box[0] + box[2], to[0] + to[2]), min(box[1] + box[3], to[1] + to[3])
    return left, top, right - left, bottom - top


def _merged(boxes: Iterable[PxBox]) -> list[PxBox]:
    """Boxes that overlap become one, so that nothing is painted twice."""
    merged: list[PxBox] = []
    for box in boxes:
        here = box
        while hit := next((one for one in merged if _overlaps(one, here)), None):
            merged.remove(hit)
            left, top = min(hit[0], here[0]), min(hit[1], here[1])
            right, bottom = max(hit[0] + hit[2], here[0] + here[2]), max(hit[1] + hit[3], here[1] + here[3])
            here = (left, top, right - left, bottom - top)
        merged.append(here)
    return merged
