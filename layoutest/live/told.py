"""The snags of a layout by where they come from, so that an edit looks again only at what it touched."""

from __future__ import annotations

from itertools import chain
from operator import itemgetter
from typing import TYPE_CHECKING, NamedTuple

from layoutest.check.places import place_snags
from layoutest.check.structure import Solids, structure_snags
from layoutest.choose import choice_snags
from layoutest.cover.nearness import too_near
from layoutest.job import place_in_list
from layoutest.network.findings import node_snags, stray_snags

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from layoutest.choose import Chosen
    from layoutest.cover.covering import Covering
    from layoutest.cover.joints import Hole
    from layoutest.layout.ids import IdKey
    from layoutest.layout.snags import Snag
    from layoutest.live.changes import Changes

Entry = tuple[tuple[int, list["IdKey"], str], "Snag"]
"""A snag with its place in the list."""

By = dict[str, tuple[Entry, ...]]
"""Snags by what they come from, without what has none."""


class Told(NamedTuple):
    """All snags of one layout, whatever it costs."""

    choice: tuple[Entry, ...]
    strays: tuple[Entry, ...]
    contacts: tuple[Entry, ...]
    meetings: By
    straights: By
    nodes: By
    legs: By
    solids: Solids

    def entries(self) -> Iterable[Entry]:
        """All entries; where two have one id the later one stands."""
        groups = (self.meetings, self.straights, self.nodes)
        inner = chain.from_iterable(entries for group in groups for entries in group.values())
        outer = chain.from_iterable(self.legs.values())
        return chain(self.choice, self.strays, inner, self.contacts, outer)


def entries_of(snags: Iterable[Snag]) -> tuple[Entry, ...]:
    """Snags with their places in the list."""
    return tuple((place_in_list(snag), snag) for snag in snags)


def listed(entries: Iterable[Entry]) -> tuple[Snag, ...]:
    """Snags in the order of importance and then of their places, each once."""
    once = {entry[0][2]: entry for entry in entries}
    return tuple(entry[1] for entry in sorted(once.values(), key=itemgetter(0)))


def told_of(
    covering: Covering, holes: Mapping[str, tuple[Hole, ...]], changes: Changes, old: tuple[Covering, Told] | None
) -> Told:
    """The snags of a layout.

    Args:
        covering: what is drawn and covered.
        holes: the holes of each straight that has any, in order along it.
        changes: since the covering before.
        old: that covering, with its snags.
    """
    chosen = covering.network.chosen
    same_choice, same_ends, same_structure = _same(covering, changes, old[0]) if old else (False, False, False)
    told = old[1] if old else Told((), (), (), {}, {}, {}, {}, Solids({}))
    solids = told.solids if same_structure else Solids(chosen.layout.structure)
    passing = changes.legs if same_structure else set(chosen.legs)
    joined = {node: covering.joined[node].snags for node in changes.nodes if node in covering.joined}
    return Told(
        told.choice if same_choice else entries_of(choice_snags(chosen)),
        told.strays if same_ends else entries_of(stray_snags(chosen.layout)),
        entries_of(place_snags(chosen)),
        _renewed(told.meetings, changes.nodes, _at_nodes(covering, changes.nodes)),
        _renewed(told.straights, changes.straights, _along(covering, holes, changes.straights)),
        _renewed(told.nodes, changes.nodes, joined),
        _renewed(told.legs if same_structure else {}, passing, _through(covering, passing, solids)),
        solids,
    )


def _same(covering: Covering, changes: Changes, before: Covering) -> tuple[bool, bool, bool]:
    """Whether nothing changed of what legs are made of, of which nodes have a leg, and of walls and slabs."""
    chosen, was = covering.network.chosen, before.network.chosen
    layout, old = chosen.layout, was.layout
    same_nodes = layout.nodes is old.nodes or layout.nodes.keys() == old.nodes.keys()
    return _same_choice(chosen, was, changes), layout.legs is old.legs and same_nodes, layout.structure is old.structure


def _same_choice(chosen: Chosen, was: Chosen, changes: Changes) -> bool:
    """Whether no leg is made of anything else, measured or left out otherwise than before."""
    if chosen.layout.services != was.layout.services or chosen.refused != was.refused:
        return False
    pairs = ((chosen.legs.get(name), was.legs.get(name)) for name in changes.legs)
    return all(
        now and old and now.spec is old.spec and (now.leg.measured_mm is None) == (old.leg.measured_mm is None)
        for now, old in pairs
    )


def _renewed(before: By, names: Iterable[str], found: Mapping[str, Iterable[Snag]]) -> By:
    by = dict(before)
    for name in names:
        by.pop(name, None)
        entries = entries_of(found.get(name, ()))
        if entries:
            by[name] = entries
    return by


def _at_nodes(covering: Covering, nodes: Iterable[str]) -> dict[str, tuple[Snag, ...]]:
    network = covering.network
    return {node: tuple(node_snags(network, node)) for node in nodes if node in network.meetings}


def _along(
    covering: Covering, holes: Mapping[str, tuple[Hole, ...]], keys: Iterable[str]
) -> dict[str, tuple[Snag, ...]]:
    found = {}
    for key in keys:
        laid = covering.laid.get(key)
        if laid:
            found[key] = (*laid.snags, *(too_near(laid, holes[key]) if key in holes else ()))
    return found


def _through(covering: Covering, names: Iterable[str], solids: Solids) -> dict[str, list[Snag]]:
    chosen = covering.network.chosen
    legs = [chosen.legs[name] for name in names if name in chosen.legs]
    found: dict[str, list[Snag]] = {}
    for snag in structure_snags(chosen, solids, legs):
        found.setdefault(snag.where[0], []).append(snag)
    return found
