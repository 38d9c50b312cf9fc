"""Where the sections stand on the bench: in columns of rows, each stock from the top of a new one."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from layoutest.drawing.primitives import Box
from layoutest.editor.regions import NARROW_BELOW_PX

if TYPE_CHECKING:
    from layoutest.editor.bench_state import BenchState, StockKey
    from layoutest.live.live import Live
    from layoutest.live.stock import LiveStock

HEAD_PX = 36.0
BAR_PX, PITCH_PX = 17.0, 21.0
GUTTER_PX, GAP_PX = 24.0, 22.0
INSET_PX = 12.0
LEAST_COLUMN_PX = 360.0
OVERVIEW_PX = 420.0
NARROW_COLUMNS = 2


class Column(NamedTuple):
    """A column of bars: its stock, the sections in it (from 0, in the order shown), where it stands, and its bars."""

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
    width = box.high_x - box.low_x
    tabs = width < NARROW_BELOW_PX
    overview = bench.height == "tall" and not tabs
    left = box.low_x + INSET_PX + (OVERVIEW_PX + GAP_PX if overview else 0)
    room = box.high_x - INSET_PX - left
    rows = max(int((box.high_y - box.low_y - HEAD_PX - 4) // PITCH_PX), 1)
    fits = max(int((room + GAP_PX) // (LEAST_COLUMN_PX + GAP_PX)), 1)
    if tabs:
        fits = NARROW_COLUMNS if room > 2 * 280 else 1
    wide = (room - GAP_PX * (fits - 1)) / fits
    stocks = shown_stocks(live)
    if tabs or overview:
        chosen = stock_in_hand(live, bench)
        stocks = [chosen] if chosen else []
    spread = [(stock, -(-stock.count // rows)) for stock in stocks]
    total = sum(count for _, count in spread)
    first = min(bench.turned, max(total - fits, 0))
    columns: list[Column] = []
    at = 0
    for stock, count in spread:
        low, high = max(first, at), min(first + fits, at + count)
        if low < high:
            order = _order(stock, bench)
            for number in range(low, high):
                begin = (number - at) * rows
                x = left + (number - first) * (wide + GAP_PX)
                sections = tuple(order[begin : begin + rows])
                columns.append(Column(stock.key, sections, number - at, x, box.low_y + HEAD_PX, wide))
        at += count
    return Arranged(tuple(columns), first, total, fits, rows, tabs, overview)


def shown_stocks(live: Live) -> list[LiveStock]:
    """The stocks that have sections, in their order."""
    return [stock for stock in live.stocks.values() if stock.count]


def stock_in_hand(live: Live, bench: BenchState) -> LiveStock | None:
    """The stock in hand; the first where the one in hand is gone."""
    stocks = shown_stocks(live)
    if bench.stock is not None:
        for stock in stocks:
            if stock.key == bench.stock:
                return stock
    return stocks[0] if stocks else None


def _order(stock: LiveStock, bench: BenchState) -> list[int]:
    sections = range(stock.count)
    if not bench.longest_first:
        return list(sections)
    return sorted(sections, key=lambda number: -stock.plan.sections[number].offcut_mm)
