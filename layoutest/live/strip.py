"""What one straight, or one node, adds to a job: its runs, its amounts, and where its pieces meet in a quick plan."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from itertools import accumulate
from typing import TYPE_CHECKING

from layoutest.cover.copies import run_round, runs_along
from layoutest.pack.order import Order
from layoutest.pack.pieces import can_be_cut, fixed_lengths_mm, kind_of, parts_of
from layoutest.pack.placing import order_of
from layoutest.pack.problem import PackRun, Piece, Problem
from layoutest.pack.stocks import blank_problem, pack_run
from layoutest.price.total import Amounts, amounts_of
from layoutest.quantities import covered_by, items_on, joints_at, piece_joints, things_at

if TYPE_CHECKING:
    from collections.abc import Sequence

    from layoutest.book.records import PriceBook
    from layoutest.choose import ChosenLeg, Spec
    from layoutest.cover.copies import NamedRun
    from layoutest.cover.joints import Hole, Joined
    from layoutest.cover.runs import Laid
    from layoutest.layout.document import Settings
    from layoutest.pack.batches import RunKind
    from layoutest.pack.stocks import StockKey
    from layoutest.quantities import JointSet


class Ground:
    """What all runs are cut by: settings and prices. It remembers what it has worked out of them."""

    def __init__(self, settings: Settings, book: PriceBook) -> None:
        self.settings, self.book = settings, book
        self._blank: dict[tuple[StockKey, float, bool], tuple[Problem, int]] = {}
        self._lengths: dict[tuple[StockKey, RunKind], tuple[int, ...]] = {}

    def blank(self, spec: Spec, *, cold: bool) -> tuple[Problem, int]:
        """The problem of a stock without its runs, and the tape of one joint between two of its pieces.

        `spec` is that of its first run, `cold` whether anything in it is colder than its surroundings.
        """
        key = spec.stock, spec.outside_diameter_mm, cold
        if key not in self._blank:
            self._blank[key] = blank_problem(spec.stock, spec, self.settings, self.book, cold=cold)
        return self._blank[key]

    def joint_tape_um(self, spec: Spec) -> int:
        """The tape of a joint between two pieces."""
        return self.blank(spec, cold=False)[1]

    def lengths_mm(self, spec: Spec, run: PackRun) -> tuple[int, ...]:
        """The pieces of a run in a quick plan, in order along it; none where no section can make it."""
        key = spec.stock, kind_of(run)
        found = self._lengths.get(key)
        if found is None:
            problem, _ = self.blank(spec, cold=False)
            can = can_be_cut(problem, run)
            found = self._lengths[key] = tuple(fixed_lengths_mm(problem, run) or ()) if can else ()
        return found


@dataclass(frozen=True, eq=False, slots=True)
class Strip:
    """One straight or one node. `spec` is that of its runs, which bear no names yet, None where it has none.

    `kinds` and `orders` go with the runs; there is no order for a run that no section can make. `amounts` is what it
    adds whatever the plan, `joints` what the joints between its pieces add to that in a quick plan, and `joints_mm`
    where these lie along the straight.
    """

    spec: Spec | None
    runs: tuple[NamedRun, ...]
    kinds: tuple[RunKind, ...]
    orders: tuple[Order | None, ...]
    joints_mm: tuple[float, ...]
    amounts: Amounts
    joints: Amounts
    items: tuple[str, ...]
    _named: dict[tuple[str, str], tuple[NamedRun, ...]] = field(default_factory=dict)

    def named(self, prefix: str, name: str) -> tuple[NamedRun, ...]:
        """Its runs as they are called in the results; the same objects each time."""
        found = self._named.get((prefix, name))
        if found is None:
            found = tuple(replace(run, name=f"{prefix}{name}{run.name}", prefix=prefix) for run in self.runs)
            self._named[prefix, name] = found
        return found


def strip_along(laid: Laid, holes: Sequence[Hole], faces: Joined, ground: Ground) -> Strip:
    """The strip of a straight, with what is made at the faces of its items."""
    runs = tuple(runs_along("", "", laid, holes))
    overlap_mm = ground.settings.joint_overlap_mm
    covered = (part for run in runs for part in covered_by(run))
    amounts = amounts_of(covered, joints_at(faces, overlap_mm), (*things_at(faces), *items_on(laid)))
    return _strip(laid.straight.spec, runs, amounts, tuple(placed.id for placed in laid.items), ground)


def strip_at(joined: Joined, larger: ChosenLeg, ground: Ground) -> Strip:
    """The strip of a node, with the pieces of its bend if there are any; `larger` is the larger leg there."""
    runs = tuple(run_round("", piece, larger) for piece in joined.pieces)
    covered = (part for run in runs for part in covered_by(run))
    amounts = amounts_of(covered, joints_at(joined, ground.settings.joint_overlap_mm), things_at(joined))
    return _strip(joined.pieces[0].spec if runs else None, runs, amounts, (), ground)


def _strip(
    spec: Spec | None, runs: tuple[NamedRun, ...], amounts: Amounts, items: tuple[str, ...], ground: Ground
) -> Strip:
    if spec is None or not runs:
        return Strip(None, (), (), (), (), amounts, {}, items)
    packed = [pack_run(run) for run in runs]
    orders = tuple(_order(one, run, ground.lengths_mm(spec, run)) for one, run in zip(runs, packed, strict=True))
    places: list[float] = []
    joints: list[JointSet] = []
    for run, order in zip(runs, orders, strict=True):
        if order and len(order.pieces) > 1:
            places += [run.run.from_mm + place for place in order.from_mm[1:]]
            joints += piece_joints(run, order.from_mm[1:], ground.joint_tape_um(spec))
    kinds = tuple(kind_of(run) for run in packed)
    return Strip(spec, runs, kinds, orders, tuple(places), amounts, amounts_of((), joints, ()), items)


def _order(named: NamedRun, run: PackRun, lengths_mm: tuple[int, ...]) -> Order | None:
    """The order of the pieces of a run, that of its fixed lengths but for joints that have to keep off something."""
    if not lengths_mm:
        return None
    if not (named.holes or named.supports):
        return Order(tuple(range(len(lengths_mm))), tuple(accumulate(lengths_mm[:-1], initial=0)), ())
    parts = parts_of(0, lengths_mm)
    pieces = [Piece(0, part.at_start, part.at_end, part.length_mm, turned=False, from_mm=0) for part in parts]
    return order_of(named, run, pieces)
