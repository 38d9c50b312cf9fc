"""What an edit changed of a layout, by name, told by which records are other objects than before."""

from __future__ import annotations

from itertools import compress
from operator import is_not
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Mapping

    from layoutest.cover.covering import Covering


class Changes(NamedTuple):
    """Names of what is new, gone or another than before: legs, nodes at which legs meet, and keys of straights."""

    legs: set[str]
    nodes: set[str]
    straights: set[str]


def changes_of(covering: Covering, before: Covering | None) -> Changes:
    """Compare a covering with the one before; everything is changed where there is none."""
    network = covering.network
    if before is None:
        return Changes(set(network.chosen.legs), set(network.junctions), set(covering.laid))
    old = before.network
    nodes = _changed(network.junctions, old.junctions) | _changed(covering.joined, before.joined)
    straights = _changed(covering.laid, before.laid)
    # The holes of a straight are made at its nodes.
    for made in (covering.joined, before.joined):
        straights.update(hole.straight for node in nodes if node in made for hole in made[node].holes)
    return Changes(
        _changed(network.chosen.legs, old.chosen.legs),
        nodes | _changed(network.meetings, old.meetings),
        straights,
    )


def _changed(now: Mapping[str, object], old: Mapping[str, object]) -> set[str]:
    changed = set(compress(now, map(is_not, now.values(), map(old.get, now))))
    new = sum(name not in old for name in changed)
    return changed if len(now) == len(old) + new else changed | (old.keys() - now.keys())
