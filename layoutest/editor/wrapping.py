"""Words that must fit a width: broken into lines, or cut short with an ellipsis."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from layoutest.drawing.primitives import Size
    from layoutest.editor.picture import Measure


def wrapped(words: str, width: float, measure: Measure, size: Size = "base", *, bold: bool = False) -> list[str]:
    """Break words into lines no wider than `width` px; only a word longer than a line is broken itself."""
    lines: list[str] = []
    for paragraph in words.split("\n"):
        line = ""
        for word in paragraph.split():
            longer = f"{line} {word}" if line else word
            if not line or measure(longer, size, bold) <= width:
                line = longer
            else:
                lines.append(line)
                line = word
            while len(line) > 1 and measure(line, size, bold) > width:
                fits = _fitting(line, width, measure, size, bold=bold)
                lines.append(line[:fits])
                line = line[fits:]
        lines.append(line)
    return lines


def shortened(words: str, width: float, measure: Measure, size: Size = "base", *, bold: bool = False) -> str:
    """The words themselves where they fit into `width` px, else as many letters as fit and an ellipsis."""
    if measure(words, size, bold) <= width:
        return words
    room = width - measure("…", size, bold)
    cut = words[: _fitting(words, room, measure, size, bold=bold)].rstrip()
    return f"{cut}…" if measure(cut, size, bold) <= room else "…"


def _fitting(words: str, width: float, measure: Measure, size: Size, *, bold: bool) -> int:
    """How many letters fit, at least one."""
    low, high = 1, len(words)
    while low < high:
        middle = (low + high + 1) // 2
        low, high = (middle, high) if measure(words[:middle], size, bold) <= width else (low, middle - 1)
    return low
