"""Lengths as people write them, read into whole millimetres, and shown again.

The inch is 25.4 mm and the foot 304.8 mm exactly (international yard and pound agreement of 1959; NIST SP 811, B.6).
"""

from __future__ import annotations

import re
import unicodedata
from fractions import Fraction
from typing import Literal

Unit = Literal["mm", "cm", "m", "in", "ft"]

_MM_EACH = {
    "mm": Fraction(1),
    "cm": Fraction(10),
    "m": Fraction(1000),
    "in": Fraction(254, 10),
    "ft": Fraction(3048, 10),
}
_UNITS = {"": "mm", '"': "in", "inch": "in", "inches": "in", "'": "ft", "foot": "ft", "feet": "ft"}
# With 32nds of an inch, 0.79 mm apart, what is shown reads back as the same millimetre; with 16ths it would not.
_PARTS_OF_INCH = 32
LONGEST_MM = 1_000_000
_MOST_LETTERS = 40

_SIGNS = str.maketrans({"′": "'", "’": "'", "″": '"', "”": '"', "−": "-", "⁄": "/"})
_WHOLE = r"\d{1,3}(?: \d{3})+|\d+"
_NUMBER = rf"(?:{_WHOLE})?[.,]\d+|(?:\d+[ -])?\d+ ?/ ?\d+|{_WHOLE}"
_LENGTH = re.compile(rf"(?P<number>{_NUMBER}) ?(?P<unit>mm|cm|m|inches|inch|in|\"|feet|foot|ft|')?")
_FEET_AND_INCHES = re.compile(
    rf"(?P<feet>\d+) ?(?:'|feet|foot|ft) ?-? ?(?P<inches>{_NUMBER}) ?(?:\"|inches|inch|in)?",
)


def parse_length(text: str, *, signed: bool = False) -> int:
    """Read a length or, where `signed`, a level: `5200`, `5.2 m`, `5,2 m`, `17' 3 1/2"`, `205 1/4 in`.

    Returns:
        Whole millimetres, halves rounded away from zero. A number without a unit is in millimetres.

    Raises:
        ValueError: one sentence that says what is wrong with the text, and does not end with a full stop.
    """
    words = _plain(text)
    signs, shown = "+-" if signed else "-", text.strip()
    sign = words[0] if words and words[0] in signs else ""
    exact_mm = _exact_mm(words.removeprefix(sign).lstrip(), shown)
    if sign == "-" and not signed:
        raise ValueError(f"'{shown}' is below zero")
    whole_mm = int(exact_mm + Fraction(1, 2))
    if whole_mm > LONGEST_MM:
        raise ValueError(f"'{shown}' is over {LONGEST_MM // 1_000_000} km")
    return -whole_mm if sign == "-" else whole_mm


def show_length(length_mm: int, unit: Unit) -> str:
    """A length with its unit, so that reading it gives the same millimetres: `5.2 m`, `17' 3 1/2"`."""
    sign, length_mm = "-" if length_mm < 0 else "", abs(length_mm)
    if unit == "ft":
        return sign + _feet_and_inches(length_mm)
    if unit == "in":
        return f"{sign}{_inches(_parts_of_inch(length_mm))} in"
    each_mm = int(_MM_EACH[unit])
    whole, rest = divmod(length_mm, each_mm)
    decimals = f".{rest:0{len(str(each_mm)) - 1}d}".rstrip("0") if rest else ""
    return f"{sign}{whole}{decimals} {unit}"


def _plain(text: str) -> str:
    """One sign for each thing: fractions spelt out, single spaces, straight primes, small letters."""
    spelt = "".join(f" {unicodedata.normalize('NFKC', char)}" if _is_fraction(char) else char for char in text)
    return " ".join(spelt.translate(_SIGNS).replace("''", '"').casefold().split())


def _is_fraction(char: str) -> bool:
    return (
        unicodedata.decomposition(char).startswith("<fraction>") and unicodedata.normalize("NFKC", char)[-1].isdigit()
    )


def _exact_mm(words: str, shown: str) -> Fraction:
    if not shown:
        raise ValueError("a length is missing")
    no_length = ValueError(f"'{shown}' is no length")
    if len(shown) > _MOST_LETTERS:
        raise ValueError(f"'{shown[:_MOST_LETTERS]} …' is no length")
    try:
        both = _FEET_AND_INCHES.fullmatch(words)
        if both:
            return int(both["feet"]) * _MM_EACH["ft"] + _number(both["inches"]) * _MM_EACH["in"]
        match = _LENGTH.fullmatch(words)
        if not match:
            raise no_length
        unit = _UNITS.get(match["unit"] or "", match["unit"])
        _refuse_two_readings(match["number"], unit, shown)
        return _number(match["number"]) * _MM_EACH[unit]
    except ZeroDivisionError:
        raise no_length from None


def _refuse_two_readings(number: str, unit: str, shown: str) -> None:
    """Three digits behind a comma or point may be thousands or decimals; only metres leave no doubt."""
    two = re.fullmatch(r"([1-9]\d{0,2})([.,])(\d{3})", number)
    if two is None or unit == "m" or (two[2] == "." and unit != "mm"):
        return
    thousands, decimals = two[1] + two[3], f"{two[1]}.{two[3]}"
    raise ValueError(f"'{shown}' can be read as {thousands} {unit} or {decimals} {unit}; write {thousands} or round it")


def _number(words: str) -> Fraction:
    if "/" not in words:
        return Fraction(words.replace(" ", "").replace(",", "."))
    whole, _, part = words.replace(" /", "/").replace("/ ", "/").replace("-", " ").rpartition(" ")
    return Fraction(whole or 0) + Fraction(part)


def _parts_of_inch(length_mm: int) -> int:
    return int(length_mm * _PARTS_OF_INCH / _MM_EACH["in"] + Fraction(1, 2))


def _feet_and_inches(length_mm: int) -> str:
    feet, parts = divmod(_parts_of_inch(length_mm), 12 * _PARTS_OF_INCH)
    inches = f'{_inches(parts)}"' if parts or not feet else ""
    return f"{feet}' {inches}".strip() if feet else inches


def _inches(parts: int) -> str:
    whole, rest = divmod(parts, _PARTS_OF_INCH)
    if not rest:
        return str(whole)
    return f"{whole} {Fraction(rest, _PARTS_OF_INCH)}" if whole else str(Fraction(rest, _PARTS_OF_INCH))
