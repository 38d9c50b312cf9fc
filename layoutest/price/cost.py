"""The cost of a job: all its lines, what is known, and the totals where nothing is missing.

Every line is quantity × rate, rounded half up; where one bought amount is split over several lines, what their
rounding adds or takes stands as a line of its own, so that the lines add up to what the merchant is paid.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from math import pi
from typing import TYPE_CHECKING

from layoutest.price.labour import labour_lines
from layoutest.price.lines import Line, Missing
from layoutest.price.sections import section_lines
from layoutest.price.sundries import each_lines, tape_lines

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from layoutest.book.records import PriceBook
    from layoutest.layout.snags import Snag
    from layoutest.pack.placing import Stock
    from layoutest.pack.problem import CutSection
    from layoutest.pack.stocks import StockKey
    from layoutest.quantities import Quantities

_MILLI = Decimal("0.001")


@dataclass(frozen=True, slots=True)
class Cost:
    """The cost of a job. `net`, `vat` and `total` are None while the estimate is incomplete; `known` never is."""

    currency: str
    lines: tuple[Line, ...]
    known: Decimal
    net: Decimal | None
    vat: Decimal | None
    total: Decimal | None
    hours: Decimal
    tape_rolls: int

    def by_cause(self) -> dict[str, Decimal]:
        """What each cause costs; the causes in the order of the contract."""
        causes = ("length", "bend", "tee", "joint", "offcut", "item", "labour", "other")
        found = dict.fromkeys(causes, Decimal(0))
        for line in self.lines:
            found[line.cause] += line.amount
        return found


def price(
    stocks: Sequence[Stock], quantities: Quantities, book: PriceBook, *, complete: bool
) -> tuple[Cost, tuple[Snag, ...]]:
    """Price a job. `complete` says whether everything drawn is in the quantities.

    Returns:
        the cost, and a snag for every price that is missing from the book.
    """
    missing = Missing(book.folder)
    lines: list[Line] = []
    for stock in stocks:
        lines += section_lines(stock, book, missing)
    tape, rolls = tape_lines(quantities, book, missing)
    lines += tape + each_lines(quantities, book, missing)
    labour, hours = labour_lines(quantities, book, missing)
    waste_m3 = sum((waste_of(stock.key, thrown_mm(stock.plan.sections, book)) for stock in stocks), Decimal(0))
    lines += labour + other_lines(waste_m3, book)
    lines += percent_lines(sum((line.amount for line in lines), Decimal(0)), book)
    known = sum((line.amount for line in lines), Decimal(0))
    vat = book.money(known * book.vat_percent / 100)
    if missing.snags or not complete:
        return Cost(book.currency, tuple(lines), known, None, None, None, hours, rolls), tuple(missing.snags)
    return Cost(book.currency, tuple(lines), known, known, vat, known + vat, hours, rolls), ()


def other_lines(waste_m3: Decimal, book: PriceBook) -> list[Line]:
    """The estimator's own lines, delivery and the disposal of what is left over."""
    lines = [Line.of(book, own.what, own.quantity, own.unit, own.rate, "other") for own in book.extras]
    if book.delivery:
        lines.append(Line.of(book, "Delivery", Decimal(1), "sum", book.delivery, "other"))
    waste_m3 = waste_m3.quantize(_MILLI, ROUND_HALF_UP)
    if waste_m3 and book.waste_disposal_per_m3:
        rate = book.waste_disposal_per_m3
        lines.append(Line.of(book, "Disposal of offcuts and scrap", waste_m3, "m3", rate, "offcut"))
    return lines


def thrown_mm(sections: Iterable[CutSection], book: PriceBook) -> int:
    """The length thrown away of sections: wedges, kerf, scrap, and offcuts shorter than is worth keeping."""
    return sum(
        section.wedge_mm
        + section.kerf_mm
        + section.scrap_mm
        + (section.offcut_mm if section.offcut_mm < book.least_offcut_mm else 0)
        for section in sections
    )


def waste_of(stock: StockKey, length_mm: int) -> Decimal:
    """The volume of a length of a stock's sections, in m³."""
    _, bore_mm, thickness_mm = stock
    area_mm2 = pi / 4 * ((bore_mm + 2 * thickness_mm) ** 2 - bore_mm**2)
    return Decimal(round(area_mm2 * length_mm)).scaleb(-9)


def percent_lines(known: Decimal, book: PriceBook) -> list[Line]:
    """Contingency on what is known so far, and the margin on that and the contingency."""
    lines: list[Line] = []
    for what, percent in (("Contingency", book.contingency_percent), ("Margin", book.margin_percent)):
        if percent:
            lines.append(Line.of(book, what, percent, "%", known / 100, "other"))
            known += lines[-1].amount
    return lines
