"""What a price book holds, as immutable records. Money is Decimal in the book's one currency, lengths are millimetres.

Sizes go by bands: a row with `up_to_mm` serves every diameter up to and including it, and the narrowest band that
serves is taken; a row without it serves every diameter. A price that is not in the book is None, never zero.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from collections.abc import Mapping

SundryKind = Literal["tape", "end-seal", "elbow-cover", "jacket", "insert"]
Work = Literal["section-metre", "square-joint", "mitre-joint", "tee", "end-seal", "jacket", "insert"]


@dataclass(frozen=True, slots=True)
class Covering:
    """A covering material, from `coverings.toml`.

    `conductivity` is (mean temperature in degrees C, W/(m K)) pairs in rising order of temperature; `limits_c` is the
    lowest and highest fluid temperature it may serve.
    """

    name: str
    conductivity: tuple[tuple[float, float], ...]
    limits_c: tuple[float, float]
    euroclass: str
    emissivity_bright: float
    emissivity_aged: float
    metal_facing: bool
    vapour_barrier: bool
    density_kg_per_m3: float
    standard: str


@dataclass(frozen=True, slots=True)
class SectionSize:
    """A section that can be bought, from `sections.csv`; `price` is for one section, None when the cell is empty."""

    covering: str
    bore_mm: float
    thickness_mm: float
    length_mm: int
    price: Decimal | None
    per_carton: int | None
    whole_cartons: bool


@dataclass(frozen=True, slots=True)
class Sundry:
    """A bought thing other than a section, from `sundries.csv`.

    The band goes by the covered diameter for end seals, elbow covers and inserts, by the pipe's outside diameter for
    jackets; `item` narrows a jacket to one kind of item. Tape has a width and a roll length and no band; its price is
    for a roll, every other price for one piece.
    """

    kind: SundryKind
    up_to_mm: float | None
    item: str
    width_mm: int | None
    roll_m: Decimal | None
    price: Decimal | None


@dataclass(frozen=True, slots=True)
class LabourTime:
    """Minutes for one unit of a kind of work, from `labour.csv`; the band goes by the pipe's outside diameter."""

    work: Work
    up_to_mm: float | None
    minutes: Decimal | None


@dataclass(frozen=True, slots=True)
class ItemLength:
    """A starting length for an item without one of its own, from `items.csv`; the band goes by outside diameter."""

    kind: str
    up_to_mm: float | None
    length_mm: int


@dataclass(frozen=True, slots=True)
class ExtraLine:
    """A line of the estimator's own, from `extras.csv`."""

    what: str
    quantity: Decimal
    unit: str
    rate: Decimal


@dataclass(frozen=True, slots=True)
class VanOffcut:
    """Offcuts on hand, from `stock.csv`; `value` is what using one of them costs."""

    covering: str
    bore_mm: float
    thickness_mm: float
    length_mm: int
    count: int
    value: Decimal


@dataclass(frozen=True, slots=True)
class PriceBook:
    """A whole book. `folder` is where it was read, for messages; `sections` go by (covering, bore, thickness)."""

    folder: str
    name: str
    date: str
    currency: str
    decimals: int
    invented: bool
    vat_percent: Decimal
    margin_percent: Decimal
    contingency_percent: Decimal
    breakage_percent: Decimal
    delivery: Decimal
    waste_disposal_per_m3: Decimal
    labour_rate_per_hour: Decimal | None
    least_offcut_mm: int
    tape_the_seam: bool
    coverings: Mapping[str, Covering]
    sections: Mapping[tuple[str, float, float], SectionSize]
    sundries: tuple[Sundry, ...]
    labour: tuple[LabourTime, ...]
    access: Mapping[str, Decimal]
    items: tuple[ItemLength, ...]
    extras: tuple[ExtraLine, ...]
    stock: tuple[VanOffcut, ...]

    def money(self, amount: Decimal) -> Decimal:
        """Round half up to the book's decimals, as every line is."""
        return amount.quantize(Decimal(1).scaleb(-self.decimals), ROUND_HALF_UP)

    def bores_mm(self, covering: str) -> tuple[float, ...]:
        """The bores it lists for a covering, rising; empty for a covering it does not sell."""
        return tuple(sorted({bore for name, bore, _ in self.sections if name == covering}))

    def thicknesses_mm(self, covering: str, bore_mm: float) -> tuple[float, ...]:
        """The thicknesses it lists for a covering and a bore, rising."""
        return tuple(sorted(thick for name, bore, thick in self.sections if (name, bore) == (covering, bore_mm)))

    def sundry(self, kind: SundryKind, size_mm: float = 0, item: str = "") -> Sundry | None:
        """The narrowest row of a kind that serves a diameter, a row for this very item before one for any."""
        rows = [row for row in self.sundries if row.kind == kind and row.item in ("", item) and _serves(row, size_mm)]
        return min(rows, key=lambda row: (row.item != item, _width(row)), default=None)

    def minutes(self, work: Work, outside_diameter_mm: float) -> Decimal | None:
        """The time for one unit of work on a pipe, None when no row gives it."""
        rows = [row for row in self.labour if row.work == work and _serves(row, outside_diameter_mm)]
        row = min(rows, key=_width, default=None)
        return row.minutes if row else None

    def item_length_mm(self, kind: str, outside_diameter_mm: float) -> int | None:
        """The starting length of an item on a pipe, None when no row gives it."""
        rows = [row for row in self.items if row.kind == kind and _serves(row, outside_diameter_mm)]
        row = min(rows, key=_width, default=None)
        return row.length_mm if row else None


def _serves(row: Sundry | LabourTime | ItemLength, size_mm: float) -> bool:
    return row.up_to_mm is None or size_mm <= row.up_to_mm + 1e-9


def _width(row: Sundry | LabourTime | ItemLength) -> float:
    return row.up_to_mm if row.up_to_mm is not None else float("inf")
