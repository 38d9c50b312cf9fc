"""Live: network, covering, stocks, tally and snags of a layout, made again only where an edit touched them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from layoutest.choose import choose
from layoutest.cover.copies import prefixes
from layoutest.cover.covering import Covering, cover
from layoutest.layout.ids import natural_key
from layoutest.live.changes import changes_of
from layoutest.live.drawn import Drawn, drawn_of
from layoutest.live.stock import LiveStock, Strung, live_stock, planned
from layoutest.live.tally import Tally, tally_of
from layoutest.live.told import Told, entries_of, listed, told_of
from layoutest.network import derive
from layoutest.pack.stocks import is_cold

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from layoutest.book.records import PriceBook
    from layoutest.layout.document import Layout
    from layoutest.layout.snags import Snag
    from layoutest.pack.problem import Plan, Problem
    from layoutest.pack.stocks import StockKey

__all__ = ["Live", "LiveStock", "Tally", "live_of", "with_plan", "with_plans"]

Stocks = dict["StockKey", LiveStock]


@dataclass(frozen=True, slots=True)
class Live:
    """All that is derived from a layout.

    The layout counts as often as it is built, but snags and what is left out name the drawing's own ids, once. `joints`
    are the places of joints between pieces along each straight, in mm. `drawn` and `told` are what the next edit starts
    from; `unmade` the snags of runs that no section can hold.
    """

    layout: Layout
    book: PriceBook
    covering: Covering
    stocks: Mapping[StockKey, LiveStock]
    tally: Tally
    snags: tuple[Snag, ...]
    complete: bool
    left_out: tuple[str, ...]
    joints: Mapping[str, tuple[float, ...]]
    drawn: Drawn
    told: Told
    unmade: tuple[Snag, ...]

    def problems_to_pack(self) -> tuple[Problem, ...]:
        """The problems of stocks that have only their quick plan."""
        return tuple(stock.task.problem for stock in self.stocks.values() if stock.state == "quick")


def live_of(layout: Layout, book: PriceBook, before: Live | None = None) -> Live:
    """Derive everything; what did not change since `before` is kept, object for object."""
    if before and layout is before.layout and book is before.book:
        return before
    if before and (book is not before.book or layout.settings != before.layout.settings):
        before = None
    old = before.covering if before else None
    chosen = choose(layout, book, old.network.chosen if old else None)
    covering = cover(derive(chosen, old.network if old else None), old)
    changes = changes_of(covering, old)
    drawn = drawn_of(covering, changes, before.drawn if before else None)
    told = told_of(covering, drawn.holes, changes, (before.covering, before.told) if before else None)
    stocks, unmade = _stocks(layout, book, covering, drawn, before)
    return _totalled(layout, book, covering, stocks, drawn, told, unmade, before)


def with_plans(live: Live, plans: Iterable[Plan]) -> Live:
    """Put plans of the exact packer where they fit a stock that is packed quickly; others change nothing.

    A plan fits where its problem is that of the stock, whatever its runs are called.
    """
    stocks = dict(live.stocks)
    for plan in plans:
        for key, stock in live.stocks.items():
            if stocks[key].state == "quick" and stock.answers(plan):
                stocks[key] = planned(stock, plan)
    if all(stocks[key] is stock for key, stock in live.stocks.items()):
        return live
    return _totalled(live.layout, live.book, live.covering, stocks, live.drawn, live.told, live.unmade, live)


def with_plan(live: Live, plan: Plan) -> Live:
    """Put a plan of the exact packer where it belongs; a stale one, that answers no stock of now, changes nothing."""
    return with_plans(live, (plan,))


def _stocks(
    layout: Layout, book: PriceBook, covering: Covering, drawn: Drawn, before: Live | None
) -> tuple[Stocks, tuple[Snag, ...]]:
    """The stocks in order, and the snags of runs that no section can hold."""
    copies = tuple(prefixes(["layout"], [layout.times])[0])
    strung = Strung(drawn.straights, drawn.nodes, covering.network.names, copies)
    cold = {name for name, service in layout.services.items() if is_cold(service)}
    stocks: Stocks = {}
    unmade: list[Snag] = []
    for key, lot in drawn.lots.items():
        held = before.stocks.get(key) if before else None
        spec = next(strip.spec for strip in strung.of(lot) if strip.spec)
        blank = drawn.ground.blank(spec, cold=not cold.isdisjoint(lot.services))
        if not (held and held.lot is lot and held.blank == blank[0] and held.is_called_as(strung)):
            held = live_stock(key, lot, strung, blank, book, held)
        unmade += held.refused_snags
        if held.refused != lot.kinds.keys():
            stocks[key] = held
    return stocks, tuple(unmade)


def _totalled(
    layout: Layout,
    book: PriceBook,
    covering: Covering,
    stocks: Stocks,
    drawn: Drawn,
    told: Told,
    unmade: tuple[Snag, ...],
    before: Live | None,
) -> Live:
    left_out = _left_out(layout, covering, drawn)
    entries = [*told.entries(), *entries_of(unmade)]
    complete = not left_out and not any(snag.severity == "error" for _, snag in entries)
    tally, missing = tally_of(drawn.amounts, layout.times, list(stocks.values()), book, complete=complete)
    return Live(
        layout,
        book,
        covering,
        stocks,
        tally,
        listed([*entries, *entries_of(missing)]),
        complete and not missing,
        left_out,
        _joints(stocks, before),
        drawn,
        told,
        unmade,
    )


def _left_out(layout: Layout, covering: Covering, drawn: Drawn) -> tuple[str, ...]:
    """Legs and items that are drawn but in no quantity."""
    legs = sorted(covering.network.chosen.refused, key=natural_key)
    items = sorted(layout.items.keys() - drawn.items, key=natural_key)
    return (*legs, *items)


def _joints(stocks: Stocks, before: Live | None) -> Mapping[str, tuple[float, ...]]:
    """Where pieces meet along each straight; equal places stay the same object."""
    found = {key: places for stock in stocks.values() for key, places in stock.joints_mm.items()}
    if before:
        for key in [key for key, places in found.items() if places is not before.joints.get(key)]:
            if found[key] == before.joints.get(key):
                found[key] = before.joints[key]
    return found
