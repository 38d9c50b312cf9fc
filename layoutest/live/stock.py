"""One stock while a layout is edited: packed quickly at once, exactly when the packer has answered.

What takes time by the run (names, problem, pieces in their places) is made when somebody asks for it.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from decimal import Decimal
from functools import cached_property
from typing import TYPE_CHECKING, Literal, NamedTuple

from layoutest.pack.batches import batches_of, sections_of
from layoutest.pack.pieces import can_be_cut, kind_of
from layoutest.pack.placing import PlacedPiece, PlacedRun, Stock, place_runs, placed_again, placed_run
from layoutest.pack.problem import PackRun, Plan
from layoutest.pack.stocks import Task, pack_run, unpackable_snags
from layoutest.price.cost import thrown_mm
from layoutest.price.sections import legs_under
from layoutest.price.total import Amounts, Bought, add, amounts_of
from layoutest.quantities import piece_joints

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from layoutest.book.records import PriceBook, SectionSize
    from layoutest.cover.copies import NamedRun
    from layoutest.layout.snags import Snag
    from layoutest.live.lot import Lot, Strips
    from layoutest.live.strip import Strip
    from layoutest.pack.batches import Batch, RunKind
    from layoutest.pack.order import Order
    from layoutest.pack.problem import CutSection, Problem
    from layoutest.pack.stocks import StockKey

Standing = Literal["quick", "packed", "proven"]
_ZERO = Decimal(0)
_NAMELESS = ("kinds", "cuts", "bought", "count", "joints", "joints_mm")


class Strung(NamedTuple):
    """The strips of a layout with the names of its straights, and the prefix of each copy that is built."""

    straights: Strips
    nodes: Strips
    names: Mapping[str, str]
    prefixes: tuple[str, ...]

    def of(self, lot: Lot) -> Iterator[Strip]:
        """The strips of a lot in order."""
        yield from (self.straights[key] for key in lot.straights)
        yield from (self.nodes[node] for node in lot.bends)

    def named(self, lot: Lot, prefix: str) -> Iterator[tuple[NamedRun, RunKind, Order | None]]:
        """The runs of a lot in one copy, each with its kind and the order of its pieces in a quick plan."""
        names = (*(self.names[key] for key in lot.straights), *("" for _ in lot.bends))
        for strip, name in zip(self.of(lot), names, strict=True):
            yield from zip(strip.named(prefix, name), strip.kinds, strip.orders, strict=True)


@dataclass(frozen=True, eq=False)
class LiveStock:
    """A stock with its plan, for the runs that sections can make.

    `exact` is the packer's plan with the places of its pieces, perhaps with runs that were called otherwise then; None
    where the stock is packed quickly, in `batches`.
    """

    key: StockKey
    section: SectionSize
    blank: Problem
    joint_tape_um: int
    lot: Lot
    strung: Strung
    refused: frozenset[RunKind]
    batches: tuple[Batch, ...]
    exact: tuple[Plan, tuple[PlacedRun, ...]] | None = None

    @property
    def state(self) -> Standing:
        """Whether the plan is quick, the packer's, or the packer's and no plan can cost less."""
        if self.exact is None:
            return "quick"
        return "proven" if self.exact[0].proven else "packed"

    @cached_property
    def kinds(self) -> tuple[RunKind, ...]:
        """The kinds of the runs that are packed, in their order."""
        once = [kind for strip in self.strung.of(self.lot) for kind in strip.kinds if kind not in self.refused]
        return tuple(once) * len(self.strung.prefixes)

    @cached_property
    def task(self) -> Task:
        """The runs that are packed, with their names."""
        named = tuple(run for run, kind, _ in self._named() if kind not in self.refused)
        problem = replace(self.blank, runs=tuple(pack_run(run) for run in named))
        return Task(self.key, self.section, problem, named, self.joint_tape_um)

    @property
    def plan(self) -> Plan:
        """How its runs are cut. Of a quick plan nothing is claimed that no plan can go below."""
        return self._now[0]

    @property
    def placed(self) -> tuple[PlacedRun, ...]:
        """Its runs with their pieces, in the order of the problem."""
        return self._now[1]

    @cached_property
    def by_place(self) -> dict[tuple[int, int], tuple[PlacedRun, PlacedPiece]]:
        """Each piece with its run, by its section and its number in it, both from 0."""
        return {piece.place: (placed, piece) for placed in self.placed for piece in placed.pieces}

    @property
    def stock(self) -> Stock:
        """The same as quantities and prices are made from."""
        return Stock(self.key, self.section, self.plan, self.placed, self.joint_tape_um)

    @cached_property
    def cuts(self) -> tuple[tuple[int, CutSection], ...]:
        """So many sections and offcuts of which as much is left over, bought ones first; each is one of them."""
        if self.exact is None:
            return tuple((batch.sections, batch.cut) for batch in self.batches)
        alike: dict[tuple[int, ...], list[CutSection]] = {}
        for cut in self.exact[0].sections:
            figures = (cut.from_van, cut.length_mm, cut.wedge_mm, cut.kerf_mm, cut.offcut_mm, cut.scrap_mm)
            alike.setdefault(figures, []).append(cut)
        return tuple((len(cuts), cuts[0]) for cuts in alike.values())

    @cached_property
    def bought(self) -> int:
        """How many sections are bought."""
        return sum(count for count, cut in self.cuts if not cut.from_van)

    @cached_property
    def count(self) -> int:
        """How many sections and offcuts it is cut from."""
        return sum(count for count, _ in self.cuts)

    @cached_property
    def joints(self) -> Amounts:
        """What the joints between its pieces add to a job."""
        found: Amounts = {}
        if self.exact is None:
            add(found, self.lot.joints, len(self.strung.prefixes))
        else:
            tape_um = self.joint_tape_um
            made = (joint for one in self.placed for joint in piece_joints(one.named, one.joints_mm, tape_um))
            found = amounts_of((), made, ())
        return found

    @cached_property
    def joints_mm(self) -> dict[str, tuple[float, ...]]:
        """Where along each straight two pieces meet, in the first copy."""
        if self.exact is None:
            every = ((key, self.strung.straights[key].joints_mm) for key in self.lot.straights)
            return {key: places for key, places in every if places}
        found: dict[str, tuple[float, ...]] = {}
        for placed in self.placed:
            run, straight = placed.named.run, placed.named.straight
            if straight and placed.joints_mm and placed.named.prefix == self.strung.prefixes[0]:
                found[run.of] = (*found.get(run.of, ()), *(run.from_mm + place for place in placed.joints_mm))
        return found

    @cached_property
    def refused_snags(self) -> tuple[Snag, ...]:
        """The runs that no section can hold, by the drawing's own ids."""
        if not self.refused:
            return ()
        named = [run for run, kind, _ in self.strung.named(self.lot, "") if kind in self.refused]
        return tuple(unpackable_snags(named, self.section))

    def bill(self, book: PriceBook) -> Bought:
        """What is bought."""
        van_mm = tuple(cut.length_mm for count, cut in self.cuts if cut.from_van for _ in range(count))
        thrown = sum(count * thrown_mm((cut,), book) for count, cut in self.cuts)
        return Bought(self.blank, self.section, self.bought, van_mm, thrown, self._legs)

    def is_called_as(self, strung: Strung) -> bool:
        """Whether its runs bear the same names in other strung strips."""
        names, mine = strung.names, self.strung.names
        if strung.prefixes != self.strung.prefixes:
            return False
        return names is mine or all(names[key] == mine[key] for key in self.lot.straights)

    def answers(self, plan: Plan) -> bool:
        """Whether a plan is one for the runs of this stock, whatever they are called."""
        runs = plan.problem.runs
        # Plans are compared with every picture of a drag: what is quick to add up is looked at first.
        if plan.problem.stock != self.blank.stock or _sum(kind_of(run) for run in runs) != self._kinds_sum:
            return False
        return replace(plan.problem, runs=()) == self.blank and tuple(map(kind_of, runs)) == self.kinds

    @cached_property
    def _kinds_sum(self) -> int:
        return _sum(self.kinds)

    def _legs(self) -> tuple[str, ...]:
        named = (run for run, kind, _ in self.strung.named(self.lot, "") if kind not in self.refused)
        return tuple({leg.id for run in named for leg in legs_under(run)})

    def _named(self) -> Iterator[tuple[NamedRun, RunKind, Order | None]]:
        for prefix in self.strung.prefixes:
            yield from self.strung.named(self.lot, prefix)

    @cached_property
    def _now(self) -> tuple[Plan, tuple[PlacedRun, ...]]:
        """The plan and its pieces in their places, with the runs as they are called now."""
        problem = self.task.problem
        if self.exact:
            plan, placed = self.exact
            plan = plan if plan.problem == problem else replace(plan, problem=problem)
            return plan, placed_again(plan, self.task.named, placed)
        sections, found = sections_of(problem, self.batches)
        joints = sum(map(len, found)) - len(found)
        van = sum((batch.sections * (batch.van_value or _ZERO) for batch in self.batches), _ZERO)
        cost = self.bought * problem.section_price + joints * problem.joint_price + van
        orders = (order for _, kind, order in self._named() if order and kind not in self.refused)
        placed = tuple(map(placed_run, self.task.named, found, orders))
        return Plan(problem, sections, self.bought, joints, cost, 0, _ZERO, self.bought, cost), placed


def live_stock(
    key: StockKey, lot: Lot, strung: Strung, blank: tuple[Problem, int], book: PriceBook, before: LiveStock | None
) -> LiveStock:
    """Pack a stock quickly; what was packed before is kept where its problem is the same but for names."""
    problem, joint_tape_um = blank
    refused = frozenset(kind for kind in lot.kinds if not can_be_cut(problem, PackRun("", *kind)))
    stock = LiveStock(key, book.sections[key], problem, joint_tape_um, lot, strung, refused, ())
    if before and before.blank == problem and before.lot.kinds == lot.kinds and before.kinds == stock.kinds:
        return _kept(stock, before)
    times = len(strung.prefixes)
    kinds = {kind: times * count for kind, count in lot.kinds.items() if kind not in refused}
    return replace(stock, batches=batches_of(problem, kinds) if kinds else ())


def _kept(stock: LiveStock, before: LiveStock) -> LiveStock:
    exact = vars(before).get("_now", before.exact) if before.exact else None
    kept = replace(stock, batches=before.batches, exact=exact)
    if before.lot is stock.lot and before.strung.prefixes == stock.strung.prefixes:
        # Only names are new: what bears none was worked out before.
        vars(kept).update({name: value for name, value in vars(before).items() if name in _NAMELESS})
    return kept


def planned(stock: LiveStock, plan: Plan) -> LiveStock:
    """The stock with the packer's plan."""
    if plan.problem != stock.task.problem:
        plan = replace(plan, problem=stock.task.problem)
    exact = replace(stock, batches=(), exact=(plan, place_runs(plan, stock.task.named)))
    vars(exact)["task"] = stock.task
    return exact


def _sum(kinds: Iterable[RunKind]) -> int:
    """What other runs hardly ever come to as well."""
    return sum(kind[0] * kind[0] for kind in kinds)
