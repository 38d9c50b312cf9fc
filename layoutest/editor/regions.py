"""How the window is divided, in logical pixels: tool row, sheet, panel or rail, bench and status."""

from __future__ import annotations

from typing import NamedTuple

from layoutest.drawing.primitives import Box

TOOL_ROW_PX = 44
STATUS_PX = 28
PANEL_PX = 320
RAIL_PX = 72
NARROW_BELOW_PX = 1200
LOW_BELOW_PX = 620
LOW_PANEL_BELOW_PX = 440
SECOND_PANEL_FROM_PX = 2800
LEAST_SHEET_PX = 120


class Regions(NamedTuple):
    """The parts of the window. `narrow`: tools lose their words and the panel folds to a rail; `low`: few rows.

    In a narrow window the `panel` that is open lies over the sheet and over the bench.
    """

    tool_row: Box
    sheet: Box
    panel: Box
    second_panel: Box | None
    bench: Box
    status: Box
    narrow: bool
    low: bool


def regions_of(width: float, height: float, bench_px: float, *, panel_open: bool = False) -> Regions:
    """Divide a window. In a narrow one the panel is a rail until `panel_open` lays it over the sheet."""
    narrow = width < NARROW_BELOW_PX
    bottom = max(height - STATUS_PX, TOOL_ROW_PX)
    bench_top = max(bottom - bench_px, TOOL_ROW_PX + LEAST_SHEET_PX)
    side = RAIL_PX if narrow else PANEL_PX
    second = None
    right = width - side
    if width >= SECOND_PANEL_FROM_PX:
        right -= PANEL_PX
        second = Box(right, TOOL_ROW_PX, right + PANEL_PX, bench_top)
    over = narrow and panel_open
    panel = Box(width - (PANEL_PX if over else side), TOOL_ROW_PX, width, bottom if over else bench_top)
    low = height < LOW_BELOW_PX or panel.high_y - panel.low_y < LOW_PANEL_BELOW_PX
    return Regions(
        Box(0, 0, width, TOOL_ROW_PX),
        Box(0, TOOL_ROW_PX, right, bench_top),
        panel,
        second,
        Box(0, bench_top, width, bottom),
        Box(0, bottom, width, height),
        narrow,
        low,
    )


def inside(box: Box, point: tuple[float, float]) -> bool:
    """Whether a point lies in a box; its low edges belong to it, its high ones do not."""
    return box.low_x <= point[0] < box.high_x and box.low_y <= point[1] < box.high_y
