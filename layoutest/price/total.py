"""What a job costs, from amounts alone: the same money as the lines add up to, without the lines and their sources.

Amounts can be added to and taken from, so that an edit counts again only what it touched.
"""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING, NamedTuple

from layoutest.price.cost import other_lines, percent_lines, waste_of
from layoutest.price.labour import WorkGroup, hours_of, labour_rate, work_in
from layoutest.price.lines import Line, Missing
from layoutest.price.sections import on_top_lines, tell_unpriced, van_lines
from layoutest.price.sundries import Article, article_of, priced_article, tape_rolls

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping, Sequence

    from layoutest.book.records import PriceBook, SectionSize
    from layoutest.cover.joints import Cause
    from layoutest.layout.snags import Snag
    from layoutest.pack.problem import Problem
    from layoutest.quantities import Covered, Each, JointSet


class ArticleGroup(NamedTuple):
    """Articles that are billed on one line."""

    article: Article
    cause: Cause
    area: str


Amounts = dict[WorkGroup | ArticleGroup | str, int]
"""Millionths of work, numbers of articles; and under their names `covered_um`, `tape_um` and the number of `joints`."""


class Bought(NamedTuple):
    """What is bought of one stock: `van_mm` are the offcuts used from the van, `legs` names what it covers."""

    problem: Problem
    section: SectionSize
    sections: int
    van_mm: tuple[int, ...]
    thrown_mm: int
    legs: Callable[[], tuple[str, ...]]


class Total(NamedTuple):
    """The money and the hours; `net` is None while the estimate is incomplete."""

    known: Decimal
    net: Decimal | None
    hours: Decimal


def amounts_of(covered: Iterable[Covered], joints: Iterable[JointSet], each: Iterable[Each]) -> Amounts:
    """Count quantities by what is billed together."""
    covered, joints, each = tuple(covered), tuple(joints), tuple(each)
    found: Amounts = {}
    for group, micro_units, _ in work_in(covered, joints, each):
        found[group] = found.get(group, 0) + micro_units
    for thing in each:
        article = article_of(thing)
        if article:
            key = ArticleGroup(article, thing.cause, thing.leg.leg.area)
            found[key] = found.get(key, 0) + 1
    if covered:
        found["covered_um"] = sum(part.length_um for part in covered)
    if joints:
        found["tape_um"] = sum(joint.tape_um for joint in joints)
        found["joints"] = sum(joint.count for joint in joints)
    return found


def add(amounts: Amounts, other: Mapping[WorkGroup | ArticleGroup | str, int], times: int = 1) -> None:
    """Add amounts so many times, or take them away where that is negative; what comes to nothing is dropped."""
    for key, amount in other.items():
        left = amounts.get(key, 0) + times * amount
        if left:
            amounts[key] = left
        else:
            del amounts[key]


def tape_um(amounts: Amounts, book: PriceBook) -> int:
    """All tape; with the seam where the price book tapes it."""
    return amounts.get("tape_um", 0) + (amounts.get("covered_um", 0) if book.tape_the_seam else 0)


def total(
    stocks: Sequence[Bought], amounts: Amounts, book: PriceBook, *, complete: bool
) -> tuple[Total, tuple[Snag, ...]]:
    """Price a job. `complete` says whether everything drawn is in the amounts.

    Returns:
        the total, and a snag for every price that is missing from the book.
    """
    missing = Missing(book.folder)
    known = sum((_sections(stock, book, missing) for stock in stocks), Decimal(0))
    tape = tape_rolls(tape_um(amounts, book), book, missing)
    if tape:
        _, price, _, rolls = tape
        known += book.money(rolls * price)
    known += _articles(amounts, book, missing)
    hours, _ = hours_of({key: amount for key, amount in amounts.items() if isinstance(key, WorkGroup)}, book, missing)
    rate = labour_rate(hours, book, missing)
    if rate is not None:
        known += sum((book.money(spent * rate) for spent in hours.values()), Decimal(0))
    waste_m3 = sum((waste_of(_key(stock.section), stock.thrown_mm) for stock in stocks), Decimal(0))
    known += _sum(other_lines(waste_m3, book))
    known += _sum(percent_lines(known, book))
    whole = complete and not missing.snags
    return Total(known, known if whole else None, sum(hours.values(), Decimal(0))), tuple(missing.snags)


def _sum(lines: Iterable[Line]) -> Decimal:
    return sum((line.amount for line in lines), Decimal(0))


def _key(section: SectionSize) -> tuple[str, float, float]:
    return section.covering, section.bore_mm, section.thickness_mm


def _sections(stock: Bought, book: PriceBook, missing: Missing) -> Decimal:
    name, section = stock.problem.stock, stock.section
    van = _sum(van_lines(stock.problem, stock.van_mm, book))
    if section.price is None:
        tell_unpriced(section, name, stock.legs(), missing)
        return van
    # However many lines it is split over, their rounding has a line of its own.
    whole = book.money(stock.sections * section.price)
    return van + whole + _sum(on_top_lines(name, section, stock.sections, book, section.price))


def _articles(amounts: Amounts, book: PriceBook, missing: Missing) -> Decimal:
    groups = [(key, count) for key, count in amounts.items() if isinstance(key, ArticleGroup)]
    priced = {article: priced_article(article, book, missing) for article in sorted({key.article for key, _ in groups})}
    lines: dict[tuple[tuple[str, Decimal], Cause, str], int] = {}
    for (article, cause, area), count in groups:
        row = priced[article]
        if row:
            lines[row, cause, area] = lines.get((row, cause, area), 0) + count
    return sum((book.money(count * price) for ((_, price), _, _), count in lines.items()), Decimal(0))
