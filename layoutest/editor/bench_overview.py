"""The overview of the tall bench: every section of every stock, small, and which of them are in view."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING, NamedTuple

from layoutest.drawing.primitives import Box, Polyline, Rect, Text
from layoutest.editor.bench_bar import small_parts
from layoutest.editor.bench_columns import INSET_PX, OVERVIEW_PX, key_in_hand, shown_stocks
from layoutest.editor.bench_heads import INK, counted, stock_words
from layoutest.editor.bench_state import BOLD, REGULAR
from layoutest.editor.tally import underline

if TYPE_CHECKING:
    from collections.abc import Sequence

    from layoutest.drawing.primitives import Point, Primitive
    from layoutest.editor.bench_columns import Arranged
    from layoutest.editor.bench_cut import Cut
    from layoutest.editor.bench_state import BenchState, StockKey
    from layoutest.editor.picture import Measure
    from layoutest.live.live import Live
    from layoutest.live.stock import LiveStock

COLUMNS, BETWEEN_PX = 4, 12.0
BAR_PX, PITCH_PX = 4.0, 6.0
HEAD_PX, FOOT_PX, APART_PX = 28.0, 8.0, 4.0
BESIDE_PX, BESIDE_LEAST_PX, BESIDE_TOP_PX = 92.0, 34.0, 6.0
TOP_PX, HINT_PX = 36.0, 40.0


class Block(NamedTuple):
    """One stock in the overview: where it stands, and which of its sections, in the order shown, it shows.

    Its head is above its bars or, where there are many stocks, `beside` them. A stock with more sections than there is
    room for shows those round what is in view, else its first.
    """

    key: StockKey
    box: Box
    rows: int
    begin: int
    end: int
    beside: bool

    def bar(self, place: int) -> Box:
        """Where the bar of a section stands by its place in the order."""
        left = self.box.low_x + 6 + (BESIDE_PX if self.beside else 0)
        top = self.box.low_y + (BESIDE_TOP_PX if self.beside else HEAD_PX)
        long = (self.box.high_x - 6 - left - BETWEEN_PX * (COLUMNS - 1)) / COLUMNS
        column, row = divmod(place - self.begin, self.rows)
        x, y = left + column * (long + BETWEEN_PX), top + row * PITCH_PX
        return Box(x, y, x + long, y + BAR_PX)


def blocks_of(live: Live, box: Box, bench: BenchState, view: Arranged) -> list[Block]:
    """The stocks from the top down, every section if there is room for it, else as many of each as fit."""
    stocks = shown_stocks(live)
    room = box.high_y - box.low_y - TOP_PX - HINT_PX
    beside = sum(_high(-(-stock.count // COLUMNS), beside=False) for stock in stocks) > room
    if beside:
        stocks = _round_hand(stocks, key_in_hand(live, bench), int(room // _high(1, beside=True)))
    rows = _rows([-(-stock.count // COLUMNS) for stock in stocks], room, beside=beside)
    found: list[Block] = []
    left, y = box.low_x + INSET_PX - 6, box.low_y + TOP_PX
    for stock, high in zip(stocks, rows, strict=True):
        bottom = y + _high(high, beside=beside) - APART_PX
        begin, end = _window(stock, high * COLUMNS, view)
        found.append(Block(stock.key, Box(left, y, left + OVERVIEW_PX, bottom), high, begin, end, beside))
        y = bottom + APART_PX
    return found


def _high(rows: int, *, beside: bool) -> float:
    """How high a block is, with the space below it."""
    if beside:
        return max(BESIDE_TOP_PX + rows * PITCH_PX + 4, BESIDE_LEAST_PX) + APART_PX
    return HEAD_PX + rows * PITCH_PX + FOOT_PX + APART_PX


def _round_hand(stocks: list[LiveStock], hand: StockKey | None, fit: int) -> list[LiveStock]:
    """As many stocks as have room, the one in hand among them."""
    number = next((number for number, stock in enumerate(stocks) if stock.key == hand), 0)
    fit = max(min(fit, len(stocks)), 1)
    begin = max(min(number - fit // 2, len(stocks) - fit), 0)
    return stocks[begin : begin + fit]


def _rows(needed: list[int], room: float, *, beside: bool) -> list[int]:
    """How many rows each block has: what it needs, or as many as all can have, at least one."""
    low, high = 1, max(needed, default=1)
    while low < high:
        most = (low + high + 1) // 2
        if sum(_high(min(rows, most), beside=beside) for rows in needed) <= room:
            low = most
        else:
            high = most - 1
    return [min(rows, low) for rows in needed]


def _window(stock: LiveStock, most: int, view: Arranged) -> tuple[int, int]:
    """From and to which place in the order a block shows a stock."""
    if stock.count <= most:
        return 0, stock.count
    seen = _seen(stock.key, view)
    middle = (seen.start + seen.stop) // 2 if seen else 0
    begin = max(min(middle - most // 2, stock.count - most), 0)
    return begin, begin + most


def _seen(key: StockKey, view: Arranged) -> range:
    """The places in the order of a stock that are in view."""
    columns = [column for column in view.columns if column.key == key]
    if not columns:
        return range(0)
    begin = columns[0].number * view.rows
    return range(begin, begin + sum(len(column.sections) for column in columns))


def overview_head(live: Live, box: Box, measure: Measure) -> list[Primitive]:
    """The head of the overview, its rule at the right, and what it is for."""
    stocks = shown_stocks(live)
    offcuts = [_offcuts(stock) for stock in stocks]
    number, metres = sum(count for count, _ in offcuts), sum(length_mm for _, length_mm in offcuts) / 1000
    left, right = box.low_x + INSET_PX, box.low_x + OVERVIEW_PX
    words = f"offcuts {metres:,.1f} m in {number:,} piece{'s' if number != 1 else ''}"
    parts: list[Primitive] = [
        Text((left, box.low_y + 20), counted(sum(stock.count for stock in stocks)), "lead", bold=True),
        Text((right, box.low_y + 20), words, "tiny", colour="dim", align="right"),
        Rect(box.low_x + INSET_PX + OVERVIEW_PX + 4, box.low_y + 12, 1, box.high_y - box.low_y - 24, "rule"),
    ]
    hints = (
        "Press a part of it to go there. Page Up and Down turn by a column;",
        "B makes the bench tall or low, O brings the longest offcuts first.",
    )
    low = box.high_y - HINT_PX + 12
    fits = max(measure(line, "tiny", REGULAR) for line in hints) <= right - left
    parts += [Text((left, low + 15 * at), line, "tiny", colour="dim") for at, line in enumerate(hints) if fits]
    return parts


@lru_cache(maxsize=32)
def _offcuts(stock: LiveStock) -> tuple[int, int]:
    """How many offcuts a stock leaves, and their length."""
    left = [(count, cut.offcut_mm) for count, cut in stock.cuts if cut.offcut_mm]
    return sum(count for count, _ in left), sum(count * length_mm for count, length_mm in left)


def block_parts(stock: LiveStock, block: Block, cuts: Sequence[Cut], measure: Measure) -> list[Primitive]:
    """A block of the sections it shows, without its ground and frame."""
    parts = _block_head(stock, block, measure)
    for place, cut in enumerate(cuts, start=block.begin):
        at = block.bar(place)
        parts += small_parts(cut, at.low_x, at.low_y, at.high_x - at.low_x, BAR_PX)
    return parts


def ground_of(block: Block) -> Rect:
    """The ground of the block in hand."""
    x, y, right, low = block.box
    return Rect(x, y, right - x, low - y, "panel", "field", "border", "field")


def _block_head(stock: LiveStock, block: Block, measure: Measure) -> list[Primitive]:
    """Name, count and state of a stock: in a line above its bars, or in two beside them."""
    left, middle = block.box.low_x + 6, block.box.low_y + 12
    size, shown = stock_words(block.key)[0], block.end - block.begin
    count = f"{stock.count:,}" if shown == stock.count else f"{shown} of {stock.count:,}"
    if block.beside:
        count = f"{stock.count:,}"
    wide = measure(stock.state, "tiny", BOLD)
    right = left + wide if block.beside else block.box.high_x - 6
    parts: list[Primitive] = [
        Text((left, middle), size, bold=True),
        Text((left + 8 + measure(size, "base", BOLD), middle), count, colour="dim"),
    ]
    middle += 14 if block.beside else 0
    parts.append(Text((right, middle), stock.state, "tiny", bold=True, colour=INK[stock.state], align="right"))
    if stock.state != "packed":
        parts += underline(right - wide, right, middle + 6, proven=stock.state == "proven")
    return parts


def frame_of(block: Block, view: Arranged) -> list[Primitive]:
    """A frame round the sections that are in view; it goes down the columns, as they do."""
    seen = _seen(block.key, view)
    begin, end = max(seen.start, block.begin), min(seen.stop, block.end)
    if begin >= end:
        return []
    first, last = divmod(begin - block.begin, block.rows), divmod(end - 1 - block.begin, block.rows)
    if last[0] - first[0] == 1 and last[1] < first[1]:
        pairs = ((begin, block.begin + last[0] * block.rows - 1), (block.begin + last[0] * block.rows, end - 1))
        return [_stepped(block, *pair) for pair in pairs]
    return [_stepped(block, begin, end - 1)]


def _stepped(block: Block, begin: int, end: int) -> Polyline:
    """The outline of a range of places, stepped where it begins or ends within a column."""
    last_row = min(block.rows, block.end - block.begin) - 1
    (first, upper), (last, lower) = divmod(begin - block.begin, block.rows), divmod(end - block.begin, block.rows)
    x0, x1 = block.bar(begin).low_x - 4, block.bar(end).high_x + 4
    top, bottom = block.bar(block.begin).low_y - 3, block.bar(block.begin + last_row).high_y + 3
    high, low = block.bar(begin).low_y - 3, block.bar(end).high_y + 3
    if first == last:
        return _closed((x0, high), (x1, high), (x1, low), (x0, low))
    points: list[Point] = [(x0, high)]
    if upper:
        step = block.bar(begin).high_x + BETWEEN_PX / 2
        points += [(step, high), (step, top)]
    points += [(x1, top), (x1, low)]
    if lower < last_row:
        step = block.bar(end).low_x - BETWEEN_PX / 2
        points += [(step, low), (step, bottom)]
    return _closed(*points, (x0, bottom))


def _closed(*points: Point) -> Polyline:
    return Polyline(points, "selection", "accent", closed=True)
