"""Tooltips: words on an ink ground near what they tell of, never over it, and inside the window."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layoutest.drawing.primitives import Box, Rect, Text
from layoutest.editor.wrapping import wrapped

if TYPE_CHECKING:
    from collections.abc import Sequence

    from layoutest.drawing.primitives import Point, Primitive, Size
    from layoutest.editor.picture import Measure

WIDEST_PX = 360


def tip_parts(about: Box, lines: Sequence[str], small: str, window: Box, measure: Measure) -> list[Primitive]:
    """A tooltip about what lies in a box; of several lines the first is SemiBold, and `small` stands below them."""
    several = len(lines) > 1
    broken = [
        (line, several and at == 0)
        for at, words in enumerate(lines)
        for line in wrapped(words, WIDEST_PX, measure, bold=several and at == 0)
    ]
    set_lines: list[tuple[str, Size, bool]] = [(line, "base", bold) for line, bold in broken]
    if small:
        set_lines.append((small, "tiny", False))
    wide, high = max(measure(*line) for line in set_lines) + 24, 17 * len(set_lines) + 11.5
    x, y = _beside(about, wide, high, window)
    words_at = [
        Text((x + 12, y + 15 + 17 * at), line, size, bold, "tip_text")
        for at, (line, size, bold) in enumerate(set_lines)
    ]
    return [Rect(x, y, wide, high, "tip", radius="field"), *words_at]


def _beside(about: Box, wide: float, high: float, window: Box) -> Point:
    """The upper left corner of a plate below, above, right or left of a box, the first that the window has room for."""
    x = max(min(about.low_x, window.high_x - wide - 4), window.low_x + 4)
    y = max(min(about.low_y, window.high_y - high - 4), window.low_y + 4)
    if about.high_y + 8 + high <= window.high_y:
        return x, about.high_y + 8
    if about.low_y - 8 - high >= window.low_y:
        return x, about.low_y - 8 - high
    return (about.high_x + 8 if about.high_x + 8 + wide <= window.high_x else about.low_x - 8 - wide), y
