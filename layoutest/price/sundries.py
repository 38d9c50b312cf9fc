"""What tape, end seals, elbow covers, jackets and inserts cost."""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Decimal
from typing import TYPE_CHECKING

from layoutest.price.lines import Line, Missing, Tally, rounding_line

if TYPE_CHECKING:
    from layoutest.book.records import PriceBook, Sundry, SundryKind
    from layoutest.quantities import Quantities

_MILLI = Decimal("0.001")
_RATE = Decimal("0.000001")


def tape_lines(quantities: Quantities, book: PriceBook, missing: Missing) -> tuple[list[Line], int]:
    """Tape by the metre, by what it closes, and what is left on the last roll; and the number of rolls."""
    tape_um = quantities.tape_um(book.tape_the_seam)
    tape = book.sundry("tape")
    if not tape_um:
        return [], 0
    if tape is None or tape.price is None or not tape.roll_m:
        size = f"{tape.width_mm},{tape.roll_m}" if tape else "<width in mm>,<roll in m>"
        missing.tell("sundries.csv", f"tape,,,{size},<price of a roll>", "tape", empty=tape is not None)
        return [], 0
    tally = Tally()
    for joints in quantities.joints:
        tally.add(joints.cause, joints.leg.leg.area, joints.tape_um, joints.source)
    for part in quantities.covered if book.tape_the_seam else ():
        tally.add("length", part.leg.leg.area, part.length_um, part.source)
    rolls = -(-tape_um // int(tape.roll_m * 1_000_000))
    rate = (tape.price / tape.roll_m).quantize(_RATE)
    lines = []
    for (cause, area), metres_um, sources in tally.rows():
        quantity = Decimal(metres_um).scaleb(-6).quantize(_MILLI, ROUND_HALF_UP)
        lines.append(
            Line.of(book, f"Foil tape {tape.width_mm} mm", quantity, "m", rate, cause, area=area, sources=sources)
        )
    rest = rolls * tape.roll_m - sum((line.quantity for line in lines), Decimal(0))
    if rest:
        lines.append(Line.of(book, "Foil tape, rest of the last roll", rest, "m", rate, "other"))
    return lines + rounding_line(book, "Foil tape", rolls * tape.price, lines), rolls


_NAMES = {"end-seal": "End seal", "elbow-cover": "Elbow cover", "jacket": "Jacket", "insert": "Support insert"}


def each_lines(quantities: Quantities, book: PriceBook, missing: Missing) -> list[Line]:
    """End seals, elbow covers, jackets and inserts, each in number."""
    tallies: dict[tuple[str, Decimal], Tally] = {}
    rows: dict[tuple[SundryKind, float, str], Sundry | None] = {}
    for thing in quantities.each:
        if thing.kind == "tee":
            continue
        spec = thing.leg.spec
        kind = thing.kind
        size_mm = spec.outside_diameter_mm if kind == "jacket" else spec.covered_diameter_mm
        key = (kind, size_mm, thing.item if kind == "jacket" else "")
        if key not in rows:
            rows[key] = book.sundry(*key)
        row = rows[key]
        if row is None or row.price is None:
            band_mm = row.up_to_mm if row else size_mm
            size = "" if band_mm is None else f"{band_mm:g}"
            line = f"{kind},{size},{row.item if row else ''},,,<price>"
            missing.tell("sundries.csv", line, f"{_NAMES[kind].lower()}s of {size_mm:g} mm", empty=row is not None)
            continue
        name = _NAMES[kind] + (f" for a {thing.item}" if kind == "jacket" and row.item else "")
        size = f" up to {row.up_to_mm:g} mm" if row.up_to_mm is not None else ""
        tallies.setdefault((name + size, row.price), Tally()).add(thing.cause, thing.leg.leg.area, 1, thing.source)
    return [
        Line.of(book, name, Decimal(count), "nr", rate, cause, area=area, sources=sources)
        for (name, rate), tally in sorted(tallies.items())
        for (cause, area), count, sources in tally.rows()
    ]
