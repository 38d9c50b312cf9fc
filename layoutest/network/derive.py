"""Deriving the network: meetings at nodes, straights between them, and the junctions that tie these together.

After an edit only the nodes of changed legs, and the straights through those nodes, are made again; whatever comes
out equal to what was there before stays the same object.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from math import fsum
from typing import TYPE_CHECKING, TypeVar

from layoutest.layout.ids import natural_key
from layoutest.network.graph import legs_by_node
from layoutest.network.junction import Junction, junction_at
from layoutest.network.meeting import Meeting, Pair, meeting_at
from layoutest.network.straights import Straight, straights_of

if TYPE_CHECKING:
    from collections.abc import Mapping

    from layoutest.choose import Chosen, ChosenLeg
    from layoutest.layout.ids import IdKey

Record = TypeVar("Record", Straight, Junction)


@dataclass(frozen=True)
class Network:
    """Everything derived from the chosen legs. Maps go by node, or by a straight's key (its smallest leg id)."""

    chosen: Chosen
    meetings: Mapping[str, Meeting]
    through: Mapping[str, tuple[Pair, ...]]
    straights: Mapping[str, Straight]
    straight_of: Mapping[str, str]
    junctions: Mapping[str, Junction]

    @cached_property
    def names(self) -> dict[str, str]:
        """The name of each straight by its key: s1, s2, … in the order of their smallest leg ids."""
        return {key: f"s{number}" for number, key in enumerate(sorted(self.straights, key=natural_key), start=1)}


def derive(chosen: Chosen, before: Network | None = None) -> Network:
    """Derive the network of the legs that take part."""
    if before and before.chosen.layout.settings != chosen.layout.settings:
        before = None
    old_legs = before.chosen.legs if before else {}
    changed = {name for name, leg in chosen.legs.items() if old_legs.get(name) is not leg}
    gone = {name for name, leg in old_legs.items() if chosen.legs.get(name) is not leg}
    legs_at = _legs_at(chosen.legs, changed, gone, before)
    dirty = set(legs_at)
    meetings = _meetings(legs_at, chosen.layout.settings.angle_tolerance_deg, before)
    if before:
        dirty |= _crosses_reached(dirty, meetings)
    through = _through(dirty, meetings, before)
    straights, straight_of, touched = _straights(chosen.legs, changed | gone, dirty, meetings, through, before)
    junctions = _junctions(chosen, dirty | touched, meetings, through, straight_of, before)
    network = Network(chosen, meetings, through, straights, straight_of, junctions)
    if before and "names" in vars(before) and straights.keys() == before.straights.keys():
        vars(network)["names"] = before.names
    return network


def _legs_at(
    legs: Mapping[str, ChosenLeg], changed: set[str], gone: set[str], before: Network | None
) -> dict[str, list[ChosenLeg]]:
    """The legs at each node where one changed."""
    if before is None:
        return legs_by_node(legs)
    fresh = [legs[name] for name in changed]
    ends = {node for leg in fresh for node in (leg.start, leg.end)}
    ends |= {node for name in gone for node in (before.chosen.legs[name].start, before.chosen.legs[name].end)}
    old = before.meetings
    found = {node: [leg for leg in old[node].legs if leg.id not in gone] if node in old else [] for node in ends}
    for leg in fresh:
        found[leg.start].append(leg)
        found[leg.end].append(leg)
    return found


def _meetings(
    legs_at: Mapping[str, list[ChosenLeg]], tolerance_deg: float, before: Network | None
) -> dict[str, Meeting]:
    meetings = dict(before.meetings) if before else {}
    for node, legs in legs_at.items():
        if legs:
            meetings[node] = meeting_at(node, legs, tolerance_deg)
        else:
            meetings.pop(node, None)
    return meetings


def _crosses_reached(dirty: set[str], meetings: Mapping[str, Meeting]) -> set[str]:
    """Crosses whose decision may turn on a changed leg far along one of their chains."""
    reached: set[str] = set()
    seen: set[str] = set()
    for leg in (leg for node in dirty if node in meetings for leg in meetings[node].legs):
        if leg.id not in seen:
            chain, nodes = _chain(leg, meetings)
            seen.update(part.id for part in chain)
            reached |= {met for met in nodes if met in meetings and meetings[met].kind == "cross"}
    return reached


def _through(dirty: set[str], meetings: Mapping[str, Meeting], before: Network | None) -> dict[str, tuple[Pair, ...]]:
    """The pairs that run on at each node; nodes without any are left out."""
    through = dict(before.through) if before else {}
    measured: dict[str, tuple[float, IdKey]] = {}
    for node in dirty:
        through.pop(node, None)
        meeting = meetings.get(node)
        if meeting and meeting.kind in ("on", "tee"):
            through[node] = meeting.alike
        elif meeting and meeting.kind == "cross":
            through[node] = (_cross_pair(meeting, meetings, measured),)
    return through


def _cross_pair(meeting: Meeting, meetings: Mapping[str, Meeting], measured: dict[str, tuple[float, IdKey]]) -> Pair:
    """Of two alike pairs: the larger covered diameter, then the longer chain, then the smaller leg id on that chain."""
    by_id = {leg.id: leg for leg in meeting.legs}

    def rank(pair: Pair) -> tuple[object, ...]:
        leg = by_id[pair[0]]
        if leg.id not in measured:
            chain, _ = _chain(leg, meetings)
            # Equal lengths stay equal however they are split: sums of square roots differ in their last digits.
            length_mm = round(fsum(part.length_mm for part in chain), 6)
            smallest = min(natural_key(part.id) for part in chain)
            measured.update((part.id, (-length_mm, smallest)) for part in chain)
        return not leg.spec.covered, -leg.spec.covered_diameter_mm, *measured[leg.id]

    return min(meeting.alike, key=rank)


def _chain(leg: ChosenLeg, meetings: Mapping[str, Meeting]) -> tuple[list[ChosenLeg], set[str]]:
    """All legs alike and in line with one, as if they ran through every node, and the nodes they meet."""
    chain, nodes = [leg], {leg.start, leg.end}
    for node in (leg.start, leg.end):
        here, at = leg, node
        while (onward := _onward(here, meetings.get(at))) is not None:
            if onward is leg:  # a ring of turns within the tolerance
                return chain, nodes
            here = onward
            at = here.end if at == here.start else here.start
            chain.append(here)
            nodes.add(at)
    return chain, nodes


def _onward(leg: ChosenLeg, meeting: Meeting | None) -> ChosenLeg | None:
    if meeting is None:
        return None
    for pair in meeting.alike:
        if leg.id in pair:
            other = pair[1] if leg.id == pair[0] else pair[0]
            return next(met for met in meeting.legs if met.id == other)
    return None


def _straights(
    legs: Mapping[str, ChosenLeg],
    moved: set[str],
    dirty: set[str],
    meetings: Mapping[str, Meeting],
    through: Mapping[str, tuple[Pair, ...]],
    before: Network | None,
) -> tuple[dict[str, Straight], dict[str, str], set[str]]:
    """All straights by key, the key for each leg, and the nodes of straights that were made again."""
    if before is None:
        made = straights_of(legs, legs, through)
        return {one.key: one for one in made}, {leg.id: one.key for one in made for leg in one.legs}, set()
    straights, straight_of = dict(before.straights), dict(before.straight_of)
    stale = moved | {leg.id for node in dirty if node in meetings for leg in meetings[node].legs}
    dissolved = [straights.pop(key) for key in {straight_of[leg] for leg in stale if leg in straight_of}]
    loose = {leg.id for straight in dissolved for leg in straight.legs} | stale
    for leg in loose:
        straight_of.pop(leg, None)
    made = straights_of(legs, (leg for leg in loose if leg in legs), through)
    for straight in made:
        straights[straight.key] = _kept(straight, before.straights.get(straight.key))
        straight_of.update(dict.fromkeys((leg.id for leg in straight.legs), straight.key))
    return straights, straight_of, {node for straight in (*made, *dissolved) for node in straight.nodes}


def _junctions(
    chosen: Chosen,
    nodes: set[str],
    meetings: Mapping[str, Meeting],
    through: Mapping[str, tuple[Pair, ...]],
    straight_of: Mapping[str, str],
    before: Network | None,
) -> dict[str, Junction]:
    junctions = dict(before.junctions) if before else {}
    tolerance_deg = chosen.layout.settings.angle_tolerance_deg
    for node in nodes:
        old = junctions.pop(node, None)
        if node in meetings:
            junction = junction_at(meetings[node], through.get(node, ()), straight_of, tolerance_deg)
            junctions[node] = _kept(junction, old)
    return junctions


def _kept(made: Record, old: Record | None) -> Record:
    """The old record where the new one is equal to it, so that later steps see that nothing changed."""
    return old if old is not None and old == made else made
