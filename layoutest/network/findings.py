"""What is wrong or doubtful about the way legs meet."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layoutest.layout.ids import natural_key
from layoutest.layout.snags import Snag

if TYPE_CHECKING:
    from collections.abc import Iterator

    from layoutest.choose import Spec
    from layoutest.layout.document import Layout
    from layoutest.network.derive import Network
    from layoutest.network.junction import Junction
    from layoutest.network.meeting import Meeting

FOLDED_DEG = 150.0
ODD_TURN_DEG = 91.0
ODD_BRANCH_DEG = 30.0


def network_snags(network: Network) -> tuple[Snag, ...]:
    """All snags of the nodes of a network, in the order of their nodes."""
    snags = list(stray_snags(network.chosen.layout))
    for node in sorted(network.meetings, key=natural_key):
        snags += node_snags(network, node)
    return tuple(snags)


def stray_snags(layout: Layout) -> Iterator[Snag]:
    """Tell the nodes without a leg."""
    # A node that only legs left out touch is told by the snags of those legs.
    drawn = {node for leg in layout.legs.values() for node in (leg.start, leg.end)}
    for node in sorted(layout.nodes.keys() - drawn, key=natural_key):
        yield Snag("stray-node", (node,), f"No leg ends at node {node}.", "Delete it, or draw a leg to it.")


def node_snags(network: Network, node: str) -> Iterator[Snag]:
    """What is doubtful about one node at which legs meet."""
    meeting, tolerance_deg = network.meetings[node], network.chosen.layout.settings.angle_tolerance_deg
    # Nothing is doubtful about an end, or about alike legs that run on.
    if meeting.kind not in ("end", "on"):
        yield from _at_node(meeting, network.junctions[node], tolerance_deg)


def _at_node(meeting: Meeting, junction: Junction, tolerance_deg: float) -> Iterator[Snag]:
    where = (*(leg.id for leg in meeting.legs), meeting.node)
    if meeting.kind == "unresolved":
        says = f"{len(meeting.legs)} pipes meet at node {meeting.node} and none of them runs through."
        do = "Move the node so that two legs are in one line, or make it two tees."
        yield Snag("no-through-pipe", where, says, do)
    if meeting.turn_deg > FOLDED_DEG + tolerance_deg:
        says = f"The pipe turns back on itself by {meeting.turn_deg:.0f}°."
        yield Snag("folded-back", where, says, "Check the drawing.")
    elif any(leg.spec.covered for leg in meeting.legs):
        yield from _odd(meeting, junction, where, tolerance_deg)
    unlike = list(_unlike(junction, where)) if meeting.kind == "bend" else []
    yield from unlike
    services = {leg.spec.service for leg in meeting.legs}
    # An unlike bend says itself that the services of its legs differ, but for one between a covered and a bare leg.
    if len(services) > 1 and not (unlike and len({leg.spec.covered for leg in meeting.legs}) == 1):
        says = f"Services {' and '.join(sorted(services, key=natural_key))} meet at node {meeting.node}."
        yield Snag("services-meet", where, says, "Check that they are meant to be joined.")


def _odd(meeting: Meeting, junction: Junction, where: tuple[str, ...], tolerance_deg: float) -> Iterator[Snag]:
    if meeting.turn_deg > ODD_TURN_DEG:
        says = f"A turn of {meeting.turn_deg:.0f}° has no stock elbow."
        yield Snag("odd-angle", where, says, "Check the drawing, or shape the bend on site.")
    for branch in junction.branches:
        # A branch drawn at 30° ends at a whole millimetre, and so a little beside it.
        if branch.angle_deg < ODD_BRANCH_DEG - tolerance_deg:
            says = f"A branch at {branch.angle_deg:.0f}° to its main has no stock tee."
            yield Snag("odd-angle", (branch.leg.id, meeting.node), says, "Check the drawing, or shape it on site.")


def _unlike(junction: Junction, where: tuple[str, ...]) -> Iterator[Snag]:
    larger, smaller = junction.legs
    if larger.spec is smaller.spec:
        return
    unlike = _difference(larger.spec, smaller.spec)
    if smaller.spec.covered:
        says = f"Legs that differ in {unlike} meet at a bend: it is covered as the larger, {larger.spec.text}."
    elif not larger.spec.covered:
        says = f"Bare legs that differ in {unlike} meet at a bend."
    else:
        says = (
            f"A covered and a bare leg meet at a bend: the covering of {larger.id} ends square at node {junction.node}."
        )
    yield Snag("unlike-at-bend", where, says, "Check that this is meant; else put the change into a straight.")


def _difference(larger: Spec, smaller: Spec) -> str:
    named = {
        "pipe": larger.pipe != smaller.pipe,
        "service": larger.service != smaller.service,
        "covering": larger.covering != smaller.covering,
        "thickness": larger.thickness_mm != smaller.thickness_mm,
    }
    return " and ".join(name for name, differs in named.items() if differs)
