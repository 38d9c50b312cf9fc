"""Labour: the hours that the work takes, and what slow access adds to them."""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Decimal
from typing import TYPE_CHECKING

from layoutest.layout.ids import natural_key
from layoutest.price.lines import Line, Missing

if TYPE_CHECKING:
    from collections.abc import Iterator

    from layoutest.book.records import PriceBook, Work
    from layoutest.choose import ChosenLeg
    from layoutest.quantities import Quantities

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


def labour_lines(quantities: Quantities, book: PriceBook, missing: Missing) -> tuple[list[Line], Decimal]:
    """The labour lines by kind of work and area, and all hours; hours are counted even where they have no price."""
    minutes: dict[tuple[str, str], Decimal] = {}
    sources: dict[tuple[str, str], dict[str, None]] = {}
    for (work, size_mm, area, access), (micro_units, found) in _grouped(quantities).items():
        time = book.minutes(work, size_mm)
        if time is None:
            missing.tell("labour.csv", f"{work},{size_mm:g},<minutes>", f"the labour of a {work} up to {size_mm:g} mm")
            continue
        spent = time * Decimal(micro_units).scaleb(-6)
        slower = spent * (_factor(access, book, missing) - 1)
        for key, extra in (((_NAMES[work], area), spent), ((f"Access, {access}", area), slower)):
            if extra:
                minutes[key] = minutes.get(key, Decimal(0)) + extra
                sources.setdefault(key, {}).update(found)
    hours = {key: (spent / 60).quantize(_MILLI, ROUND_HALF_UP) for key, spent in minutes.items()}
    total = sum(hours.values(), Decimal(0))
    rate = book.labour_rate_per_hour
    if rate is None:
        if hours:
            missing.tell("book.toml", 'labour_rate_per_hour = "<rate>"', "an hour of labour")
        return [], total
    lines = []
    for name, area in sorted(hours, key=_order):
        origin = tuple(sorted(sources[name, area], key=natural_key))
        lines.append(Line.of(book, name, hours[name, area], "h", rate, "labour", area=area, sources=origin))
    return lines, total


_Group = tuple["Work", float, str, str]


def _grouped(quantities: Quantities) -> dict[_Group, tuple[int, dict[str, None]]]:
    """Units of work, in millionths, by kind, pipe size, area and access, with their sources."""
    units: dict[_Group, int] = {}
    sources: dict[_Group, dict[str, None]] = {}
    for work, leg, micro_units, source in _work(quantities):
        key = (work, leg.spec.outside_diameter_mm, leg.leg.area, leg.leg.access)
        units[key] = units.get(key, 0) + micro_units
        sources.setdefault(key, {})[source] = None
    return {key: (units[key], sources[key]) for key in units}


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


def _work(quantities: Quantities) -> Iterator[tuple[Work, ChosenLeg, int, str]]:
    """All work with its leg, its millionths of a unit and its source; metres of section, everything else in number."""
    for part in quantities.covered:
        yield "section-metre", part.leg, part.length_um, part.source
    for joints in quantities.joints:
        if joints.kind in ("square", "mitre"):
            work: Work = "square-joint" if joints.kind == "square" else "mitre-joint"
            yield work, joints.leg, 1_000_000 * joints.count, joints.source
    for thing in quantities.each:
        if thing.kind != "elbow-cover":
            each: Work = thing.kind
            yield each, thing.leg, 1_000_000, thing.source
