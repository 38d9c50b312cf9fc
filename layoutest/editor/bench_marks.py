"""Marks on the bars: what is pointed at, picked or held."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layoutest.drawing.primitives import Box, Polygon, Rect, Text
from layoutest.editor.bench_bar import scale_of, slots_of
from layoutest.editor.bench_state import BOLD

if TYPE_CHECKING:
    from layoutest.drawing.primitives import Primitive
    from layoutest.editor.bench_bar import Slot
    from layoutest.editor.bench_cut import Cut
    from layoutest.editor.bench_state import BenchMarks
    from layoutest.editor.picture import Measure

HALO_PX = 3.5
PLATE_LEAST_PX = 26.0


def below_and_above(cut: Cut, bar: Box, marks: BenchMarks, *, pointed: bool) -> tuple[list[Primitive], list[Primitive]]:
    """What is drawn under a bar and over it: halos below, outlines above."""
    if pointed:
        wide, high = cut.length_mm * scale_of(cut, bar.high_x - bar.low_x), bar.high_y - bar.low_y
        outline = Rect(bar.low_x - 1, bar.low_y - 1, wide + 2, high + 2, "", "selection", "hover")
        return [_halo(bar._replace(high_x=bar.low_x + wide))], [outline]
    below: list[Primitive] = []
    above: list[Primitive] = []
    lit = [piece.run in marks.lit.runs for piece in cut.pieces]
    picked = [piece.run in marks.picked for piece in cut.pieces]
    if not any(lit) and not any(picked):
        return below, above
    slots = slots_of(cut, bar.low_x, scale_of(cut, bar.high_x - bar.low_x))
    for slot, is_lit, is_picked in zip(slots, lit, picked, strict=True):
        if is_lit:
            below.append(_halo(_around(slot, bar)))
        if is_lit or is_picked:
            corners = slot.corners(bar.low_y, bar.high_y - bar.low_y)
            above.append(Polygon(corners, "", "selection", "hover" if is_lit else "selection"))
    return below, above


def number_parts(number: int, bar: Box, measure: Measure, *, pointed: bool) -> list[Primitive]:
    """The number of a section left of its bar, on a marker plate where something in it is pointed at."""
    right, middle = bar.low_x - 6, (bar.low_y + bar.high_y) / 2
    words = f"{number}"
    if not pointed:
        return [Text((right, middle), words, "tiny", colour="dim", align="right")]
    wide = max(PLATE_LEAST_PX, measure(words, "tiny", BOLD) + 10)
    plate = Rect(right + 5 - wide, bar.low_y - 2, wide, bar.high_y - bar.low_y + 4, "marker")
    return [plate, Text((right, middle), words, "tiny", bold=True, colour="marker_text", align="right")]


def _around(slot: Slot, bar: Box) -> Box:
    return Box(slot.low - abs(slot.left_lean), bar.low_y, slot.high + abs(slot.right_lean), bar.high_y)


def _halo(box: Box) -> Rect:
    wide, high = box.high_x - box.low_x, box.high_y - box.low_y
    return Rect(box.low_x - HALO_PX, box.low_y - HALO_PX, wide + 2 * HALO_PX, high + 2 * HALO_PX, "marker")
