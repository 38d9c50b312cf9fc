"""The overview of the tall bench: every section of every stock, small, and which of them are in view."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from layoutest.drawing.primitives import Box, Polyline, Rect, Text
from layoutest.editor.bench_bar import bar_parts
from layoutest.editor.bench_columns import INSET_PX, OVERVIEW_PX, shown_stocks, stock_in_hand

if TYPE_CHECKING:
    from layoutest.drawing.primitives import Primitive
    from layoutest.editor.bench import BenchTarget
    from layoutest.editor.bench_columns import Arranged
    from layoutest.editor.bench_state import BenchState, StockKey
    from layoutest.editor.picture import Measure
    from layoutest.live.live import Live

COLUMNS = 4
BAR_PX, PITCH_PX = 4.0, 6.0
HEAD_PX = 30.0
TOP_PX = 36.0
# A block never takes more than this; longer stocks show as many as fit and say how many there are.
MOST_ROWS = 24


class Block(NamedTuple):
    """One stock in the overview: where it stands, how many rows its columns have, and how many sections it shows."""

    key: StockKey
    box: Box
    rows: int
    shown: int


def blocks(live: Live, box: Box) -> list[Block]:
    """The stocks from the top down, as many as there is room for."""
    found: list[Block] = []
    y = box.low_y + TOP_PX
    for stock in shown_stocks(live):
        count = stock.count
        rows = min(-(-count // COLUMNS), MOST_ROWS)
        high = HEAD_PX + rows * PITCH_PX + 8
        if y + high > box.high_y - 6:
            break
        left = box.low_x + INSET_PX - 6
        found.append(Block(stock.key, Box(left, y, left + OVERVIEW_PX, y + high), rows, min(count, rows * COLUMNS)))
        y += high + 4
    return found


def overview_parts(live: Live, box: Box, view: Arranged, bench: BenchState, measure: Measure) -> list[Primitive]:
    """The overview with its head, and a rule at its right."""
    stocks = shown_stocks(live)
    count = sum(stock.count for stock in stocks)
    offcuts = [cut.offcut_mm for stock in stocks for cut in stock.plan.sections if cut.offcut_mm]
    left, right = box.low_x + INSET_PX, box.low_x + INSET_PX + OVERVIEW_PX - 12
    words = f"offcuts {sum(offcuts) / 1000:.1f} m in {len(offcuts)} piece{'s' if len(offcuts) != 1 else ''}"
    parts: list[Primitive] = [
        Text((left, box.low_y + 20), f"{count} section{'s' if count != 1 else ''}", bold=True),
        Text((right, box.low_y + 20), words, "tiny", colour="dim", align="right"),
        Rect(right + 14, box.low_y + 8, 1, box.high_y - box.low_y - 16, "rule"),
    ]
    hand = stock_in_hand(live, bench)
    for block in blocks(live, box):
        parts += _block(live, block, measure, in_hand=hand is not None and hand.key == block.key)
        if hand is not None and hand.key == block.key:
            parts += _frame(block, view)
    return parts


def _block(live: Live, block: Block, measure: Measure, *, in_hand: bool) -> list[Primitive]:
    stock = live.stocks[block.key]
    box = block.box
    parts: list[Primitive] = []
    if in_hand:
        parts.append(Rect(box.low_x, box.low_y, box.high_x - box.low_x - 8, box.high_y - box.low_y, "panel", "field", "border", "field"))
    _, bore_mm, thickness_mm = block.key
    size = f"{bore_mm:g} × {thickness_mm:g}"
    parts.append(Text((box.low_x + 6, box.low_y + 13), size, bold=True))
    wide = measure(size, "base", True)
    parts.append(Text((box.low_x + 14 + wide, box.low_y + 13), f"{stock.count}", colour="dim"))
    colour = {"proven": "proven", "packed": "dim", "quick": "unproven"}[stock.state]
    parts.append(Text((box.high_x - 14, box.low_y + 13), stock.state, "tiny", bold=True, colour=colour, align="right"))
    for number in range(block.shown):
        x, y, long = place_of(block, number)
        parts += bar_parts(stock, number, x, y, long, BAR_PX, None)
    return parts


def place_of(block: Block, number: int) -> tuple[float, float, float]:
    """Where a section's small bar stands, and how long it is."""
    long = (block.box.high_x - block.box.low_x - 20 - 14 * (COLUMNS - 1)) / COLUMNS
    column, row = divmod(number, block.rows)
    return block.box.low_x + 6 + column * (long + 14), block.box.low_y + HEAD_PX + row * PITCH_PX, long


def _frame(block: Block, view: Arranged) -> list[Primitive]:
    """A frame round the sections in view, where they stand in cutting order."""
    numbers = [number for column in view.columns for number in column.sections if number < block.shown]
    if not numbers or sorted(numbers) != list(range(min(numbers), max(numbers) + 1)):
        return []
    parts: list[Primitive] = []
    for column in range(COLUMNS):
        inside = [number for number in numbers if number // block.rows == column]
        if inside:
            x, top, long = place_of(block, min(inside))
            low = place_of(block, max(inside))[1] + BAR_PX
            corners = ((x - 4, top - 2), (x + long + 4, top - 2), (x + long + 4, low + 2), (x - 4, low + 2))
            parts.append(Polyline(corners, "selection", "accent", closed=True))
    return parts


def overview_target(live: Live, box: Box, view: Arranged, point: tuple[float, float]) -> BenchTarget | None:
    """The stock, or the section, at a place of the overview."""
    from layoutest.editor.bench import BenchTarget

    del view
    for block in blocks(live, box):
        if not (block.box.low_x <= point[0] < block.box.high_x and block.box.low_y <= point[1] < block.box.high_y):
            continue
        for number in range(block.shown):
            x, y, long = place_of(block, number)
            if x <= point[0] < x + long and y - 1 <= point[1] < y + PITCH_PX - 1:
                return BenchTarget("section", block.key, number + 1, box=Box(x, y, x + long, y + BAR_PX))
        return BenchTarget("stock", block.key, box=block.box)
    return None
