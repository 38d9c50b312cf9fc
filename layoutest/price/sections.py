"""What the sections of one stock cost, split by what their length went into."""

from __future__ import annotations

from decimal import ROUND_CEILING, ROUND_HALF_UP, Decimal
from typing import TYPE_CHECKING

from layoutest.price.lines import Line, Missing, rounding_line
from layoutest.quantities import areas_of

if TYPE_CHECKING:
    from collections.abc import Iterable

    from layoutest.book.records import PriceBook, SectionSize
    from layoutest.choose import ChosenLeg
    from layoutest.cover.copies import NamedRun
    from layoutest.cover.joints import Cause
    from layoutest.pack.placing import Stock
    from layoutest.pack.problem import CutSection, Problem

_MILLI = Decimal("0.001")


def section_lines(stock: Stock, book: PriceBook, missing: Missing) -> list[Line]:
    """The sections bought of one stock, split by what their length went into, and what is bought on top."""
    name, section = stock.plan.problem.stock, stock.section
    lines = van_lines(stock.plan.problem, (cut.length_mm for cut in stock.plan.sections if cut.from_van), book)
    if section.price is None:
        tell_unpriced(section, name, _legs(stock), missing)
        return lines
    bought = stock.plan.bought
    shares = _shares(stock)
    split, left = [], Decimal(bought)
    for (cause, area), (length_mm, sources) in sorted(shares.items()):
        if cause != "offcut":
            quantity = (Decimal(length_mm) / section.length_mm).quantize(_MILLI, ROUND_HALF_UP)
            left -= quantity
            what = f"Sections {name}" + (", bends" if cause == "bend" else "")
            split.append(Line.of(book, what, quantity, "nr", section.price, cause, area=area, sources=sources))
    if left:
        sources = shares.get(("offcut", ""), (0, ()))[1]
        split.append(Line.of(book, f"Sections {name}, offcuts", left, "nr", section.price, "offcut", sources=sources))
    whole = bought * section.price
    rounding = rounding_line(book, f"Sections {name}", whole, split)
    return lines + split + rounding + on_top_lines(name, section, bought, book, section.price)


def tell_unpriced(section: SectionSize, name: str, legs: tuple[str, ...], missing: Missing) -> None:
    """Tell that sections have no price, with the legs that they cover."""
    size = f"{section.covering},{section.bore_mm:g},{section.thickness_mm:g},{section.length_mm}"
    carton = f"{section.per_carton or ''},{'yes' if section.whole_cartons else 'no'}"
    missing.tell("sections.csv", f"{size},<price>,{carton}", f"sections {name}", legs, empty=True)


def _legs(stock: Stock) -> tuple[str, ...]:
    """Every leg covered with this stock."""
    return tuple({run.prefix + leg.id for run in (placed.named for placed in stock.placed) for leg in legs_under(run)})


def legs_under(named: NamedRun) -> tuple[ChosenLeg, ...]:
    """The legs of the straight that a run belongs to, or the leg of its bend."""
    return named.straight.legs if named.straight else (named.leg,)


def _shares(stock: Stock) -> dict[tuple[Cause, str], tuple[int, tuple[str, ...]]]:
    """The millimetres of the bought sections by cause and area, with where they went."""
    lengths: dict[tuple[Cause, str], int] = {}
    sources: dict[tuple[Cause, str], dict[str, None]] = {}

    def add(cause: Cause, area: str, length_mm: int, source: str) -> None:
        lengths[cause, area] = lengths.get((cause, area), 0) + length_mm
        sources.setdefault((cause, area), {})[source] = None

    sections = stock.plan.sections
    for placed in stock.placed:
        named = placed.named
        cause: Cause = "length" if named.straight else "bend"
        for piece in placed.pieces:
            section = sections[piece.place[0]]
            if section.from_van:
                continue
            end_mm = piece.run_from_mm + section.pieces[piece.place[1]].length_mm
            for area, length_mm in areas_of(named.legs_along(piece.run_from_mm, end_mm)).items():
                add(cause, area, length_mm, named.source)
    for number, section in enumerate(sections, start=1):
        if section.from_van:
            continue
        if section.wedge_mm:
            add("bend", _wedge_area(stock, section), section.wedge_mm, f"{stock.plan.problem.stock} section {number}")
        rest_mm = section.kerf_mm + section.offcut_mm + section.scrap_mm
        if rest_mm:
            add("offcut", "", rest_mm, f"{stock.plan.problem.stock} section {number}")
    return {key: (length_mm, tuple(sources[key])) for key, length_mm in lengths.items()}


def _wedge_area(stock: Stock, section: CutSection) -> str:
    """The area of the first mitred piece, whose bend the wedge was cut for."""
    for piece in section.pieces:
        first, last = stock.plan.problem.runs[piece.run].ends_deg
        if (piece.at_start and first) or (piece.at_end and last):
            return stock.placed[piece.run].named.leg.leg.area
    return ""


def van_lines(problem: Problem, lengths_mm: Iterable[int], book: PriceBook) -> list[Line]:
    """Offcuts taken from the van, told by their lengths, at the value the book gives them."""
    used: dict[tuple[int, Decimal], int] = {}
    left = {(offcut.length_mm, offcut.value): offcut.count for offcut in sorted(problem.van, key=lambda off: off.value)}
    for taken_mm in lengths_mm:
        key = next(key for key, count in left.items() if key[0] == taken_mm and count)
        left[key] -= 1
        used[key] = used.get(key, 0) + 1
    name = f"Offcut from the van, {problem.stock}"
    return [
        Line.of(book, f"{name}, {length_mm} mm", Decimal(count), "nr", value, "length")
        for (length_mm, value), count in sorted(used.items())
        if value
    ]


def on_top_lines(name: str, section: SectionSize, bought: int, book: PriceBook, rate: Decimal) -> list[Line]:
    """Breakage in whole sections, and the sections that fill the last carton."""
    lines = []
    breakage = (bought * book.breakage_percent / 100).to_integral_value(ROUND_CEILING)
    if breakage:
        lines.append(Line.of(book, f"Breakage, sections {name}", breakage, "nr", rate, "other"))
    if section.whole_cartons and section.per_carton:
        fill = -(bought + breakage) % section.per_carton
        fill = fill + section.per_carton if fill < 0 else fill
        if fill:
            lines.append(Line.of(book, f"To fill cartons, sections {name}", fill, "nr", rate, "other"))
    return lines
