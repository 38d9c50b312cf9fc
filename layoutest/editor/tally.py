"""The tally: live counts and money, with what the last edit changed and the difference to a pinned routing."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING, NamedTuple

from layoutest.drawing.primitives import Polyline, Rect, Text
from layoutest.live.alike import compared

if TYPE_CHECKING:
    from layoutest.drawing.primitives import Box, Primitive, Size
    from layoutest.editor.state import State
    from layoutest.live.alike import Compared
    from layoutest.live.live import Tally

INSET_PX = 16
ROW_PX = 22
VALUE_BACK_PX = 72
SYMBOLS = {"GBP": "£", "EUR": "€", "USD": "$"}


class Row(NamedTuple):
    """One count: its name, its value and how it changed; `worse` says whether the change costs."""

    name: str
    value: str
    change: str
    worse: bool


def money_words(amount: Decimal, currency: str, *, signed: bool = False) -> str:
    """Money as it is shown: £1,386.40, and +£15.22 or −£15.22 for a change."""
    symbol = SYMBOLS.get(currency, f"{currency} ")
    sign = ("+" if amount > 0 else "−" if amount < 0 else "") if signed else ("−" if amount < 0 else "")
    return f"{sign}{symbol}{abs(amount):,}"


def rows_of(tally: Tally, before: Tally, after: Tally | None = None) -> tuple[Row, ...]:
    """The counts of a tally with what changed from one tally to another; to this one where no other is given."""
    now = after or tally
    return (
        Row("Sections", f"{tally.sections:,}", *_whole(now.sections - before.sections)),
        Row("Joints taped", f"{tally.joints:,}", *_whole(now.joints - before.joints)),
        Row("Tape, m", f"{_metres(tally.tape_mm):,}", *_tenths(_metres(now.tape_mm) - _metres(before.tape_mm))),
        Row("Waste of sections, %", f"{tally.waste_percent}", *_tenths(now.waste_percent - before.waste_percent)),
        Row("Labour, hours", f"{_hours(tally.hours):,}", *_tenths(_hours(now.hours) - _hours(before.hours))),
    )


def cost_change(tally: Tally, basis: Tally) -> Decimal | None:
    """The change of the net cost, where both are complete."""
    return None if tally.net is None or basis.net is None else tally.net - basis.net


def tally_height(state: State) -> float:
    """How high the tally's part of the panel is."""
    count = 1 if state.regions.low else 5
    return 34 + count * ROW_PX + 84 + (ROW_PX if state.pinned else 0)


def tally_parts(state: State, box: Box) -> tuple[Primitive, ...]:
    """The tally as primitives, from the upper edge of a box down."""
    tally, change = state.live.tally, state.change
    left, right, top = box.low_x + INSET_PX, box.high_x - INSET_PX, box.low_y
    note = "sample room" if state.sample else "since the last edit"
    parts: list[Primitive] = [
        Text((left, top + 20), "Tally", "lead", bold=True),
        Text((right, top + 20), note, "tiny", colour="dim", align="right"),
        Polyline(((left, top + 34), (right, top + 34)), "rule"),
    ]
    y = top + 34
    for row in rows_of(tally, change.before, change.after)[: 1 if state.regions.low else 5]:
        parts += _row(row, left, right, y + ROW_PX / 2 + 4)
        y += ROW_PX
    parts.append(Polyline(((left, y + 8), (right, y + 8)), "rule"))
    parts += _money(state, tally, change, left, right, y + 8)
    if state.pinned:
        parts += _pinned(state, left, right, y + 88)
    return tuple(parts)


def _row(row: Row, left: float, right: float, y: float) -> list[Primitive]:
    parts: list[Primitive] = [
        Text((left, y), row.name),
        Text((right - VALUE_BACK_PX, y), row.value, bold=True, align="right"),
    ]
    if row.change:
        parts.append(Text((right, y), row.change, colour="more" if row.worse else "less", align="right"))
    return parts


def _money(state: State, tally: Tally, changed: Compared, left: float, right: float, y: float) -> list[Primitive]:
    currency, edge = tally.currency, right - VALUE_BACK_PX
    invented = "invented prices" if state.book.invented else f"prices of {state.book.date}"
    if not state.layout.legs:
        return [Text((left, y + 28), "Net cost"), Text((edge, y + 28), "nothing is drawn yet", "tiny", align="right")]
    if tally.net is None:
        return _incomplete(state, tally, left, right, y)
    words = money_words(tally.net, currency)
    size: Size = "money" if state.measure(words, "money", True) <= edge - left - 74 else "figure"
    width = state.measure(words, size, True)
    parts: list[Primitive] = [
        Text((left, y + 28), "Net cost"),
        Text((left, y + 54), invented, "tiny", colour="dim"),
        Text((edge, y + 26), words, size, bold=True, align="right"),
    ]
    change = cost_change(changed.after, changed.before)
    if change:
        shown = money_words(change, currency, signed=True)
        colour = "more" if change > 0 else "less"
        bold = state.measure(shown, "base", True) <= VALUE_BACK_PX - 4
        parts.append(Text((right, y + 28), shown, "base" if bold else "tiny", bold=True, colour=colour, align="right"))
    parts += underline(edge - width, edge, y + 43, proven=tally.proven)
    return [*parts, Text((edge, y + 54), _standing(tally), "tiny", bold=True, colour=_ink(tally), align="right")]


def underline(left: float, right: float, y: float, *, proven: bool) -> list[Primitive]:
    """The double rule under a proven figure, the dashed one under another."""
    if proven:
        return [Rect(left, y, right - left, 1, "proven"), Rect(left, y + 3, right - left, 1, "proven")]
    dashes = int((right - left) // 6)
    return [Rect(left + 6 * number, y + 1, 4, 2, "unproven") for number in range(dashes)]


def _standing(tally: Tally) -> str:
    if tally.proven:
        return "proven: no plan costs less"
    return "quick, proof running" if tally.quick else "packed, not proven"


def _ink(tally: Tally) -> str:
    return "proven" if tally.proven else "unproven"


def _incomplete(state: State, tally: Tally, left: float, right: float, y: float) -> list[Primitive]:
    """The band that says why there is no total, and what is known so far."""
    errors = sum(snag.severity == "error" for snag in state.live.snags)
    why = (
        f"{errors} error{'s' if errors != 1 else ''} stand{'s' if errors == 1 else ''}"
        if errors
        else "something is left out"
    )
    return [
        Rect(left, y + 10, right - left, 26, "tip"),
        Text((left + 8, y + 23), "NOT COMPLETE", bold=True, colour="tip_text"),
        Text((right - 8, y + 23), why, "tiny", colour="tip_text", align="right"),
        Text((left, y + 52), "known so far", "tiny", colour="dim"),
        Text((right, y + 52), money_words(tally.known, tally.currency), bold=True, align="right"),
    ]


def _pinned(state: State, left: float, right: float, y: float) -> list[Primitive]:
    assert state.pinned  # noqa: S101 - for the type checker
    before, now, _ = compared(state.pinned.live, state.live)
    sections = now.sections - before.sections
    change = cost_change(now, before)
    words = "as pinned" if not sections and not change else _whole(sections)[0] or "±0"
    parts: list[Primitive] = [Text((left, y), "Since the pinned routing", "tiny", colour="dim")]
    parts.append(
        Text(
            (right - VALUE_BACK_PX, y),
            f"{words} section{'s' if abs(sections) != 1 else ''}" if words != "as pinned" else words,
            "tiny",
            align="right",
        )
    )
    if change:
        shown = money_words(change, now.currency, signed=True)
        parts.append(Text((right, y), shown, "tiny", bold=True, colour="more" if change > 0 else "less", align="right"))
    return parts


def _metres(mm: int) -> Decimal:
    return (Decimal(mm) / 1000).quantize(Decimal("0.1"))


def _hours(hours: Decimal) -> Decimal:
    return hours.quantize(Decimal("0.1"))


def _whole(change: int) -> tuple[str, bool]:
    return (f"{change:+,}".replace("-", "−") if change else ""), change > 0


def _tenths(change: Decimal) -> tuple[str, bool]:
    return (f"{change:+,}".replace("-", "−") if change else ""), change > 0
