"""What is wrong or doubtful about the way legs meet."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layoutest.layout.ids import natural_key
from layoutest.layout.snags import Snag

if TYPE_CHECKING:
    from collections.abc import Iterator

    from layoutest.network.derive import Network
    from layoutest.network.junction import Junction
    from layoutest.network.meeting import Meeting

FOLDED_DEG = 150.0
ODD_TURN_DEG = 91.0
ODD_BRANCH_DEG = 30.0


def network_snags(network: Network) -> tuple[Snag, ...]:
    """All snags of the nodes of a network, in the order of their nodes."""
    snags = list(_strays(network))
    for node in sorted(network.meetings, key=natural_key):
        snags += _at_node(network.meetings[node], network.junctions[node])
    return tuple(snags)


def _strays(network: Network) -> Iterator[Snag]:
    # A node that only legs left out touch is told by the snags of those legs.
    layout = network.chosen.layout
    drawn = {node for leg in layout.legs.values() for node in (leg.start, leg.end)}
    for node in sorted(layout.nodes.keys() - drawn, key=natural_key):
        yield Snag("stray-node", (node,), f"No leg ends at node {node}.", "Delete it, or draw a leg to it.")


def _at_node(meeting: Meeting, junction: Junction) -> Iterator[Snag]:
    specs = {id(leg.spec): leg.spec for leg in meeting.legs}
    where = (*(leg.id for leg in meeting.legs), meeting.node)
    if meeting.kind == "unresolved":
        says = f"{len(meeting.legs)} pipes meet at node {meeting.node} and none of them runs through."
        do = "Move the node so that two legs are in one line, or make it two tees."
        yield Snag("no-through-pipe", where, says, do)
    unlike = meeting.kind == "bend" and len(specs) > 1
    if any(spec.covered for spec in specs.values()):
        yield from _odd(meeting, junction, where)
        if unlike:
            yield _unlike(meeting, junction, where)
    services = sorted({spec.service for spec in specs.values()})
    if len(services) > 1 and not unlike:
        says = f"Services {' and '.join(services)} meet at node {meeting.node}."
        yield Snag("services-meet", where, says, "Check that they are meant to be joined.")


def _odd(meeting: Meeting, junction: Junction, where: tuple[str, ...]) -> Iterator[Snag]:
    turn = meeting.turn_deg
    if turn > FOLDED_DEG:
        yield Snag("folded-back", where, f"The pipe turns back on itself by {turn:.0f}°.", "Check the drawing.")
    elif turn > ODD_TURN_DEG:
        says = f"A turn of {turn:.0f}° has no stock elbow."
        yield Snag("odd-angle", where, says, "Check the drawing, or shape the bend on site.")
    for branch in junction.branches:
        if branch.angle_deg < ODD_BRANCH_DEG:
            says = f"A branch at {branch.angle_deg:.0f}° to its main has no stock tee."
            yield Snag("odd-angle", (branch.leg.id, meeting.node), says, "Check the drawing, or shape it on site.")


def _unlike(meeting: Meeting, junction: Junction, where: tuple[str, ...]) -> Snag:
    larger, smaller = junction.legs
    if smaller.spec.covered:
        says = f"Legs that are not alike meet at a bend: it is covered as the larger, {larger.spec.text}."
    else:
        says = f"A covered and a bare leg meet at a bend: the covering of {larger.id} ends square at node {meeting.node}."
    return Snag("unlike-at-bend", where, says, "Check that this is meant; else put the change into a straight.")
