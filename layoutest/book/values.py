"""Reading one value of a price book, out of a CSV cell or a TOML key; a value that will not do raises ValueError.

The text of the error is the sentence for the user, without the place. Only sizes and physical
properties become binary fractions.
"""

from __future__ import annotations

import datetime as dt
import re
from decimal import Decimal
from itertools import pairwise
from typing import TYPE_CHECKING, TypeVar

from layoutest.tables.near import near

if TYPE_CHECKING:
    from collections.abc import Callable, Collection

T = TypeVar("T")

LARGEST_SIZE_MM = 10_000
_AMOUNT = re.compile(r"[0-9]{1,12}(\.[0-9]{1,6})?", re.ASCII)
_WHOLE = re.compile(r"[0-9]{1,12}", re.ASCII)
_SHOWN = 60


def shown(value: object) -> str:
    """A value as a message shows it: text in quotes and cut short, a list or table by its kind."""
    if isinstance(value, str):
        return repr(value if len(value) <= _SHOWN else value[: _SHOWN - 1] + "…")
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, int):
        return str(value) if abs(value) < 10**_SHOWN else "a whole number of more than 60 digits"
    if isinstance(value, float | dt.date | dt.time):
        return str(value)
    return "a list" if isinstance(value, list) else "a table"


def text(value: object) -> str:
    """Text that is not empty."""
    if not isinstance(value, str) or not value.strip():
        raise ValueError(f"{shown(value)} stands here; expected text")
    return value


def one_of(what: str, names: Collection[str]) -> Callable[[object], str]:
    """One of the names of something."""

    def read(value: object) -> str:
        if not isinstance(value, str) or value not in names:
            told = near(value, names) if isinstance(value, str) else ""
            raise ValueError(f"no {what} is called {shown(value)}{told or '; expected ' + ', '.join(sorted(names))}")
        return value

    return read


def amount(value: object) -> Decimal:
    """Money, a percentage, minutes or a factor: 0 or more, at most 12 digits before the point and 6 after it."""
    written = value if isinstance(value, str) else shown(value)
    if isinstance(value, float) and _AMOUNT.fullmatch(written):
        raise ValueError(f'{written} stands here without quotes; write it as "{written}", so that it is kept exactly')
    if _AMOUNT.fullmatch(written):
        return Decimal(written)
    if _AMOUNT.fullmatch(written.removeprefix("-")):
        raise ValueError(f"{shown(value)} is negative; expected 0 or more")
    raise ValueError(f"{shown(value)} is not an amount; expected digits with a point, such as 6.10")


def above_zero(value: object) -> Decimal:
    """An amount that is more than 0."""
    read = amount(value)
    if not read:
        raise ValueError(f"{shown(value)} stands here; expected more than 0")
    return read


def percent(value: object) -> Decimal:
    """A percentage from 0 to 100."""
    read = amount(value)
    if read > 100:
        raise ValueError(f"{shown(value)} per cent stands here; expected 0 to 100")
    return read


def size_mm(value: object) -> float:
    """A size in millimetres, over 0 and at most 10 000, with or without a fraction."""
    if isinstance(value, str) and _AMOUNT.fullmatch(value) and 0 < float(value) <= LARGEST_SIZE_MM:
        return float(value)
    raise ValueError(f"{shown(value)} is not a size; expected millimetres over 0, at most {LARGEST_SIZE_MM}")


def whole(least: int, most: int) -> Callable[[object], int]:
    """A whole number within limits."""

    def read(value: object) -> int:
        number = int(value) if isinstance(value, str) and _WHOLE.fullmatch(value) else value
        if not isinstance(number, int) or isinstance(number, bool) or not least <= number <= most:
            raise ValueError(f"{shown(value)} stands here; expected a whole number from {least} to {most}")
        return number

    return read


def yes_or_no(value: object) -> bool:
    """A cell that says yes or no (or true or false); empty is no."""
    said = str(value).lower()
    if said not in ("yes", "true", "no", "false", ""):
        raise ValueError(f"{shown(value)} stands here; expected yes or no")
    return said in ("yes", "true")


def true_or_false(value: object) -> bool:
    """A TOML truth value."""
    if isinstance(value, bool):
        return value
    raise ValueError(f"{shown(value)} stands here; expected true or false")


def number(least: float, most: float) -> Callable[[object], float]:
    """A TOML number within limits, finite."""

    def read(value: object) -> float:
        if not isinstance(value, int | float) or isinstance(value, bool) or not least <= value <= most:
            raise ValueError(f"{shown(value)} stands here; expected a number from {least:g} to {most:g}")
        return float(value)

    return read


temperature_c = number(-273.15, 2000)


def pairs(first: Callable[[object], float], second: Callable[[object], float]) -> Callable[[object], object]:
    """A TOML list of pairs, the first of each rising."""

    def read(value: object) -> tuple[tuple[float, float], ...]:
        if not isinstance(value, list) or not value or any(not isinstance(one, list) or len(one) != 2 for one in value):
            raise ValueError(f"{shown(value)} stands here; expected pairs such as [[10, 0.033], [50, 0.037]]")
        read = tuple((first(one), second(other)) for one, other in value)
        if any(one >= other for (one, _), (other, _) in pairwise(read)):
            raise ValueError("the pairs are not in rising order; expected the lowest temperature first and each once")
        return read

    return read


def span(value: object) -> tuple[float, float]:
    """A TOML list of the lowest and the highest temperature."""
    if not isinstance(value, list) or len(value) != 2:
        raise ValueError(f"{shown(value)} stands here; expected the lowest and the highest, such as [0, 250]")
    lowest, highest = (temperature_c(one) for one in value)
    if lowest >= highest:
        raise ValueError(f"[{lowest:g}, {highest:g}] stands here; expected the lowest first, then a higher one")
    return lowest, highest


def currency(value: object) -> str:
    """A currency as three capital letters."""
    if not isinstance(value, str) or not re.fullmatch("[A-Z]{3}", value):
        raise ValueError(f"{shown(value)} is not a currency; expected three capital letters such as GBP")
    return value


def date(value: object) -> str:
    """A day, as a TOML date or as text such as 2026-01-05."""
    written = str(value) if isinstance(value, str | dt.date) else ""
    try:
        if re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", written):
            return dt.date.fromisoformat(written).isoformat()
    except ValueError:
        pass  # the 31st of February
    raise ValueError(f"{shown(value)} is not a date; expected year, month and day such as 2026-01-05")


def or_none(read: Callable[[object], T]) -> Callable[[object], T | None]:
    """What the reader takes, or None where nothing is written."""
    return lambda value: None if value == "" else read(value)
