"""The panel folded to a rail, in narrow windows: counts, money and their changes, what is picked, snags by shape."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layoutest.drawing.primitives import Rect, Text
from layoutest.editor.flags import flag_parts
from layoutest.editor.tally import cost_change, money_words, rows_of, underline

if TYPE_CHECKING:
    from layoutest.drawing.primitives import Box, Primitive, Size
    from layoutest.editor.state import State


def rail_parts(state: State, box: Box) -> tuple[Primitive, ...]:
    """The rail as primitives."""
    tally, changed = state.live.tally, state.change
    middle = (box.low_x + box.high_x) / 2
    parts: list[Primitive] = [Text((middle, box.low_y + 16), "Tally", "tiny", colour="dim", align="middle")]
    sections = rows_of(tally, changed.before, changed.after)[0]
    parts.append(Text((middle, box.low_y + 36), sections.value, "lead", bold=True, align="middle"))
    y = box.low_y + 54
    if sections.change:
        colour = "more" if sections.worse else "less"
        parts.append(Text((middle, y), sections.change, bold=True, colour=colour, align="middle"))
        y += 18
    y = _money(state, parts, middle, y)
    change = cost_change(changed.after, changed.before)
    if change:
        shown = money_words(change, tally.currency, signed=True)
        parts.append(
            Text((middle, y + 6), shown, "tiny", bold=True, colour="more" if change > 0 else "less", align="middle")
        )
        y += 18
    y = _rule(parts, box, y + 14)
    parts.append(Text((middle, y + 14), "Picked", "tiny", colour="dim", align="middle"))
    words = (
        "nothing"
        if not state.picked
        else next(iter(state.picked))
        if len(state.picked) == 1
        else f"{len(state.picked)} parts"
    )
    parts.append(
        Text((middle, y + 34), words, "tiny" if not state.picked else "base", bold=bool(state.picked), align="middle")
    )
    y = _rule(parts, box, y + 54)
    parts.append(Text((middle, y + 14), "Snags", "tiny", colour="dim", align="middle"))
    y += 36
    for severity in ("error", "warning", "note"):
        count = sum(snag.severity == severity for snag in state.live.snags)
        if count:
            parts += flag_parts(severity, "", (middle - 14, y), 11)
            parts.append(Text((middle + 6, y), f"{count}", bold=True))
            y += 28
    return tuple(parts)


def _money(state: State, parts: list[Primitive], middle: float, y: float) -> float:
    tally = state.live.tally
    if not state.layout.legs:
        return y
    if tally.net is None:
        parts.append(Text((middle, y), "NOT", "tiny", bold=True, align="middle"))
        parts.append(Text((middle, y + 13), "COMPLETE", "tiny", bold=True, align="middle"))
        return y + 28
    words = money_words(tally.net.quantize(1), tally.currency)
    size: Size = "lead" if state.measure(words, "lead", True) <= 66 else "tiny"
    width = state.measure(words, size, True)
    parts.append(Text((middle, y), words, size, bold=True, align="middle"))
    parts += underline(middle - width / 2, middle + width / 2, y + 10, proven=tally.proven)
    return y + 20


def _rule(parts: list[Primitive], box: Box, y: float) -> float:
    parts.append(Rect(box.low_x + 8, y, box.high_x - box.low_x - 16, 1, "rule"))
    return y
