"""Joints, seals and fittings at the nodes and items of a network, and the pieces that make up its bends.

Those made by the thousand are named tuples, which take a third of the time of other records to make.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import asin, copysign, degrees, pi, radians, tan
from typing import TYPE_CHECKING, Literal, NamedTuple

from layoutest.cover.ends import hole_half_mm, is_larger_branch, side_deg, tee_cut, wedge_mm
from layoutest.cover.perimeters import mitre_perimeter_mm, notch_perimeter_mm, saddle_perimeter_mm
from layoutest.cover.runs import Run, RunEnd
from layoutest.layout.geometry import dot
from layoutest.layout.snags import Snag
from layoutest.network.meeting import away

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from layoutest.choose import ChosenLeg, Spec
    from layoutest.cover.bend import BendCover
    from layoutest.cover.runs import Laid, Reach
    from layoutest.network.junction import Branch, Junction

Cause = Literal["length", "bend", "tee", "joint", "offcut", "item", "labour", "other"]
JointKind = Literal["square", "mitre", "notch", "saddle"]
FittingKind = Literal["bend", "tee", "reducer", "change", "end"]
# With a hair for the rounding of diameters that are not whole millimetres.
SEAL_STEP_MM = 10.0 + 1e-9


@dataclass(frozen=True, slots=True)
class Joint:
    """So many like joints at one place; `length_mm` is the taped length of one, without its overlap."""

    kind: JointKind
    count: int
    length_mm: float
    cause: Cause
    leg: ChosenLeg
    place: str


class Seal(NamedTuple):
    """An end seal on a covering of the leg's diameter."""

    cause: Cause
    leg: ChosenLeg
    place: str


class Fitting(NamedTuple):
    """A fitting that counts. `straights` are keys: the larger first, or main and branch of a tee."""

    node: str
    kind: FittingKind
    straights: tuple[str, ...]
    leg: ChosenLeg
    angle_deg: float = 0.0
    mitres: int = 0
    hollow_mm: float = 0.0
    cut: JointKind = "square"


@dataclass(frozen=True, slots=True)
class Hole:
    """A hole in a main for a branch: its middle along the main, half its length, and its side, from the top.

    The hole of a slanting branch lies beyond its node, on the side to which the branch leans.
    """

    node: str
    straight: str
    place_mm: float
    half_mm: float
    around_deg: float
    around_half_deg: float
    cut: JointKind


class Joined(NamedTuple):
    """What is made at one node."""

    fittings: tuple[Fitting, ...] = ()
    joints: tuple[Joint, ...] = ()
    seals: tuple[Seal, ...] = ()
    pieces: tuple[Run, ...] = ()
    holes: tuple[Hole, ...] = ()
    snags: tuple[Snag, ...] = ()


NOTHING = Joined()


class _Side(NamedTuple):
    """One straight at a node: its larger-first place, its leg there, and what became of its covering."""

    straight: str
    leg: ChosenLeg
    reach: Reach


def join(junction: Junction, laid: Mapping[str, Laid], bend: BendCover | None) -> Joined:
    """Make the joints of one junction; `laid` holds every straight. `NOTHING` where nothing is made."""
    made = NOTHING
    if junction.kind in ("end", "bend", "reducer", "change"):
        made = _at_ends(junction, laid, bend)
    return _with_branches(made, junction, laid) if junction.branches else made


def _at_ends(junction: Junction, laid: Mapping[str, Laid], bend: BendCover | None) -> Joined:
    sides = [
        _Side(key, leg, laid[key].reach_at(junction.node))
        for key, leg in zip(junction.straights, junction.legs, strict=True)
        if leg.spec.covered
    ]
    if junction.kind == "end" and sides:
        return _end(junction.node, sides[0])
    if len(sides) == 2:
        return _bend(junction, sides, bend) if bend else _step(junction, sides)
    # The covering stops against bare pipe.
    seals = tuple(Seal("joint", side.leg, junction.node) for side in sides if side.reach == "made")
    return Joined(seals=seals) if seals else NOTHING


def _end(node: str, side: _Side) -> Joined:
    seals = (Seal("joint", side.leg, node),) if side.reach == "made" else ()
    return Joined((Fitting(node, "end", (side.straight,), side.leg),), seals=seals)


def _missing(sides: list[_Side], node: str, last_seal: ChosenLeg | None) -> tuple[int, tuple[Seal, ...]]:
    """How many of two joints are not made, and the seals that close the other side of those a gap prevents."""
    if sides[0].reach == sides[1].reach == "made":
        return 0, ()
    seals = []
    for side, other in zip(sides, reversed(sides), strict=True):
        closes = last_seal or (other.leg if other.reach == "made" else None)
        if side.reach == "gapped" and closes:
            seals.append(Seal("item", closes, node))
    return sum(side.reach != "made" for side in sides), tuple(seals)


def _step(junction: Junction, sides: list[_Side]) -> Joined:
    larger, smaller = junction.legs
    missing, seals = _missing(sides, junction.node, None)
    joints: tuple[Joint, ...] = ()
    if not missing:
        joints = (Joint("square", 1, pi * _larger_diameter(junction), "joint", larger, junction.node),)
        if abs(larger.spec.covered_diameter_mm - smaller.spec.covered_diameter_mm) > SEAL_STEP_MM:
            seals = (*seals, Seal("joint", larger, junction.node))
    kind: FittingKind = "reducer" if junction.kind == "reducer" else "change"
    fitting = Fitting(junction.node, kind, junction.straights, larger)
    counts = all(side.reach != "gapped" for side in sides)
    return Joined((fitting,) if counts else (), joints, seals)


def _larger_diameter(junction: Junction) -> float:
    return max(leg.spec.covered_diameter_mm for leg in junction.legs)


def _bend(junction: Junction, sides: list[_Side], bend: BendCover) -> Joined:
    node, larger = junction.node, junction.legs[0]
    gapped = sum(side.reach == "gapped" for side in sides)
    total = 2 if bend.preformed else bend.mitres
    # With one mitre the two runs meet in one joint; else each meets the elbow's own cover in a joint of its own.
    counts = gapped < total
    own_cover = larger if counts and total > 1 else None
    missing, seals = _missing(sides, node, own_cover)
    count = max(total - missing, 0)
    if not counts:
        return Joined(seals=seals) if seals else NOTHING
    radius_mm = bend.spec.covered_diameter_mm / 2
    kind: JointKind = "square" if bend.preformed else "mitre"
    joint = Joint(kind, count, mitre_perimeter_mm(radius_mm, bend.angle_deg), "bend", larger, node)
    fitting = Fitting(node, "bend", junction.straights, larger, bend.turn_deg, bend.mitres, bend.hollow_mm)
    return Joined((fitting,), (joint,) if count else (), seals, _pieces(node, bend), snags=bend.snags)


def _pieces(node: str, bend: BendCover) -> tuple[Run, ...]:
    if bend.mitres < 2:
        return ()
    end = RunEnd("mitre", bend.angle_deg, depth_mm=wedge_mm(bend.spec, bend.angle_deg))
    return tuple(
        Run(node, number, bend.spec, 0.0, bend.piece_mm, (end, end), twist_deg=0.0, one_piece=True, is_bend_piece=True)
        for number in range(1, bend.mitres)
    )


def _with_branches(made: Joined, junction: Junction, laid: Mapping[str, Laid]) -> Joined:
    branches = [_branch(junction, branch, laid) for branch in junction.branches if branch.leg.spec.covered]
    parts = [part for part in (made, *branches) if part is not NOTHING]
    if len(parts) < 2:
        return parts[0] if parts else NOTHING
    return Joined(
        tuple(fitting for part in parts for fitting in part.fittings),
        tuple(joint for part in parts for joint in part.joints),
        tuple(seal for part in parts for seal in part.seals),
        made.pieces,
        tuple(hole for part in parts for hole in part.holes),
        tuple(snag for part in parts for snag in part.snags),
    )


def _branch(junction: Junction, branch: Branch, laid: Mapping[str, Laid]) -> Joined:
    """One branch of a main: joint, hole and tee, or an end seal where there is no covering to meet."""
    reach = laid[branch.straight].reach_at(junction.node)
    main = laid[junction.straights[0]]
    place_mm = main.straight.offset_mm(junction.node)
    covered = main.covers(place_mm)
    if not (covered or "too-short" in main.reach) or reach == "gapped":
        return Joined(seals=(Seal("joint", branch.leg, junction.node),)) if reach == "made" else NOTHING
    cut = tee_cut(main.straight.spec, branch.leg.spec, branch.angle_deg)
    kind: JointKind = "notch" if cut == "notch" else "saddle"
    fitting = Fitting(
        junction.node, "tee", (junction.straights[0], branch.straight), branch.leg, branch.angle_deg, cut=kind
    )
    joints: tuple[Joint, ...] = ()
    if reach == "made" and covered:
        length_mm = _tee_length_mm(main.straight.spec, branch.leg.spec, branch.angle_deg, kind)
        joints = (Joint(kind, 1, length_mm, "tee", branch.leg, junction.node),)
    hole = _hole(junction, branch, main, place_mm, kind)
    return Joined((fitting,), joints, holes=(hole,), snags=tuple(_larger_branch(junction, branch, main.straight.spec)))


def _tee_length_mm(main: Spec, branch: Spec, angle_deg: float, kind: JointKind) -> float:
    radius_mm = branch.covered_diameter_mm / 2
    if kind == "notch":
        return notch_perimeter_mm(radius_mm)
    if is_larger_branch(main, branch):
        return 2 * pi * radius_mm
    return saddle_perimeter_mm(main.covered_diameter_mm / 2, radius_mm, angle_deg)


def _hole(junction: Junction, branch: Branch, main: Laid, place_mm: float, kind: JointKind) -> Hole:
    heading, way = main.straight.heading, away(branch.leg, junction.node)
    main_mm = main.straight.spec.covered_diameter_mm
    if branch.angle_deg < 90:
        place_mm += copysign(main_mm / 2 / tan(radians(branch.angle_deg)), dot(heading, way))
    share = min(1.0, branch.leg.spec.covered_diameter_mm / main_mm)
    half_mm = hole_half_mm(branch.leg.spec, branch.angle_deg)
    return Hole(junction.node, main.straight.key, place_mm, half_mm, side_deg(heading, way), degrees(asin(share)), kind)


def _larger_branch(junction: Junction, branch: Branch, main: Spec) -> Iterator[Snag]:
    if is_larger_branch(main, branch.leg.spec):
        says = (
            f"The branch's covering of {branch.leg.spec.covered_diameter_mm:g} mm is larger than its main's of "
            f"{main.covered_diameter_mm:g} mm; it is counted as a saddle."
        )
        yield Snag("branch-larger", (branch.leg.id, junction.node), says, "Shape the branch's end on site.", main.text)


def item_faces(laid: Laid) -> Joined:
    """The joints and seals where the runs of one straight end at items: taped to an insert, sealed at any other."""
    if not laid.items:
        return NOTHING
    items = {placed.id: placed for placed in laid.items}
    joints, seals = [], []
    for run in laid.runs:
        for end in run.ends:
            if end.item is None:
                continue
            placed = items[end.item]
            if placed.item.covered == "insert":
                joints.append(Joint("square", 1, pi * run.spec.covered_diameter_mm, "item", placed.leg, placed.id))
            else:
                seals.append(Seal("item", placed.leg, placed.id))
    return Joined(joints=tuple(joints), seals=tuple(seals))
