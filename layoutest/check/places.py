"""Pipes that meet away from a node, nodes that lie on a leg, nodes in one place."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layoutest.layout.ids import natural_key
from layoutest.layout.snags import Snag

if TYPE_CHECKING:
    from layoutest.choose import Chosen
    from layoutest.layout.contacts import Contact


def place_snags(chosen: Chosen) -> tuple[Snag, ...]:
    """Tell every contact between legs that take part; a measured leg's drawn place is not judged."""
    found = [contact for contact in chosen.contacts.found.values() if contact.kind != "overlap"]
    found = [contact for contact in found if all(_is_in_place(leg, chosen) for leg in contact.legs)]
    snags = (_snag(contact, chosen) for contact in sorted(found, key=_order))
    return tuple({snag.id: snag for snag in snags}.values())


def _is_in_place(name: str, chosen: Chosen) -> bool:
    leg = chosen.legs.get(name)
    return leg is not None and leg.leg.measured_mm is None


def _order(contact: Contact) -> tuple[object, ...]:
    return tuple(natural_key(leg) for leg in contact.legs)


def _snag(contact: Contact, chosen: Chosen) -> Snag:
    first, second = contact.legs
    if contact.kind == "meet":
        says = f"Legs {first} and {second} cross in space without a node."
        return Snag("pipes-meet", (first, second), says, "Join them at a node, or change the level of one.")
    if contact.kind == "end-on-leg":
        node = contact.nodes[0]
        leg = second if node in (chosen.legs[first].start, chosen.legs[first].end) else first
        says = f"Node {node} lies on leg {leg} and is not joined to it."
        return Snag("node-on-leg", (leg, node), says, f"End leg {leg} at node {node} to make a tee, or move the node.")
    one, two = contact.nodes
    says = f"Nodes {one} and {two} are in one place and not joined."
    return Snag("nodes-in-one-place", (one, two), says, "Make them one node, or move one of them.")
