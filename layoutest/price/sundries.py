"""What tape, end seals, elbow covers, jackets and inserts cost."""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Decimal
from typing import TYPE_CHECKING, NamedTuple

from layoutest.price.lines import Line, Missing, Tally, rounding_line

if TYPE_CHECKING:
    from layoutest.book.records import PriceBook, Sundry, SundryKind
    from layoutest.quantities import Each, Quantities

_MILLI = Decimal("0.001")
_RATE = Decimal("0.000001")


class Article(NamedTuple):
    """What is bought one by one: its kind, the diameter that it goes by, and the item that a jacket is for."""

    kind: SundryKind
    size_mm: float
    item: str


def tape_lines(quantities: Quantities, book: PriceBook, missing: Missing) -> tuple[list[Line], int]:
    """Tape by the metre, by what it closes, and what is left on the last roll; and the number of rolls."""
    bought = tape_rolls(quantities.tape_um(book.tape_the_seam), book, missing)
    if not bought:
        return [], 0
    tape, price, roll_m, rolls = bought
    tally = Tally()
    for joints in quantities.joints:
        tally.add(joints.cause, joints.leg.leg.area, joints.tape_um, joints.source)
    for part in quantities.covered if book.tape_the_seam else ():
        tally.add("length", part.leg.leg.area, part.length_um, part.source)
    rate = (price / roll_m).quantize(_RATE)
    lines = []
    for (cause, area), metres_um, sources in tally.rows():
        quantity = Decimal(metres_um).scaleb(-6).quantize(_MILLI, ROUND_HALF_UP)
        lines.append(
            Line.of(book, f"Foil tape {tape.width_mm} mm", quantity, "m", rate, cause, area=area, sources=sources)
        )
    rest = rolls * roll_m - sum((line.quantity for line in lines), Decimal(0))
    if rest:
        lines.append(Line.of(book, "Foil tape, rest of the last roll", rest, "m", rate, "other"))
    return lines + rounding_line(book, "Foil tape", rolls * price, lines), rolls


def tape_rolls(tape_um: int, book: PriceBook, missing: Missing) -> tuple[Sundry, Decimal, Decimal, int] | None:
    """The tape that is bought: its row, the price and the metres of a roll, and how many; None for none."""
    tape = book.sundry("tape")
    if not tape_um:
        return None
    if tape is None or tape.price is None or not tape.roll_m:
        size = f"{tape.width_mm},{tape.roll_m}" if tape else "<width in mm>,<roll in m>"
        missing.tell("sundries.csv", f"tape,,,{size},<price of a roll>", "tape", empty=tape is not None)
        return None
    return tape, tape.price, tape.roll_m, -(-tape_um // int(tape.roll_m * 1_000_000))


_NAMES = {"end-seal": "End seal", "elbow-cover": "Elbow cover", "jacket": "Jacket", "insert": "Support insert"}


def each_lines(quantities: Quantities, book: PriceBook, missing: Missing) -> list[Line]:
    """End seals, elbow covers, jackets and inserts, each in number."""
    tallies: dict[tuple[str, Decimal], Tally] = {}
    things = [(article, thing) for thing in quantities.each if (article := article_of(thing))]
    # Of several sizes that lack one row the smallest is told.
    priced = {article: priced_article(article, book, missing) for article in sorted({article for article, _ in things})}
    for article, thing in things:
        row = priced[article]
        if row:
            tallies.setdefault(row, Tally()).add(thing.cause, thing.leg.leg.area, 1, thing.source)
    return [
        Line.of(book, name, Decimal(count), "nr", rate, cause, area=area, sources=sources)
        for (name, rate), tally in sorted(tallies.items())
        for (cause, area), count, sources in tally.rows()
    ]


def article_of(thing: Each) -> Article | None:
    """What is bought for a thing; nothing for a tee."""
    spec = thing.leg.spec
    if thing.kind == "tee":
        return None
    if thing.kind == "jacket":
        return Article("jacket", spec.outside_diameter_mm, thing.item)
    return Article(thing.kind, spec.covered_diameter_mm, "")


def priced_article(article: Article, book: PriceBook, missing: Missing) -> tuple[str, Decimal] | None:
    """The name on the line of an article and its price, or None where that is missing."""
    kind, size_mm, item = article
    row = book.sundry(*article)
    if row is None or row.price is None:
        band_mm = row.up_to_mm if row else size_mm
        size = "" if band_mm is None else f"{band_mm:g}"
        line = f"{kind},{size},{row.item if row else ''},,,<price>"
        missing.tell("sundries.csv", line, f"{_NAMES[kind].lower()}s of {size_mm:g} mm", empty=row is not None)
        return None
    name = _NAMES[kind] + (f" for a {item}" if kind == "jacket" and row.item else "")
    return name + (f" up to {row.up_to_mm:g} mm" if row.up_to_mm is not None else ""), row.price
