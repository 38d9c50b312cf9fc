"""What an edit changed, told of like plans: a quick plan is compared with a quick one, never with the packer's."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from typing import TYPE_CHECKING, NamedTuple

from layoutest.live.tally import Tally, tally_of
from layoutest.pack.batches import batches_of

if TYPE_CHECKING:
    from collections.abc import Mapping

    from layoutest.live.live import Live
    from layoutest.live.stock import LiveStock
    from layoutest.pack.stocks import StockKey

KEPT = 256


class Compared(NamedTuple):
    """Two tallies to be compared, and by how much the sections bought of each stock differ."""

    before: Tally
    after: Tally
    sections: Mapping[StockKey, int]


def compared(before: Live, after: Live) -> Compared:
    """Compare two layouts; a stock that is packed quickly in one of them counts as packed quickly in both."""
    keys = before.stocks.keys() | after.stocks.keys()
    quick = {
        key for key in keys if any(key in live.stocks and live.stocks[key].exact is None for live in (before, after))
    }
    sides = [_with_quick(live, quick) for live in (before, after)]
    bought = [{key: stock.bought for key, stock in stocks.items()} for _, stocks in sides]
    changes = {key: bought[1].get(key, 0) - bought[0].get(key, 0) for key in keys}
    return Compared(sides[0][0], sides[1][0], {key: change for key, change in changes.items() if change})


def _with_quick(live: Live, quick: set[StockKey]) -> tuple[Tally, Mapping[StockKey, LiveStock]]:
    packed = [key for key in quick if key in live.stocks and live.stocks[key].exact is not None]
    if not packed:
        return live.tally, live.stocks
    stocks = {key: quickened(stock) if key in packed else stock for key, stock in live.stocks.items()}
    tally, _ = tally_of(
        live.drawn.amounts, live.layout.times, list(stocks.values()), live.book, complete=live.tally.net is not None
    )
    return tally, stocks


@lru_cache(maxsize=KEPT)
def quickened(stock: LiveStock) -> LiveStock:
    """The stock with its quick plan in place of the packer's."""
    times = len(stock.strung.prefixes)
    kinds = {kind: times * count for kind, count in stock.lot.kinds.items() if kind not in stock.refused}
    return replace(stock, exact=None, batches=batches_of(stock.blank, kinds) if kinds else ())
