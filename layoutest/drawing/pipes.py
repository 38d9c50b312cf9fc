"""From the covering to groups of primitives in the sheet's millimetres: one group a straight, to scale.

A group is made again only when what it shows is made of other records than before.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import compress
from operator import is_not
from typing import TYPE_CHECKING

from layoutest.drawing.bends import bend_group
from layoutest.drawing.boxes import Boxes
from layoutest.drawing.outlines import outline_group
from layoutest.drawing.primitives import Box, Group
from layoutest.drawing.run_parts import break_group, left_out_group, straight_group

if TYPE_CHECKING:
    from collections.abc import Mapping

    from layoutest.cover.covering import Covering

NOWHERE = Box(0.0, 0.0, 0.0, 0.0)


@dataclass(frozen=True, slots=True)
class SheetPicture:
    """All groups of a sheet by name: the key of a straight, `bend n3`, `leg l5` for one left out, `outline w1`."""

    covering: Covering
    joints: Mapping[str, tuple[float, ...]]
    groups: Mapping[str, Group]
    ranks: Mapping[str, tuple[float, int]]
    order: tuple[str, ...]
    boxes: Boxes

    @property
    def box(self) -> Box:
        """The box round everything drawn."""
        whole = self.boxes.whole()
        return Box(*whole) if whole else NOWHERE


def sheet_groups(
    covering: Covering, joints: Mapping[str, tuple[float, ...]], before: SheetPicture | None = None
) -> SheetPicture:
    """Make the groups of a sheet; what shows the same as `before` is the same object.

    Args:
        covering: what is laid and made.
        joints: for each straight the places along it, in mm, where two pieces meet.
        before: the picture of the layout before the last change.
    """
    if before and before.covering is covering and before.joints == joints:
        return before
    layout = covering.network.chosen.layout
    if before and before.covering.network.chosen.layout.view != layout.view:
        before = None
    groups = dict(before.groups) if before else {}
    ranks = dict(before.ranks) if before else {}
    fresh = _Fresh(groups, ranks)
    _straights(covering, joints, before, fresh)
    _bends(covering, before, fresh)
    _left_out(covering, before, fresh)
    _outlines(covering, before, fresh)
    same = before is not None and not fresh.reordered
    order = before.order if before and same else tuple(sorted(groups, key=ranks.__getitem__))
    boxes = Boxes.of(groups, order, before.boxes if before else None, fresh.names)
    return SheetPicture(covering, joints, groups, ranks, order, boxes)


class _Fresh:
    """Puts groups in place and notes what changed."""

    def __init__(self, groups: dict[str, Group], ranks: dict[str, tuple[float, int]]) -> None:
        self.groups, self.ranks = groups, ranks
        self.names: list[str] = []
        self.reordered = False

    def put(self, group: Group | None, name: str, depth_mm: float, kind: int) -> None:
        if group is None:
            self.drop(name)
            return
        rank = (depth_mm, kind)
        if self.ranks.get(name) != rank or name not in self.groups:
            self.ranks[name] = rank
            self.reordered = True
        if self.groups.get(name) != group:
            self.groups[name] = group
            self.names.append(name)

    def drop(self, name: str) -> None:
        if self.groups.pop(name, None) is not None:
            self.ranks.pop(name)
            self.reordered = True


def _straights(
    covering: Covering, joints: Mapping[str, tuple[float, ...]], before: SheetPicture | None, fresh: _Fresh
) -> None:
    network = covering.network
    dirty = set(covering.laid)
    if before:
        old = before.covering
        dirty = _changed(covering.laid, old.laid)
        if joints is not before.joints:
            dirty |= _changed(joints, before.joints) | {key for key in before.joints if key not in joints}
        for node in _changed(network.junctions, old.network.junctions):
            junction = network.junctions[node]
            dirty.update(junction.straights)
            dirty.update(branch.straight for branch in junction.branches)
        for key in old.laid.keys() - covering.laid.keys():
            fresh.drop(key)
            fresh.drop(f"break {key}")
    for key in dirty & covering.laid.keys():
        group, depth_mm, upright = straight_group(covering, key, joints.get(key, ()))
        # What stands upright is seen from its top, over the pipes that it joins.
        branch = any(end.cut in ("notch", "saddle") for run in covering.laid[key].runs for end in run.ends)
        fresh.put(group, key, depth_mm + (0.5 if upright else 0), 3 if branch else 2)
        fresh.put(break_group(group, covering.laid[key]), f"break {key}", depth_mm, 1)


def _bends(covering: Covering, before: SheetPicture | None, fresh: _Fresh) -> None:
    dirty = set(covering.bends)
    if before:
        old = before.covering
        dirty = _changed(covering.bends, old.bends)
        dirty |= {node for node in _changed(covering.network.junctions, old.network.junctions) if node in covering.bends}
        for node in old.bends.keys() - covering.bends.keys():
            fresh.drop(f"bend {node}")
        # A bend whose legs turned without another junction record: its node or theirs moved.
        dirty |= _bends_at_moved_legs(covering, old)
    for node in dirty:
        group, depth_mm = bend_group(covering, node)
        fresh.put(group, f"bend {node}", depth_mm, 4)


def _bends_at_moved_legs(covering: Covering, old: Covering) -> set[str]:
    legs, before = covering.network.chosen.legs, old.network.chosen.legs
    if legs is before:
        return set()
    moved = compress(legs, map(is_not, legs.values(), map(before.get, legs)))
    return {node for name in moved for node in (legs[name].start, legs[name].end) if node in covering.bends}


def _left_out(covering: Covering, before: SheetPicture | None, fresh: _Fresh) -> None:
    chosen = covering.network.chosen
    old = before.covering.network.chosen.refused if before else {}
    if not chosen.refused and not old:
        return
    for leg in old.keys() - chosen.refused.keys():
        fresh.drop(f"leg {leg}")
    for leg in chosen.refused:
        fresh.put(left_out_group(chosen.layout, leg), f"leg {leg}", 1e9, 5)


def _outlines(covering: Covering, before: SheetPicture | None, fresh: _Fresh) -> None:
    structure = covering.network.chosen.layout.structure
    old = before.covering.network.chosen.layout.structure if before else {}
    if structure is old:
        return
    for name in old.keys() - structure.keys():
        fresh.drop(f"outline {name}")
    for name, outline in structure.items():
        if old.get(name) is not outline:
            group = outline_group(name, outline, covering.network.chosen.layout.view)
            fresh.put(group, f"outline {name}", -1e9, 1 if outline.kind == "plant" else 0)


def _changed(now: Mapping[str, object], old: Mapping[str, object]) -> set[str]:
    if now is old:
        return set()
    return set(compress(now, map(is_not, now.values(), map(old.get, now))))
