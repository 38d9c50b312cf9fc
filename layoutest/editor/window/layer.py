"""The sheet's ground, grid and groups on a surface of their own, brought up to date where something changed."""

from __future__ import annotations

from itertools import compress
from math import ceil, floor
from operator import is_not
from typing import TYPE_CHECKING

import pygame

from layoutest.drawing.primitives import Box, detail
from layoutest.editor.window.afar import Afar
from layoutest.editor.window.brush import paint
from layoutest.editor.window.snapping import whole

if TYPE_CHECKING:
    from collections.abc import Iterable

    from layoutest.drawing.look import Rgb
    from layoutest.drawing.primitives import Group, Point
    from layoutest.editor.picture import SheetScene
    from layoutest.editor.window.brush import Stroke
    from layoutest.editor.window.strokes import Strokes

MINOR_FROM_PX, MAJOR_FROM_PX = 8.0, 24.0
# How far anything is painted beyond the box of its group: a tick's overshoot, the half of a line, the rim of a break.
MARGIN_PX = 8
# With more changed groups than this, all that is seen is painted at once.
MOST_APART = 400
PxBox = tuple[int, int, int, int]


class Layer:
    """The painted sheet. It keeps what it has painted and the strokes of every group that it has seen."""

    def __init__(self, strokes: Strokes) -> None:
        self._strokes, self._scale = strokes, strokes.scale
        self.surface = pygame.Surface((1, 1))
        self._sheet: SheetScene | None = None
        # Where the sheet's own zero lies on the layer.
        self._zero = (0, 0)
        self._grow = 0.0
        self._afar = Afar(strokes)
        self._made: dict[str, tuple[Group, list[Stroke]]] = {}

    def forget(self) -> None:
        """Begin anew, as after a zoom."""
        self._sheet, self._made = None, {}

    def update(self, sheet: SheetScene, like: pygame.Surface, box: PxBox) -> None:
        """Bring the layer up to date: strips that came into view, groups that changed, or everything.

        Args:
            sheet: what is to be seen.
            like: a surface with the format of pixels to keep.
            box: where the layer lies in the window.
        """
        before, grow, zero = self._sheet, sheet.view.scale * self._scale, self.zero_of(sheet, box)
        if self.surface.get_size() != box[2:]:
            self.surface, before = pygame.Surface(box[2:], 0, like), None
        if self._grow != grow:
            self._made, self._grow, before = {}, grow, None
        if before is not None and before.grid_mm != sheet.grid_mm:
            before = None
        strips = None if before is None else self._scrolled(zero)
        self._sheet, self._zero = sheet, zero
        if before is None or strips is None:
            self._repaint((0, 0, *box[2:]))
            return
        for dirty in strips + self._changed(before, sheet):
            self._repaint(dirty)

    def zero_of(self, sheet: SheetScene, box: PxBox) -> tuple[int, int]:
        """The pixel of the layer at which the sheet's own zero lies."""
        x, y = exact_zero(sheet, self._scale, box)
        return whole(x), whole(y)

    def _scrolled(self, zero: tuple[int, int]) -> list[PxBox] | None:
        """Move what is painted; the strips that came into view, or None where nothing of it is left."""
        dx, dy = zero[0] - self._zero[0], zero[1] - self._zero[1]
        width, height = self.surface.get_size()
        if abs(dx) >= width or abs(dy) >= height:
            return None
        if dx or dy:
            self.surface.scroll(dx, dy)
        strips: list[PxBox] = []
        if dx:
            strips.append((0 if dx > 0 else width + dx, 0, abs(dx), height))
        if dy:
            strips.append((0, 0 if dy > 0 else height + dy, width, abs(dy)))
        return strips

    def _changed(self, before: SheetScene, sheet: SheetScene) -> list[PxBox]:
        """The boxes in which a group changed, came or went."""
        old, new = before.groups, sheet.groups
        if old is new:
            return []
        names = list(compress(new, map(is_not, new.values(), map(old.get, new))))
        gone = [old[name] for name in names if name in old]
        if len(old) + len(names) - len(gone) != len(new):
            lost = [name for name in old if name not in new]
            gone += [old[name] for name in lost]
            for name in lost:
                self._made.pop(name, None)
                self._afar.drop(name)
        whole_box = (0, 0, *self.surface.get_size())
        boxes = [self._seen(group.box) for group in (*gone, *(new[name] for name in names))]
        boxes = [_cut(box, whole_box) for box in boxes if _overlaps(box, whole_box)]
        return [whole_box] if len(boxes) > MOST_APART else _merged(boxes)

    def _seen(self, box: Box) -> PxBox:
        """The pixels on which what is in a box may be painted."""
        margin, grow, (x, y) = ceil(MARGIN_PX * self._scale), self._grow, self._zero
        left, top = floor(x + box.low_x * grow) - margin, floor(y - box.high_y * grow) - margin
        right, bottom = ceil(x + box.high_x * grow) + margin, ceil(y - box.low_y * grow) + margin
        return left, top, right - left, bottom - top

    def _reach(self, box: PxBox) -> Box:
        """Which part of the sheet holds all that may be painted on some pixels."""
        margin, grow, (x, y) = ceil(MARGIN_PX * self._scale), self._grow, self._zero
        left, top, width, height = box
        return Box(
            (left - x - margin) / grow,
            (y - top - height - margin) / grow,
            (left + width - x + margin) / grow,
            (y - top + margin) / grow,
        )

    # Painting -------------------------------------------------------------------------------------------------------

    def _repaint(self, box: PxBox) -> None:
        """Paint all that touches some pixels, from the ground up."""
        sheet = self._sheet
        if sheet is None:
            return
        self.surface.set_clip(box)
        self.surface.fill(self._strokes.rgb("sheet"), box)
        self._paint_grid(sheet, box)
        strokes: list[Stroke] = []
        groups = list(map(sheet.groups.__getitem__, sheet.boxes.touching(self._reach(box))))
        for group, far in zip(groups, self._afar.strokes(groups, sheet.view.scale, self._grow), strict=True):
            if far is None:
                strokes += self._near(group, sheet.view.scale)
            elif far:
                strokes.append(far)
        paint(self.surface, strokes, *self._zero)
        self.surface.set_clip(None)

    def _near(self, group: Group, scale: float) -> list[Stroke]:
        """The strokes of a group, made when it is another than the last time."""
        kept = self._made.get(group.name)
        if kept is None or kept[0] is not group:
            kept = self._made[group.name] = (group, self._strokes.of(detail(group, scale), self._grow, up=True))
        return kept[1]

    def _paint_grid(self, sheet: SheetScene, box: PxBox) -> None:
        for pitch_px, role in grid_steps(sheet.grid_mm, self._grow, self._scale):
            self._paint_raster(pitch_px, self._strokes.rgb(role), box)

    def _paint_raster(self, pitch_px: float, colour: Rgb, box: PxBox) -> None:
        """Lines of one pixel, on the raster of the sheet's zero."""
        (zero_x, zero_y), (x, y, width, height) = self._zero, box
        fill = self.surface.fill
        for number in range(ceil((x - zero_x) / pitch_px) - 1, floor((x + width - zero_x) / pitch_px) + 2):
            fill(colour, (zero_x + floor(number * pitch_px), y, 1, height))
        for number in range(ceil((y - zero_y) / pitch_px) - 1, floor((y + height - zero_y) / pitch_px) + 2):
            fill(colour, (x, zero_y + floor(number * pitch_px), width, 1))


def exact_zero(sheet: SheetScene, scale: float, box: PxBox) -> Point:
    """Where the sheet's own zero lies on a layer that has a box of the window, in pixels."""
    grow = sheet.view.scale * scale
    return -sheet.view.left_mm * grow - box[0], sheet.view.top_mm * grow - box[1]


def grid_steps(grid_mm: int, grow: float, scale: float) -> list[tuple[float, str]]:
    """The pitch of the grid's lines in device pixels and their roles, what is painted first in front.

    Minor lines from a pitch of 8 px, major ones, ten steps apart, from 24; else the next step of ten.
    """
    step = max(grid_mm, 1) * grow
    while step < MINOR_FROM_PX * scale:
        step *= 10
    steps = ((step, "grid_minor", MINOR_FROM_PX), (step * 10, "grid_major", MAJOR_FROM_PX))
    return [(pitch, role) for pitch, role, least in steps if pitch >= least * scale]


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
