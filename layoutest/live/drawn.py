"""All that is drawn as strips, and what they come to; after an edit only the strips that it touched are made again."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from layoutest.cover.joints import NOTHING
from layoutest.live.lot import Lot, Strips, lots_of
from layoutest.live.strip import Ground, Strip, strip_along, strip_at
from layoutest.price.total import Amounts, add

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from layoutest.cover.covering import Covering
    from layoutest.cover.joints import Hole
    from layoutest.live.changes import Changes
    from layoutest.pack.stocks import StockKey

Holes = dict[str, tuple["Hole", ...]]
"""The holes of each straight that has any, in order along it."""


@dataclass(frozen=True, slots=True)
class Drawn:
    """The strips of a layout by straight and by node, their lots, and the amounts they add whatever the plans.

    `items` are the ids of the items that stand.
    """

    ground: Ground
    holes: Holes
    straights: Strips
    nodes: Strips
    lots: Mapping[StockKey, Lot]
    amounts: Amounts
    items: frozenset[str]


def drawn_of(covering: Covering, changes: Changes, before: Drawn | None) -> Drawn:
    """Make the strips that changed; `before` has to be of the same settings and prices."""
    chosen = covering.network.chosen
    if before is None:
        before = Drawn(Ground(chosen.layout.settings, chosen.book), {}, {}, {}, {}, {}, frozenset())
    ground = before.ground
    holes = _holes(covering, changes.straights, before.holes)
    straights = {key: _along(covering, key, holes, ground) for key in changes.straights}
    nodes = {node: _at(covering, node, ground) for node in changes.nodes}
    swapped = [(name, before.straights.get(name), strip) for name, strip in straights.items()]
    swapped += [(name, before.nodes.get(name), strip) for name, strip in nodes.items()]
    amounts = dict(before.amounts)
    for _, old, new in swapped:
        if new:
            add(amounts, new.amounts)
        if old:
            add(amounts, old.amounts, -1)
    gone = {item for _, old, _ in swapped if old for item in old.items}
    come = {item for _, _, new in swapped if new for item in new.items}
    return Drawn(
        ground,
        holes,
        _with(before.straights, straights),
        _with(before.nodes, nodes),
        lots_of(swapped, before.lots),
        amounts,
        before.items if gone == come else (before.items - gone) | come,
    )


def _holes(covering: Covering, keys: Iterable[str], before: Holes) -> Holes:
    holes = dict(before)
    for key in keys:
        holes.pop(key, None)
        nodes = covering.laid[key].straight.nodes if key in covering.laid else ()
        made = (covering.joined[node].holes for node in nodes if node in covering.joined)
        found = [hole for at_node in made for hole in at_node if hole.straight == key]
        if found:
            holes[key] = tuple(sorted(found, key=lambda hole: (hole.place_mm, hole.around_deg)))
    return holes


def _along(covering: Covering, key: str, holes: Holes, ground: Ground) -> Strip | None:
    laid = covering.laid.get(key)
    if laid is None or not (laid.runs or laid.items):
        return None
    return strip_along(laid, holes.get(key, ()), covering.faces.get(key, NOTHING), ground)


def _at(covering: Covering, node: str, ground: Ground) -> Strip | None:
    joined = covering.joined.get(node)
    return strip_at(joined, covering.network.junctions[node].legs[0], ground) if joined else None


def _with(before: Strips, found: Mapping[str, Strip | None]) -> Strips:
    strips = dict(before)
    for name, strip in found.items():
        if strip:
            strips[name] = strip
        else:
            strips.pop(name, None)
    return strips
