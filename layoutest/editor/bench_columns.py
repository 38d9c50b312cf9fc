"""Where the sections stand on the bench: in columns of rows, each stock from the top of a new one."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from itertools import accumulate
from typing import TYPE_CHECKING, NamedTuple

from layoutest.drawing.primitives import Box
from layoutest.editor.regions import NARROW_BELOW_PX

if TYPE_CHECKING:
    from collections.abc import Sequence

    from layoutest.editor.bench_state import BenchState, StockKey
    from layoutest.live.live import Live
    from layoutest.live.stock import LiveStock

HEAD_PX = 36.0
BAR_PX, PITCH_PX = 17.0, 21.0
GUTTER_PX, GAP_PX = 24.0, 22.0
INSET_PX, FOOT_PX = 12.0, 4.0
LEAST_COLUMN_PX, MOST_COLUMNS = 360.0, 9
OVERVIEW_PX = 420.0
NARROW_COLUMNS, NARROW_LEAST_PX = 2, 280.0


class Column(NamedTuple):
    """A column of bars: its stock, the sections in it (from 0, in the order shown), where it stands, and its bars.

    A column without sections says that no section can hold the runs of its stock.
    """

    key: StockKey
    sections: tuple[int, ...]
    number: int
    x: float
    y: float
    width: float

    @property
    def bar_x(self) -> float:
        """Where its bars begin."""
        return self.x + GUTTER_PX

    @property
    def bar_width(self) -> float:
        """How wide a whole section is."""
        return self.width - GUTTER_PX

    def bar(self, row: int) -> Box:
        """Where a bar stands, as wide as a whole section."""
        y = self.y + row * PITCH_PX
        return Box(self.bar_x, y, self.x + self.width, y + BAR_PX)


class Arranged(NamedTuple):
    """The bench with all that is in view. `first` and `total` count columns; `tabs` and `overview` say its kind."""

    columns: tuple[Column, ...]
    first: int
    total: int
    fits: int
    rows: int
    tabs: bool
    overview: bool


def arranged(live: Live, box: Box, bench: BenchState) -> Arranged:
    """Put the sections into columns; only those in view are made."""
    tabs = box.high_x - box.low_x < NARROW_BELOW_PX
    rows = max(int((box.high_y - box.low_y - HEAD_PX - FOOT_PX) // PITCH_PX), 1)
    left, fits, wide = _widths(box, 0, narrow=tabs)
    spread = _spread(live, rows)
    # All stocks side by side are the best overview there is, where there is room for them.
    overview = bench.height == "tall" and not tabs and sum(spread.values()) > fits
    if overview:
        left, fits, wide = _widths(box, OVERVIEW_PX + GAP_PX, narrow=False)
    if tabs or overview:
        hand = key_in_hand(live, bench)
        spread = {key: count for key, count in spread.items() if key == hand}
    total = sum(spread.values())
    first = max(min(bench.turned, total - fits), 0)
    columns: list[Column] = []
    for (key, count), end in zip(spread.items(), accumulate(spread.values()), strict=True):
        at = end - count
        seen = range(max(first, at), min(first + fits, end))
        order = order_of(live.stocks[key], longest_first=bench.longest_first) if seen and key in live.stocks else ()
        for place in seen:
            begin = (place - at) * rows
            x = left + (place - first) * (wide + GAP_PX)
            columns.append(Column(key, tuple(order[begin : begin + rows]), place - at, x, box.low_y + HEAD_PX, wide))
    return Arranged(tuple(columns), first, total, fits, rows, tabs, overview)


def _widths(box: Box, taken: float, *, narrow: bool) -> tuple[float, int, float]:
    """Where the first column begins, how many fit, and how wide each is."""
    left = box.low_x + INSET_PX + taken
    room = box.high_x - INSET_PX - left
    fits = min(max(int((room + GAP_PX) // (LEAST_COLUMN_PX + GAP_PX)), 1), MOST_COLUMNS)
    if narrow:
        fits = NARROW_COLUMNS if room >= NARROW_COLUMNS * NARROW_LEAST_PX else 1
    return left, fits, (room - GAP_PX * (fits - 1)) / fits


def _spread(live: Live, rows: int) -> dict[StockKey, int]:
    """How many columns each stock takes."""
    keys = sorted({*live.stocks, *live.drawn.lots})
    counts = {key: live.stocks[key].count if key in live.stocks else 0 for key in keys}
    return {key: max(-(-count // rows), 1) for key, count in counts.items()}


def shown_stocks(live: Live) -> list[LiveStock]:
    """The stocks that have sections, in their order."""
    return [stock for stock in live.stocks.values() if stock.count]


def key_in_hand(live: Live, bench: BenchState) -> StockKey | None:
    """The stock in hand; the first where the one in hand is gone, None without any."""
    keys = sorted({*live.stocks, *live.drawn.lots})
    return bench.stock if bench.stock in keys else next(iter(keys), None)


@lru_cache(maxsize=32)
def order_of(stock: LiveStock, *, longest_first: bool) -> Sequence[int]:
    """The sections of a stock from 0, in cutting order or with the longest offcut first."""
    if not longest_first:
        return range(stock.count)
    ends = accumulate(count for count, _ in stock.cuts)
    alike = [(-cut.offcut_mm, end - count, end) for (count, cut), end in zip(stock.cuts, ends, strict=True)]
    return tuple(number for _, begin, end in sorted(alike) for number in range(begin, end))


def shown_at(live: Live, box: Box, bench: BenchState, key: StockKey, section: int) -> BenchState:
    """Take a stock in hand and turn the bench to a section of it, counted from 1, unless it is in view."""
    bench = bench if bench.stock == key else replace(bench, stock=key, turned=0)
    view = arranged(live, box, bench)
    stock = live.stocks.get(key)
    if stock is None or any(column.key == key and section - 1 in column.sections for column in view.columns):
        return bench
    begin = 0
    if not (view.tabs or view.overview):
        begin = sum(count for other, count in _spread(live, view.rows).items() if other < key)
    place = order_of(stock, longest_first=bench.longest_first).index(section - 1) // view.rows
    return replace(bench, turned=max(min(begin + place, view.total - view.fits), 0))
