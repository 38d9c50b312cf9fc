"""The comparison of two layouts, as text within 80 columns and as plain data."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from layoutest.documents.summary import origin
from layoutest.files.estimate_record import plain

if TYPE_CHECKING:
    from collections.abc import Sequence
    from decimal import Decimal

    from layoutest.compare import Comparison, Row


def comparison_text(comparison: Comparison) -> str:
    """The whole comparison, each line ended."""
    decimals = comparison.first.book.decimals
    lines = []
    for letter, estimate in (("A", comparison.first), ("B", comparison.second)):
        complete = "" if estimate.complete else "  NOT COMPLETE: see `layoutest check`."
        lines += [f"{letter}  {line}" for line in origin(estimate)[:-1]] + ([complete] if complete else [])
    lines += origin(comparison.second)[-1:]
    currency = comparison.first.cost.currency
    lines += _table("COUNTED", comparison.counts, 0)
    lines += _table(
        f"COST BY CAUSE, {currency}", [row for row in comparison.causes if row.first or row.second], decimals
    )
    lines += _table(f"TOTALS, {currency}", comparison.totals[1:] if _known(comparison) else comparison.totals, decimals)
    return "\n".join(lines) + "\n"


def _known(comparison: Comparison) -> bool:
    return comparison.first.complete and comparison.second.complete


def _table(title: str, rows: Sequence[Row], decimals: int) -> list[str]:
    head = f"{title:38}{'A':>13}{'B':>13}{'B - A':>13}"
    return ["", head, *(_row(row, decimals) for row in rows)]


def _row(row: Row, decimals: int) -> str:
    places = decimals or (3 if row.unit in ("m", "h") else 0)
    name = row.name if decimals else f"{row.name}, {row.unit}" if row.unit != "nr" else row.name
    values = (_cell(row.first, places), _cell(row.second, places), _cell(row.difference, places, signed=True))
    return f"  {name:36}" + "".join(f"{value:>13}" for value in values)


def _cell(value: Decimal | None, places: int, *, signed: bool = False) -> str:
    if value is None:
        return "open"
    text = f"{value:+.{places}f}" if signed else f"{value:.{places}f}"
    return text if value else text.replace("+", "")


def comparison_record(comparison: Comparison) -> dict[str, Any]:
    """The comparison as plain data; money and quantities as strings, None where a total is open."""
    estimates, decimals = (comparison.first, comparison.second), comparison.first.book.decimals
    return {
        "format": "layoutest-comparison",
        "version": 1,
        "layouts": [
            {
                "file": source.file,
                "title": source.layout.title,
                "revision": source.layout.revision,
                "sha256": source.sha256,
            }
            for estimate in estimates
            for source in estimate.sources
        ],
        "complete": [estimate.complete for estimate in estimates],
        "currency": comparison.first.cost.currency,
        "counts": [_row_record(row, 0) for row in comparison.counts],
        "cost_by_cause": [_row_record(row, decimals) for row in comparison.causes],
        "totals": [_row_record(row, decimals) for row in comparison.totals],
    }


def _row_record(row: Row, decimals: int) -> dict[str, Any]:
    def text(value: Decimal | None) -> str | None:
        return None if value is None else plain(value, decimals)

    return {
        "what": row.name,
        "unit": row.unit,
        "a": text(row.first),
        "b": text(row.second),
        "difference": text(row.difference),
    }
