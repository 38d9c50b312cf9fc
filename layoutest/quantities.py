"""Quantities: what runs, plans and fittings add up to, each with its cause, its leg and where it comes from.

Lengths are added in whole micrometres, so that a sum does not depend on the order of its parts.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

EachKind = Literal["end-seal", "elbow-cover", "jacket", "insert", "tee"]

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from layoutest.choose import ChosenLeg
    from layoutest.cover.copies import Copy
    from layoutest.cover.joints import Cause, JointKind
    from layoutest.pack.placing import Stock


@dataclass(frozen=True, slots=True)
class JointSet:
    """Like joints at one place; `tape_um` is all their tape with its overlaps."""

    kind: JointKind
    count: int
    tape_um: int
    cause: Cause
    leg: ChosenLeg
    source: str


@dataclass(frozen=True, slots=True)
class Each:
    """Things that count one by one: end seals, elbow covers, jackets, inserts, tees."""

    kind: EachKind
    item: str
    cause: Cause
    leg: ChosenLeg
    source: str


@dataclass(frozen=True, slots=True)
class Covered:
    """A length of covering on one leg."""

    length_um: int
    leg: ChosenLeg
    source: str


@dataclass(frozen=True, slots=True)
class Quantities:
    """Everything counted in a job."""

    covered: tuple[Covered, ...]
    joints: tuple[JointSet, ...]
    each: tuple[Each, ...]
    bends: int
    reducers: int

    def joint_count(self, *kinds: JointKind) -> int:
        """How many joints of some kinds there are."""
        return sum(joints.count for joints in self.joints if joints.kind in kinds)

    def count(self, kind: EachKind) -> int:
        """How many things of a kind there are."""
        return sum(thing.kind == kind for thing in self.each)

    @property
    def covered_um(self) -> int:
        """All covering, measured along the pipes."""
        return sum(part.length_um for part in self.covered)

    def tape_um(self, seam: bool) -> int:  # noqa: FBT001
        """All tape; with the seam where the price book tapes it."""
        return sum(joints.tape_um for joints in self.joints) + (self.covered_um if seam else 0)


def count_quantities(copies: Sequence[Copy], stocks: Sequence[Stock]) -> Quantities:
    """Count a job: the copies of its layouts, and the stocks their runs were cut from."""
    joints = [joint for copy in copies for joint in _made_joints(copy)]
    joints += [joint for stock in stocks for joint in _piece_joints(stock)]
    fittings = [made for copy in copies for joined in copy.covering.joined.values() for made in joined.fittings]
    return Quantities(
        tuple(part for copy in copies for part in _covered(copy)),
        tuple(joints),
        tuple(thing for copy in copies for thing in _each(copy)),
        sum(fitting.kind == "bend" for fitting in fittings),
        sum(fitting.kind == "reducer" for fitting in fittings),
    )


def _overlap_mm(copy: Copy) -> float:
    return copy.covering.network.chosen.layout.settings.joint_overlap_mm


def _made_joints(copy: Copy) -> Iterator[JointSet]:
    """Joints at nodes and at the faces of items."""
    overlap_mm = _overlap_mm(copy)
    for joined in (*copy.covering.joined.values(), *copy.covering.faces.values()):
        for joint in joined.joints:
            tape_um = joint.count * round(1000 * (joint.length_mm + overlap_mm))
            yield JointSet(joint.kind, joint.count, tape_um, joint.cause, joint.leg, copy.prefix + joint.place)


def _piece_joints(stock: Stock) -> Iterator[JointSet]:
    """Joints between the pieces of a run."""
    for placed in stock.placed:
        for place_mm in placed.joints_mm:
            leg = placed.named.straight.leg_at(placed.named.run.from_mm + place_mm) if placed.named.straight else None
            yield JointSet("square", 1, stock.joint_tape_um, "joint", leg or placed.named.leg, placed.named.name)


def _covered(copy: Copy) -> Iterator[Covered]:
    for named in copy.runs:
        total_um = round(1000 * named.run.covered_mm)
        parts = list(named.legs_along(0, named.run.packed_mm))
        for leg, length_mm in parts[:-1]:
            yield Covered(1000 * length_mm, leg, named.source)
            total_um -= 1000 * length_mm
        yield Covered(total_um, parts[-1][0], named.source)


def _each(copy: Copy) -> Iterator[Each]:
    for joined in (*copy.covering.joined.values(), *copy.covering.faces.values()):
        for seal in joined.seals:
            yield Each("end-seal", "", seal.cause, seal.leg, copy.prefix + seal.place)
        for fitting in joined.fittings:
            if fitting.kind == "tee":
                yield Each("tee", "", "tee", fitting.leg, copy.prefix + fitting.node)
            elif fitting.kind == "bend" and fitting.mitres == 0:
                yield Each("elbow-cover", "", "bend", fitting.leg, copy.prefix + fitting.node)
    for laid in copy.covering.laid.values():
        for placed in laid.items:
            covered, kind = placed.item.covered, placed.item.kind
            if covered == "jacket" or (covered == "insert" and laid.straight.spec.covered):
                yield Each(covered, kind, "item", placed.leg, copy.prefix + placed.id)


def areas_of(parts: Iterable[tuple[ChosenLeg, int]]) -> dict[str, int]:
    """Add up lengths by the area of their legs."""
    found: dict[str, int] = {}
    for leg, length in parts:
        found[leg.leg.area] = found.get(leg.leg.area, 0) + length
    return found
