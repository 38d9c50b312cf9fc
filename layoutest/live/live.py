"""Live: network, covering, stocks, tally and snags of a layout, made again only where an edit touched them."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import TYPE_CHECKING

from layoutest.choose import choose
from layoutest.cover.copies import copy_of, prefixes
from layoutest.cover.covering import Covering, cover
from layoutest.job import layout_snags, ordered
from layoutest.layout.ids import natural_key
from layoutest.live.stock import LiveStock, live_stock, planned
from layoutest.network import derive
from layoutest.pack.stocks import tasks_of
from layoutest.price.cost import price
from layoutest.quantities import count_quantities

if TYPE_CHECKING:
    from collections.abc import Mapping

    from layoutest.book.records import PriceBook
    from layoutest.cover.copies import Copy
    from layoutest.layout.document import Layout
    from layoutest.layout.snags import Snag
    from layoutest.pack.problem import Plan, Problem
    from layoutest.pack.stocks import StockKey

_TENTH = Decimal("0.1")


@dataclass(frozen=True, slots=True)
class Tally:
    """The counts and the money. `net` is None while something is missing; `known` never is."""

    sections: int
    joints: int
    tape_mm: int
    waste_percent: Decimal
    hours: Decimal
    net: Decimal | None
    known: Decimal
    currency: str
    proven: bool
    quick: bool


@dataclass(frozen=True, slots=True)
class Live:
    """All that is derived from a layout. `joints` are the places of joints between pieces along each straight."""

    layout: Layout
    book: PriceBook
    covering: Covering
    copies: tuple[Copy, ...]
    stocks: Mapping[StockKey, LiveStock]
    tally: Tally
    snags: tuple[Snag, ...]
    complete: bool
    left_out: tuple[str, ...]
    joints: Mapping[str, tuple[float, ...]]

    def problems_to_pack(self) -> tuple[Problem, ...]:
        """The problems of stocks that have only their quick plan."""
        return tuple(stock.task.problem for stock in self.stocks.values() if stock.state == "quick")


def live_of(layout: Layout, book: PriceBook, before: Live | None = None) -> Live:
    """Derive everything; what did not change since `before` is kept, object for object."""
    if before and layout is before.layout and book is before.book:
        return before
    old = before.covering if before else None
    chosen = choose(layout, book, old.network.chosen if old else None)
    covering = cover(derive(chosen, old.network if old else None), old)
    copies = tuple(copy_of(prefix, covering) for prefix in prefixes(["layout"], [layout.times])[0])
    stocks: dict[StockKey, LiveStock] = {}
    for task in tasks_of(copies, layout.settings, book):
        stock = live_stock(task, before.stocks.get(task.key) if before else None)
        if stock:
            stocks[task.key] = stock
    return _totalled(layout, book, covering, copies, stocks, before)


def with_plan(live: Live, plan: Plan) -> Live:
    """Put the exact packer's plan where it belongs; a stale one, whose problem is no longer asked, changes nothing."""
    for key, stock in live.stocks.items():
        if stock.state == "quick" and stock.task.problem == plan.problem:
            stocks = {**live.stocks, key: planned(stock, plan)}
            return _totalled(live.layout, live.book, live.covering, live.copies, stocks, live)
    return live


def _totalled(
    layout: Layout,
    book: PriceBook,
    covering: Covering,
    copies: tuple[Copy, ...],
    stocks: Mapping[StockKey, LiveStock],
    before: Live | None,
) -> Live:
    packed = [stock.stock for stock in stocks.values() if stock.task.problem.runs]
    quantities = count_quantities(copies, packed)
    snags = [*layout_snags(covering), *(snag for stock in stocks.values() for snag in stock.refused)]
    left_out = tuple(name for copy in copies for name in _left_out(copy))
    complete = not left_out and not any(snag.severity == "error" for snag in snags)
    cost, missing = price(packed, quantities, book, complete=complete)
    bought = [cut for stock in packed for cut in stock.plan.sections if not cut.from_van]
    length_mm = sum(cut.length_mm for cut in bought)
    waste = 100 * sum(cut.waste_mm for cut in bought) / length_mm if length_mm else 0.0
    states = {stock.state for stock in stocks.values()}
    tally = Tally(
        sum(stock.plan.bought for stock in packed),
        sum(joints.count for joints in quantities.joints),
        round(quantities.tape_um(book.tape_the_seam) / 1000),
        Decimal(str(round(waste, 1))).quantize(_TENTH),
        cost.hours,
        cost.net,
        cost.known,
        book.currency,
        states <= {"proven"},
        "quick" in states,
    )
    joints = _joints(stocks, before)
    return Live(
        layout,
        book,
        covering,
        copies,
        stocks,
        tally,
        ordered([*snags, *missing]),
        complete and not missing,
        left_out,
        joints,
    )


def _joints(stocks: Mapping[StockKey, LiveStock], before: Live | None) -> Mapping[str, tuple[float, ...]]:
    """Where along each straight two pieces meet, of the first copy; equal places stay the same object."""
    found: dict[str, tuple[float, ...]] = {}
    for stock in stocks.values():
        for placed in stock.placed:
            named = placed.named
            if named.straight is None or not placed.joints_mm or "#" in named.prefix:
                continue
            places = tuple(named.run.from_mm + place for place in placed.joints_mm)
            found[named.straight.key] = (*found.get(named.straight.key, ()), *places)
    if before:
        for key, places in found.items():
            if before.joints.get(key) == places:
                found[key] = before.joints[key]
    return found


def _left_out(copy: Copy) -> list[str]:
    chosen = copy.covering.network.chosen
    placed = {placed.id for laid in copy.covering.laid.values() for placed in laid.items}
    legs = sorted(chosen.refused, key=natural_key)
    items = sorted(chosen.layout.items.keys() - placed, key=natural_key)
    return [copy.prefix + name for name in (*legs, *items)]


