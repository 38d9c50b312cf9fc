"""Two estimates side by side: what each takes and costs, and the difference."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from layoutest.job import Estimate


@dataclass(frozen=True, slots=True)
class Row:
    """One figure of both; `second` − `first` is the difference. A figure that is not known is None."""

    name: str
    unit: str
    first: Decimal | None
    second: Decimal | None

    @property
    def difference(self) -> Decimal | None:
        """How much more the second takes."""
        return None if self.first is None or self.second is None else self.second - self.first


@dataclass(frozen=True, slots=True)
class Comparison:
    """Two estimates of one price book, and their figures: counts, cost by cause, and totals."""

    first: Estimate
    second: Estimate
    counts: tuple[Row, ...]
    causes: tuple[Row, ...]
    totals: tuple[Row, ...]


def compare(first: Estimate, second: Estimate) -> Comparison:
    """Put two estimates side by side."""
    counts = [
        Row(name, unit, one, two)
        for (name, unit, one), (_, _, two) in zip(_counts(first), _counts(second), strict=True)
    ]
    mine, other = first.cost.by_cause(), second.cost.by_cause()
    causes = [Row(cause, first.cost.currency, mine[cause], other[cause]) for cause in mine]
    totals = [
        Row(name, first.cost.currency, getattr(first.cost, field), getattr(second.cost, field))
        for name, field in (("known", "known"), ("net", "net"), ("VAT", "vat"), ("total", "total"))
    ]
    return Comparison(first, second, tuple(counts), tuple(causes), tuple(totals))


def _counts(estimate: Estimate) -> list[tuple[str, str, Decimal]]:
    quantities = estimate.quantities
    pipe_mm = sum(
        straight.centre_line_mm for copy in estimate.copies for straight in copy.covering.network.straights.values()
    )
    waste_mm = sum(cut.waste_mm for stock in estimate.stocks for cut in stock.plan.sections if not cut.from_van)
    return [
        ("pipe", "m", _metres(round(1000 * pipe_mm))),
        ("covering", "m", _metres(quantities.covered_um)),
        ("sections", "nr", Decimal(sum(stock.plan.bought for stock in estimate.stocks))),
        ("offcuts and waste", "m", _metres(1000 * waste_mm)),
        ("bends", "nr", Decimal(quantities.bends)),
        ("tees", "nr", Decimal(quantities.count("tee"))),
        ("reducers", "nr", Decimal(quantities.reducers)),
        ("square joints", "nr", Decimal(quantities.joint_count("square"))),
        ("mitre joints", "nr", Decimal(quantities.joint_count("mitre"))),
        ("notches and saddles", "nr", Decimal(quantities.joint_count("notch", "saddle"))),
        ("foil tape", "m", _metres(quantities.tape_um(estimate.book.tape_the_seam))),
        ("end seals", "nr", Decimal(quantities.count("end-seal"))),
        ("elbow covers", "nr", Decimal(quantities.count("elbow-cover"))),
        ("jackets", "nr", Decimal(quantities.count("jacket"))),
        ("support inserts", "nr", Decimal(quantities.count("insert"))),
        ("labour", "h", estimate.cost.hours),
    ]


def _metres(length_um: int) -> Decimal:
    return Decimal(length_um).scaleb(-6).quantize(Decimal("0.001"))
