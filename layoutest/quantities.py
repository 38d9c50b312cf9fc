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
    from layoutest.cover.copies import Copy, NamedRun
    from layoutest.cover.joints import Cause, Joined, JointKind
    from layoutest.cover.runs import Laid
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
    made = [(joined, copy) for copy in copies for joined in copy.covering.joined.values()]
    faces = [(joined, copy) for copy in copies for joined in copy.covering.faces.values()]
    joints = [joint for joined, copy in made + faces for joint in joints_at(joined, _overlap_mm(copy), copy.prefix)]
    joints += [
        joint
        for stock in stocks
        for placed in stock.placed
        for joint in piece_joints(placed.named, placed.joints_mm, stock.joint_tape_um)
    ]
    things = [thing for joined, copy in made + faces for thing in things_at(joined, copy.prefix)]
    laid = [(laid, copy) for copy in copies for laid in copy.covering.laid.values()]
    things += [thing for one, copy in laid for thing in items_on(one, copy.prefix)]
    fittings = [fitting for joined, _ in made for fitting in joined.fittings]
    return Quantities(
        tuple(part for copy in copies for named in copy.runs for part in covered_by(named)),
        tuple(joints),
        tuple(things),
        sum(fitting.kind == "bend" for fitting in fittings),
        sum(fitting.kind == "reducer" for fitting in fittings),
    )


def _overlap_mm(copy: Copy) -> float:
    return copy.covering.network.chosen.layout.settings.joint_overlap_mm


def joints_at(joined: Joined, overlap_mm: float, prefix: str = "") -> Iterator[JointSet]:
    """Joints at a node, or at the faces of a straight's items."""
    for joint in joined.joints:
        tape_um = joint.count * round(1000 * (joint.length_mm + overlap_mm))
        yield JointSet(joint.kind, joint.count, tape_um, joint.cause, joint.leg, prefix + joint.place)


def piece_joints(named: NamedRun, joints_mm: Iterable[int], tape_um: int) -> Iterator[JointSet]:
    """Joints between the pieces of a run, at places along it."""
    for place_mm in joints_mm:
        leg = named.straight.leg_at(named.run.from_mm + place_mm) if named.straight else named.leg
        yield JointSet("square", 1, tape_um, "joint", leg, named.name)


def covered_by(named: NamedRun) -> Iterator[Covered]:
    """The covering of one run, by leg."""
    total_um = round(1000 * named.run.covered_mm)
    parts = list(named.legs_along(0, named.run.packed_mm))
    for leg, length_mm in parts[:-1]:
        yield Covered(1000 * length_mm, leg, named.source)
        total_um -= 1000 * length_mm
    yield Covered(total_um, parts[-1][0], named.source)


def things_at(joined: Joined, prefix: str = "") -> Iterator[Each]:
    """End seals, tees and elbow covers at a node, or at the faces of a straight's items."""
    for seal in joined.seals:
        yield Each("end-seal", "", seal.cause, seal.leg, prefix + seal.place)
    for fitting in joined.fittings:
        if fitting.kind == "tee":
            yield Each("tee", "", "tee", fitting.leg, prefix + fitting.node)
        elif fitting.kind == "bend" and fitting.mitres == 0:
            yield Each("elbow-cover", "", "bend", fitting.leg, prefix + fitting.node)


def items_on(laid: Laid, prefix: str = "") -> Iterator[Each]:
    """Jackets and inserts of the items on a straight."""
    for placed in laid.items:
        covered, kind = placed.item.covered, placed.item.kind
        if covered == "jacket" or (covered == "insert" and laid.straight.spec.covered):
            yield Each(covered, kind, "item", placed.leg, prefix + placed.id)


def areas_of(parts: Iterable[tuple[ChosenLeg, int]]) -> dict[str, int]:
    """Add up lengths by the area of their legs."""
    found: dict[str, int] = {}
    for leg, length in parts:
        found[leg.leg.area] = found.get(leg.leg.area, 0) + length
    return found
