"""Cost lines, the tallies they are made from, and the prices that a book lacks."""

from __future__ import annotations

from dataclasses import dataclass, field
from decimal import Decimal
from typing import TYPE_CHECKING

from layoutest.layout.ids import natural_key
from layoutest.layout.snags import Snag

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from layoutest.book.records import PriceBook
    from layoutest.cover.joints import Cause


@dataclass(frozen=True, slots=True)
class Line:
    """One line of an estimate: amount = quantity × rate, rounded half up to the book's decimals."""

    what: str
    quantity: Decimal
    unit: str
    rate: Decimal
    amount: Decimal
    cause: Cause
    area: str
    sources: tuple[str, ...]

    @classmethod
    def of(
        cls,
        book: PriceBook,
        what: str,
        quantity: Decimal,
        unit: str,
        rate: Decimal,
        cause: Cause,
        *,
        area: str = "",
        sources: tuple[str, ...] = (),
    ) -> Line:
        """Make a line with its amount."""
        return cls(what, quantity, unit, rate, book.money(quantity * rate), cause, area, sources)


@dataclass(slots=True)
class Tally:
    """Amounts added up by cause and area, with their sources."""

    amounts: dict[tuple[Cause, str], int] = field(default_factory=dict)
    sources: dict[tuple[Cause, str], dict[str, None]] = field(default_factory=dict)

    def add(self, cause: Cause, area: str, amount: int, source: str) -> None:
        """Add an amount to its cause and area."""
        key = (cause, area)
        self.amounts[key] = self.amounts.get(key, 0) + amount
        self.sources.setdefault(key, {})[source] = None

    def rows(self) -> Iterator[tuple[tuple[Cause, str], int, tuple[str, ...]]]:
        """Each cause and area in order, with its amount and where it comes from."""
        for key in sorted(self.amounts):
            yield key, self.amounts[key], tuple(sorted(self.sources[key], key=natural_key))


@dataclass(slots=True)
class Missing:
    """The prices found missing, each told once with the row to add."""

    folder: str
    snags: list[Snag] = field(default_factory=list)
    told: set[str] = field(default_factory=set)

    def tell(self, file: str, row: str, what: str, where: tuple[str, ...] = (), *, empty: bool = False) -> None:
        """Note that a file of the book lacks a row, or the price in one (`empty`)."""
        key = f"{file}: {row}"
        if key not in self.told:
            self.told.add(key)
            where = tuple(sorted(where, key=natural_key))
            self.snags.append(
                Snag(
                    "missing-price",
                    where,
                    f"The price book has no price for {what}.",
                    f"{'Fill in the price in' if empty else 'Add to'} {key}",
                    key,
                )
            )


def rounding_line(book: PriceBook, what: str, whole: Decimal, split: Iterable[Line]) -> list[Line]:
    """What the rounding of split lines adds to, or takes from, the whole they were split from."""
    off = book.money(whole) - sum((line.amount for line in split), Decimal(0))
    return [Line.of(book, f"{what}, rounding of split lines", Decimal(1), "sum", off, "other")] if off else []
