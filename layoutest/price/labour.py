"""Labour: the hours that the work takes, and what slow access adds to them."""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Decimal
from typing import TYPE_CHECKING, NamedTuple

from layoutest.layout.ids import natural_key
from layoutest.price.lines import Line, Missing

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from layoutest.book.records import PriceBook, Work
    from layoutest.choose import ChosenLeg
    from layoutest.quantities import Covered, Each, JointSet, Quantities

_NAMES: dict[Work, str] = {
    "section-metre": "Labour, laying sections",
    "square-joint": "Labour, square joints",
    "mitre-joint": "Labour, mitre joints",
    "tee": "Labour, tees",
    "end-seal": "Labour, end seals",
    "jacket": "Labour, jackets",
    "insert": "Labour, support inserts",
}
_MILLI = Decimal("0.001")


class WorkGroup(NamedTuple):
    """Work that takes the same time and is billed together: its kind, the pipe's outside diameter, area and access."""

    work: Work
    outside_diameter_mm: float
    area: str
    access: str


def labour_lines(quantities: Quantities, book: PriceBook, missing: Missing) -> tuple[list[Line], Decimal]:
    """The labour lines by kind of work and area, and all hours; hours are counted even where they have no price."""
    units, sources = _grouped(quantities)
    hours, groups = hours_of(units, book, missing)
    total = sum(hours.values(), Decimal(0))
    rate = labour_rate(hours, book, missing)
    if rate is None:
        return [], total
    lines = []
    for name, area in sorted(hours, key=_order):
        origin = tuple(sorted({one for group in groups[name, area] for one in sources[group]}, key=natural_key))
        lines.append(Line.of(book, name, hours[name, area], "h", rate, "labour", area=area, sources=origin))
    return lines, total


def hours_of(
    units: Mapping[WorkGroup, int], book: PriceBook, missing: Missing
) -> tuple[dict[tuple[str, str], Decimal], dict[tuple[str, str], list[WorkGroup]]]:
    """The hours of each line of labour by its name and area, rounded, and the groups of work in it."""
    minutes: dict[tuple[str, str], Decimal] = {}
    groups: dict[tuple[str, str], list[WorkGroup]] = {}
    times = {size: book.minutes(*size) for size in {group[:2] for group in units}}
    for group, micro_units in units.items():
        work, size_mm, area, access = group
        time = times[work, size_mm]
        if time is None:
            missing.tell("labour.csv", f"{work},{size_mm:g},<minutes>", f"the labour of a {work} up to {size_mm:g} mm")
            continue
        spent = time * Decimal(micro_units).scaleb(-6)
        slower = spent * (_factor(access, book, missing) - 1)
        for key, extra in (((_NAMES[work], area), spent), ((f"Access, {access}", area), slower)):
            if extra:
                minutes[key] = minutes.get(key, Decimal(0)) + extra
                groups.setdefault(key, []).append(group)
    return {key: (spent / 60).quantize(_MILLI, ROUND_HALF_UP) for key, spent in minutes.items()}, groups


def labour_rate(hours: Mapping[tuple[str, str], Decimal], book: PriceBook, missing: Missing) -> Decimal | None:
    """The rate of an hour; told as missing only where there are hours."""
    if book.labour_rate_per_hour is None and hours:
        missing.tell("book.toml", 'labour_rate_per_hour = "<rate>"', "an hour of labour")
    return book.labour_rate_per_hour


def _grouped(quantities: Quantities) -> tuple[dict[WorkGroup, int], dict[WorkGroup, dict[str, None]]]:
    """Units of work, in millionths, by group, and where they come from."""
    units: dict[WorkGroup, int] = {}
    sources: dict[WorkGroup, dict[str, None]] = {}
    for group, micro_units, source in work_in(quantities.covered, quantities.joints, quantities.each):
        units[group] = units.get(group, 0) + micro_units
        sources.setdefault(group, {})[source] = None
    return units, sources


def _order(key: tuple[str, str]) -> tuple[int, str, str]:
    names = list(_NAMES.values())
    return (names.index(key[0]) if key[0] in names else len(names)), *key


def _factor(access: str, book: PriceBook, missing: Missing) -> Decimal:
    if not access:
        return Decimal(1)
    factor = book.access.get(access)
    if factor is None:
        missing.tell("access.csv", f"{access},<factor>", f"the access '{access}'")
        return Decimal(1)
    return factor


def work_in(
    covered: Iterable[Covered], joints: Iterable[JointSet], each: Iterable[Each]
) -> Iterator[tuple[WorkGroup, int, str]]:
    """All work with its millionths of a unit and its source; metres of section, everything else in number."""
    for part in covered:
        yield _group("section-metre", part.leg), part.length_um, part.source
    for joint in joints:
        if joint.kind in ("square", "mitre"):
            work: Work = "square-joint" if joint.kind == "square" else "mitre-joint"
            yield _group(work, joint.leg), 1_000_000 * joint.count, joint.source
    for thing in each:
        if thing.kind != "elbow-cover":
            yield _group(thing.kind, thing.leg), 1_000_000, thing.source


def _group(work: Work, leg: ChosenLeg) -> WorkGroup:
    return WorkGroup(work, leg.spec.outside_diameter_mm, leg.leg.area, leg.leg.access)
