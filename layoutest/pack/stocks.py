"""From the runs of a job to the packer's problems, one for each stock, with the prices that set what is cheapest."""

from __future__ import annotations

from dataclasses import dataclass, replace
from decimal import Decimal
from math import pi
from typing import TYPE_CHECKING

from layoutest.choose import stock_text
from layoutest.layout.snags import Snag
from layoutest.pack.problem import SQUARE, Offcut, PackRun, Problem, Rule

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from layoutest.book.records import PriceBook, SectionSize, VanOffcut
    from layoutest.choose import Spec
    from layoutest.cover.copies import Copy, NamedRun
    from layoutest.layout.document import Service, Settings

StockKey = tuple[str, float, float]


@dataclass(frozen=True, slots=True)
class Task:
    """One stock to be packed: its section, its problem and the runs in the problem's order."""

    key: StockKey
    section: SectionSize
    problem: Problem
    named: tuple[NamedRun, ...]
    joint_tape_um: int


def tasks_of(copies: Sequence[Copy], settings: Settings, book: PriceBook) -> list[Task]:
    """Gather the runs of a job by stock, in the order of covering, bore and thickness."""
    by_stock: dict[StockKey, list[NamedRun]] = {}
    cold: set[StockKey] = set()
    for copy in copies:
        services = copy.covering.network.chosen.layout.services
        for named in copy.runs:
            spec = named.run.spec
            by_stock.setdefault(spec.stock, []).append(named)
            if is_cold(services[spec.service]):
                cold.add(spec.stock)
    return [_task(key, by_stock[key], key in cold, settings, book) for key in sorted(by_stock)]


def is_cold(service: Service) -> bool:
    """Whether what it carries is colder than its surroundings."""
    return service.fluid_c is not None and service.ambient_c is not None and service.fluid_c < service.ambient_c


def _task(key: StockKey, named: list[NamedRun], cold: bool, settings: Settings, book: PriceBook) -> Task:  # noqa: FBT001
    problem, joint_tape_um = blank_problem(key, named[0].run.spec, settings, book, cold=cold)
    problem = replace(problem, runs=tuple(pack_run(run) for run in named))
    return Task(key, book.sections[key], problem, tuple(named), joint_tape_um)


def blank_problem(key: StockKey, spec: Spec, settings: Settings, book: PriceBook, *, cold: bool) -> tuple[Problem, int]:
    """The problem of a stock without its runs, and the tape of one joint between two of its pieces.

    `spec` is that of its first run, `cold` whether anything in it is colder than its surroundings.
    """
    section = book.sections[key]
    joint_mm = pi * spec.covered_diameter_mm + settings.joint_overlap_mm
    rule: Rule = ("fewest" if cold else "priced") if settings.joints == "auto" else settings.joints
    problem = Problem(
        stock=stock_text(key),
        section_mm=section.length_mm,
        radius_mm=spec.covered_diameter_mm / 2,
        runs=(),
        kerf_mm=settings.kerf_mm,
        least_mm=settings.least_piece_mm,
        slit_in_line=settings.slit == "in-line",
        rule=rule,
        # Without a price the fewest sections are the best guess of the least money; the missing price is a snag.
        section_price=section.price if section.price is not None else Decimal(1),
        joint_price=_joint_price(joint_mm, spec.outside_diameter_mm, book) if section.price is not None else Decimal(0),
        van=tuple(Offcut(off.length_mm, off.count, off.value) for off in book.stock if _key(off) == key),
    )
    return problem, round(1000 * joint_mm)


def _key(offcut: VanOffcut) -> StockKey:
    return offcut.covering, offcut.bore_mm, offcut.thickness_mm


def pack_run(named: NamedRun) -> PackRun:
    """A run as the packer sees it."""
    run = named.run
    first, last = (end.angle_deg if end.cut == "mitre" else SQUARE for end in run.ends)
    return PackRun(named.name, run.packed_mm, (first, last), run.one_piece)


def _joint_price(joint_mm: float, outside_diameter_mm: float, book: PriceBook) -> Decimal:
    """What one square joint between two pieces costs: its tape and the time to make it."""
    price = Decimal(0)
    tape = book.sundry("tape")
    if tape and tape.price is not None and tape.roll_m:
        price += Decimal(round(1000 * joint_mm)) / 1_000_000 * tape.price / tape.roll_m
    minutes = book.minutes("square-joint", outside_diameter_mm)
    if minutes is not None and book.labour_rate_per_hour is not None:
        price += minutes / 60 * book.labour_rate_per_hour
    return book.money(price)


def unpackable_snags(named: Iterable[NamedRun], section: SectionSize) -> list[Snag]:
    """Tell the runs that no section can hold."""
    return [_unpackable(run, section) for run in named]


def _unpackable(named: NamedRun, section: SectionSize) -> Snag:
    says = f"A run of {named.run.packed_mm} mm with its mitres cannot be cut from sections of {section.length_mm} mm."
    legs = [leg.id for leg in named.straight.legs] if named.straight else [named.leg.id]
    nodes = [end.node for end in named.run.ends if end.node]
    where = tuple(named.prefix + place for place in (*legs, *nodes))
    return Snag("run-too-short", where, says, "Use a pre-formed cover at the bend, or a longer section.")
