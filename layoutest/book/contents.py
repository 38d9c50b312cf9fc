"""What each file of a price book holds: its columns or keys, how each is read, and what may stand once only."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, get_args

from layoutest.book import values
from layoutest.book.records import ExtraLine, ItemLength, LabourTime, SectionSize, Sundry, SundryKind, VanOffcut, Work
from layoutest.book.rows import Table

if TYPE_CHECKING:
    from collections.abc import Callable, Collection, Iterator, Mapping
    from decimal import Decimal

    from layoutest.book.rows import Fault

PURPOSES: Mapping[str, str] = {
    "book.toml": "the book's name, currency, percentages and rates",
    "coverings.toml": "the covering materials",
    "sections.csv": "the sections that can be bought",
    "sundries.csv": "tape, end seals, elbow covers, jackets and inserts",
    "labour.csv": "the minutes of each kind of work",
    "access.csv": "the factors of hard access",
    "items.csv": "the starting lengths of valves and other items",
    "extras.csv": "lines of the estimator's own",
    "stock.csv": "offcuts on hand",
}
OPTIONAL = ("extras.csv", "stock.csv")
ITEM_KINDS = ("valve", "flange", "strainer", "pump", "meter", "support", "other")

_up_to_mm = values.or_none(values.size_mm)
_length_mm = values.whole(1, values.LARGEST_SIZE_MM)
_price = values.or_none(values.amount)
_share = values.number(0.0, 1.0)

BOOK: Mapping[str, Callable[[Any], Any]] = {
    "name": values.text,
    "date": values.date,
    "currency": values.currency,
    "decimals": values.whole(0, 4),
    "invented": values.true_or_false,
    "vat_percent": values.percent,
    "margin_percent": values.percent,
    "contingency_percent": values.percent,
    "breakage_percent": values.percent,
    "delivery": values.amount,
    "waste_disposal_per_m3": values.amount,
    "labour_rate_per_hour": values.or_none(values.amount),
    "least_offcut_mm": values.whole(0, values.LARGEST_SIZE_MM),
    "tape_the_seam": values.true_or_false,
}
BOOK_OPTIONAL = ("labour_rate_per_hour",)

COVERING: Mapping[str, Callable[[Any], Any]] = {
    "conductivity": values.pairs(values.temperature_c, values.number(0.001, 10)),
    "limits_c": values.span,
    "euroclass": values.text,
    "emissivity_bright": _share,
    "emissivity_aged": _share,
    "metal_facing": values.true_or_false,
    "vapour_barrier": values.true_or_false,
    "density_kg_per_m3": values.number(1, 10_000),
    "standard": values.text,
}


def sections(coverings: Collection[str] | None) -> Table[SectionSize]:
    """`sections.csv`, for the known coverings (None: any name will do)."""
    return Table(
        SectionSize,
        {
            **_size(coverings),
            "length_mm": _length_mm,
            "price": _price,
            "per_carton": values.or_none(values.whole(1, 10_000)),
            "whole_cartons": values.yes_or_no,
        },
        ("covering", "bore_mm", "thickness_mm"),
        _section_faults,
    )


def stock(coverings: Collection[str] | None) -> Table[VanOffcut]:
    """`stock.csv`, for the known coverings (None: any name will do)."""
    columns = {"length_mm": _length_mm, "count": values.whole(0, 10_000), "value": values.amount}
    key = ("covering", "bore_mm", "thickness_mm", "length_mm", "value")
    return Table(VanOffcut, {**_size(coverings), **columns}, key)


def _size(coverings: Collection[str] | None) -> dict[str, Callable[[Any], Any]]:
    covering = values.text if coverings is None else values.one_of("covering", coverings)
    return {"covering": covering, "bore_mm": values.size_mm, "thickness_mm": values.size_mm}


def _section_faults(row: SectionSize) -> Iterator[Fault]:
    if row.whole_cartons and row.per_carton is None:
        yield "per_carton", "nothing stands here; expected how many a whole carton holds"


def _sundry_faults(row: Sundry) -> Iterator[Fault]:
    if row.item and row.kind != "jacket":
        yield "item", f"{row.item!r} stands at '{row.kind}'; expected an empty cell, only jackets go by kind of item"
    if row.kind == "tape":
        if row.up_to_mm is not None:
            yield "up_to_mm", f"{row.up_to_mm:g} stands at 'tape'; expected an empty cell, one tape serves every size"
        if row.width_mm is None:
            yield "width_mm", "nothing stands here; expected the width of the tape in millimetres"
        if row.roll_m is None:
            yield "roll_m", "nothing stands here; expected the length of a roll in metres"
    else:
        if row.width_mm is not None:
            yield "width_mm", f"{row.width_mm} stands at '{row.kind}'; expected an empty cell, only tape has a width"
        if row.roll_m is not None:
            yield "roll_m", f"{row.roll_m} stands at '{row.kind}'; expected an empty cell, only tape comes in rolls"


SUNDRIES = Table(
    Sundry,
    {
        "kind": values.one_of("sundry", get_args(SundryKind)),
        "up_to_mm": _up_to_mm,
        "item": lambda cell: cell and values.one_of("kind of item", ITEM_KINDS)(cell),
        "width_mm": values.or_none(values.whole(1, values.LARGEST_SIZE_MM)),
        "roll_m": values.or_none(values.above_zero),
        "price": _price,
    },
    ("kind", "item", "up_to_mm"),
    _sundry_faults,
)
LABOUR = Table(
    LabourTime,
    {
        "work": values.one_of("work", get_args(Work)),
        "up_to_mm": _up_to_mm,
        "minutes": values.or_none(values.amount),
    },
    ("work", "up_to_mm"),
)


def _factor(name: str, factor: Decimal) -> tuple[str, Decimal]:
    return name, factor


ACCESS = Table(_factor, {"name": values.text, "factor": values.above_zero}, ("name",))
ITEMS = Table(
    ItemLength,
    {"kind": values.one_of("kind of item", ITEM_KINDS), "up_to_mm": _up_to_mm, "length_mm": _length_mm},
    ("kind", "up_to_mm"),
)
EXTRAS = Table(
    ExtraLine,
    {"what": values.text, "quantity": values.amount, "unit": values.text, "rate": values.amount},
)
