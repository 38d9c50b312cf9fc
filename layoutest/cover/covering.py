"""The covering of a whole network: what is laid on each straight and made at each node.

After an edit only straights that changed, that end at a changed junction or that carry changed items are laid again,
and only the nodes of those are joined again.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from itertools import compress
from operator import is_not
from typing import TYPE_CHECKING, TypeVar

from layoutest.cover.bend import BendCover, bend_cover
from layoutest.cover.ends import end_cut
from layoutest.cover.items import place_items
from layoutest.cover.joints import NOTHING, Joined, item_faces, join
from layoutest.cover.nearness import too_near
from layoutest.cover.runs import Laid, Run, lay
from layoutest.layout.ids import natural_key

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from layoutest.cover.items import PlacedItem
    from layoutest.cover.joints import Hole
    from layoutest.layout.document import Item
    from layoutest.layout.snags import Snag
    from layoutest.network import Network
    from layoutest.network.junction import Junction
    from layoutest.network.straights import Straight

ItemsByLeg = dict[str, list[tuple[str, "Item"]]]
Record = TypeVar("Record", BendCover, Laid, Joined)


@dataclass(frozen=True, slots=True)
class Covering:
    """All that is laid and made. `laid` goes by straight and holds bare ones too, without runs; `joined` by node."""

    network: Network
    items: ItemsByLeg
    bends: Mapping[str, BendCover]
    laid: Mapping[str, Laid]
    joined: Mapping[str, Joined]
    faces: Mapping[str, Joined]

    def runs(self) -> Iterator[Run]:
        """Every run: straights in the order of their keys, then the pieces of bends."""
        for key in _in_order(key for key, laid in self.laid.items() if laid.runs):
            yield from self.laid[key].runs
        yield from self.bend_pieces()

    def bend_pieces(self) -> Iterator[Run]:
        """The pieces of bends in the order of their nodes."""
        for node in _in_order(node for node, joined in self.joined.items() if joined.pieces):
            yield from self.joined[node].pieces

    def holes(self) -> dict[str, list[Hole]]:
        """The holes in each straight that has any, in order along it."""
        found: dict[str, list[Hole]] = {}
        for joined in self.joined.values():
            for hole in joined.holes:
                found.setdefault(hole.straight, []).append(hole)
        for along in found.values():
            along.sort(key=lambda hole: (hole.place_mm, hole.around_deg))
        return found

    def snags(self) -> tuple[Snag, ...]:
        """Everything doubtful about the covering."""
        holes = self.holes()
        straights = _in_order(key for key, laid in self.laid.items() if laid.snags)
        nodes = _in_order(node for node, joined in self.joined.items() if joined.snags)
        snags = [snag for key in straights for snag in self.laid[key].snags]
        snags += [snag for node in nodes for snag in self.joined[node].snags]
        for key in _in_order(holes):
            snags += too_near(self.laid[key], holes[key])
        return tuple(snags)


def _in_order(names: Iterable[str]) -> list[str]:
    return sorted(names, key=natural_key)


def cover(network: Network, before: Covering | None = None) -> Covering:
    """Lay the covering of a network. What did not change since `before` is kept, object for object."""
    layout = network.chosen.layout
    if before and not _same_ground(network, before.network):
        before = None
    same_items = before is not None and layout.items is before.network.chosen.layout.items
    items = before.items if before and same_items else _by_leg(layout.items)
    nodes = _dirty_nodes(network, before)
    bends = _bends(network, nodes, before)
    keys = _dirty_straights(network, nodes, items, before)
    laid, faces, fresh = _laid(network, keys, bends, items, before)
    nodes |= {node for key in fresh for node in network.straights[key].nodes}
    return Covering(network, items, bends, laid, _joined(network, nodes, laid, bends, before), faces)


def _same_ground(network: Network, old: Network) -> bool:
    return network.chosen.book is old.chosen.book and network.chosen.layout.settings == old.chosen.layout.settings


def _by_leg(items: Mapping[str, Item]) -> ItemsByLeg:
    found: ItemsByLeg = {}
    for name, item in items.items():
        found.setdefault(item.leg, []).append((name, item))
    return found


def _dirty_nodes(network: Network, before: Covering | None) -> set[str]:
    if before is None:
        return set(network.junctions)
    old = before.network.junctions
    nodes = _changed(network.junctions, old)
    fittings, chosen = network.chosen.layout.fittings, before.network.chosen.layout.fittings
    if fittings is not chosen:
        changed = {node for node in fittings.keys() | chosen.keys() if fittings.get(node) != chosen.get(node)}
        nodes |= changed & network.junctions.keys()
    return nodes


def _dirty_straights(network: Network, nodes: set[str], items: ItemsByLeg, before: Covering | None) -> set[str]:
    if before is None:
        return set(network.straights)
    old = before.network.straights
    dirty = _changed(network.straights, old)
    for node in nodes:
        dirty.update(_keys_at(network.junctions[node]))
    if items is not before.items:
        changed = {leg for leg in items.keys() | before.items.keys() if items.get(leg) != before.items.get(leg)}
        dirty.update(network.straight_of[leg] for leg in changed if leg in network.straight_of)
    return dirty


def _keys_at(junction: Junction) -> tuple[str, ...]:
    if not junction.branches:
        return junction.straights
    return (*junction.straights, *(branch.straight for branch in junction.branches))


def _bends(network: Network, nodes: set[str], before: Covering | None) -> dict[str, BendCover]:
    """The covers of bends between two covered legs."""
    layout = network.chosen.layout
    bends = _kept(before.bends, before.network.junctions, network.junctions) if before else {}
    for node in nodes:
        junction = network.junctions[node]
        old = bends.pop(node, None)
        if junction.kind == "bend" and all(leg.spec.covered for leg in junction.legs):
            spec, choice = junction.legs[0].spec, layout.fittings.get(node)
            bend = bend_cover(node, spec, junction.turn_deg, choice, layout.settings)
            bends[node] = old if old == bend else bend
    return bends


def _laid(
    network: Network, keys: set[str], bends: Mapping[str, BendCover], items: ItemsByLeg, before: Covering | None
) -> tuple[dict[str, Laid], dict[str, Joined], list[str]]:
    """All that is laid, what is made at the faces of items, and the straights whose covering is not what it was."""
    laid: dict[str, Laid] = {}
    faces: dict[str, Joined] = {}
    if before:
        laid = _kept(before.laid, before.network.straights, network.straights)
        faces = _kept(before.faces, before.network.straights, network.straights)
    fresh = []
    usual_length_mm = cache(network.chosen.book.item_length_mm)
    for key in keys:
        placed = place_items(network.straights[key], items, usual_length_mm)
        made = _lay_one(network, network.straights[key], bends, *placed)
        if laid.get(key) != made:
            laid[key] = made
            fresh.append(key)
            face = item_faces(made)
            faces[key] = faces[key] if faces.get(key) == face else face
    return laid, faces, fresh


def _lay_one(
    network: Network,
    straight: Straight,
    bends: Mapping[str, BendCover],
    placed: tuple[PlacedItem, ...],
    snags: tuple[Snag, ...],
) -> Laid:
    if not straight.spec.covered:
        return Laid(straight, (), placed, ("gapped", "gapped"), 0.0, straight.centre_line_mm, snags)
    first, last = straight.nodes[0], straight.nodes[-1]
    ends = (
        end_cut(straight, network.junctions[first], bends.get(first)),
        end_cut(straight, network.junctions[last], bends.get(last)),
    )
    laid = lay(straight, ends, placed)
    return laid._replace(snags=snags + laid.snags) if snags else laid


def _joined(
    network: Network, nodes: set[str], laid: Mapping[str, Laid], bends: Mapping[str, BendCover], before: Covering | None
) -> dict[str, Joined]:
    """What is made at each node; nodes where nothing is made are left out."""
    joined = _kept(before.joined, before.network.junctions, network.junctions) if before else {}
    for node in nodes:
        junction = network.junctions[node]
        made = join(junction, laid, bends.get(node))
        if made is NOTHING:
            joined.pop(node, None)
        elif joined.get(node) != made:
            joined[node] = made
    return joined


def _changed(now: Mapping[str, object], old: Mapping[str, object]) -> set[str]:
    """The names that stand for another object than before."""
    return set(compress(now, map(is_not, now.values(), map(old.get, now))))


def _kept(records: Mapping[str, Record], old: Mapping[str, object], now: Mapping[str, object]) -> dict[str, Record]:
    """A copy of records made before, without those of what is gone; `old` holds all there was, `now` all there is."""
    kept = dict(records)
    if not old.keys() <= now.keys():
        for gone in old.keys() - now.keys():
            kept.pop(gone, None)
    return kept
