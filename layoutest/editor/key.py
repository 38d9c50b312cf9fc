"""The key of the sheet, at its lower right: a bar of a round length, and which plane is seen."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layoutest.drawing.primitives import Box, Rect, Text

if TYPE_CHECKING:
    from layoutest.drawing.primitives import Primitive
    from layoutest.editor.picture import View
    from layoutest.layout.document import View as Plane

BAR_UP_PX = 36.0
BAR_IN_PX = 40.0
LEAST_BAR_PX = 100.0
GAP_PX = 24.0
WORDS_PX = 160.0
_ROUND_MM: tuple[int, ...] = tuple(base * 10**power for power in range(1, 7) for base in (1, 2, 5))


def key_box(view: View, sheet: Box) -> Box:
    """Where the key stands in the window, in px; words keep clear of it."""
    left = sheet.high_x - BAR_IN_PX - _bar_mm(view) * view.scale - GAP_PX - WORDS_PX
    top = sheet.high_y - BAR_UP_PX
    return Box(left, top - 10, sheet.high_x - 4, top + 26)


def _bar_mm(view: View) -> int:
    return next((one for one in _ROUND_MM if one * view.scale >= LEAST_BAR_PX), _ROUND_MM[-1])


def key_parts(plane: Plane, view: View, sheet: Box, depth_mm: int) -> list[Primitive]:
    """A bar of a round length at the lower right, and which plane is seen."""
    ground, length_mm = key_box(view, sheet), _bar_mm(view)
    wide, top = length_mm * view.scale, sheet.high_y - BAR_UP_PX
    left = sheet.high_x - BAR_IN_PX - wide
    depth = f"{depth_mm}".replace("-", "−")
    says = f"Plan, most at level {depth} mm" if plane == "plan" else f"Elevation, most at y {depth} mm"
    parts: list[Primitive] = [
        Rect(ground.low_x, ground.low_y, ground.high_x - ground.low_x, ground.high_y - ground.low_y, "sheet"),
        Text((left - GAP_PX, top + 2), says, "tiny", colour="dim", align="right"),
        Rect(left, top, wide / 2, 4, "text", "centre", "text"),
        Rect(left + wide / 2, top, wide / 2, 4, "sheet", "centre", "text"),
    ]
    metres = length_mm >= 10_000
    for share in (0.0, 0.5, 1.0):
        figure = f"{length_mm * share / (1000 if metres else 1):g}"
        if share == 1:
            figure += " m" if metres else " mm"
        parts.append(Text((left + wide * share, top + 16), figure, "tiny", colour="dim", align="middle"))
    return parts
