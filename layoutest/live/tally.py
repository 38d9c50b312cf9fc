"""The tally: the counts and the money of a layout, from amounts that an edit adds to and takes from."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import TYPE_CHECKING

from layoutest.price.total import Amounts, add, tape_um, total

if TYPE_CHECKING:
    from collections.abc import Sequence

    from layoutest.book.records import PriceBook
    from layoutest.layout.snags import Snag
    from layoutest.live.stock import LiveStock

_TENTH = Decimal("0.1")


@dataclass(frozen=True, slots=True)
class Tally:
    """The counts and the money. `net` is None while something is missing; `known` never is.

    `joints` are all that are taped. `proven` says that every plan is; `quick` that some stock is packed quickly.
    """

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


def tally_of(
    drawn: Amounts, times: int, stocks: Sequence[LiveStock], book: PriceBook, *, complete: bool
) -> tuple[Tally, tuple[Snag, ...]]:
    """Add up a layout.

    Args:
        drawn: what it comes to once, whatever the plans.
        times: how often it is built.
        stocks: the stocks with their plans.
        book: the prices.
        complete: whether everything drawn is in the amounts.

    Returns:
        the tally, and a snag for every price that is missing from the book.
    """
    amounts: Amounts = {}
    add(amounts, drawn, times)
    for stock in stocks:
        add(amounts, stock.joints)
    cost, missing = total([stock.bill(book) for stock in stocks], amounts, book, complete=complete)
    states = {stock.state for stock in stocks}
    tally = Tally(
        sum(stock.bought for stock in stocks),
        amounts.get("joints", 0),
        round(tape_um(amounts, book) / 1000),
        _waste_percent(stocks),
        cost.hours,
        cost.net,
        cost.known,
        book.currency,
        states <= {"proven"},
        "quick" in states,
    )
    return tally, missing


def _waste_percent(stocks: Sequence[LiveStock]) -> Decimal:
    """What of the bought sections is in no piece, as a share of their length."""
    bought = [(count, cut) for stock in stocks for count, cut in stock.cuts if not cut.from_van]
    length_mm = sum(count * cut.length_mm for count, cut in bought)
    waste_mm = sum(count * cut.waste_mm for count, cut in bought)
    share = 100 * waste_mm / length_mm if length_mm else 0.0
    return Decimal(str(round(share, 1))).quantize(_TENTH)
