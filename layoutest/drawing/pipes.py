"""From the covering to groups of primitives in the sheet's millimetres: one group a straight, to scale.

A group is made again only when what it shows is made of other records than before.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from layoutest.drawing.bends import bend_group
from layoutest.drawing.boxes import Boxes, Rank
from layoutest.drawing.crossings import Axis, Crossings, all_crossings, changed_crossings
from layoutest.drawing.differences import differences
from layoutest.drawing.outlines import outline_group
from layoutest.drawing.primitives import Box, Group, Polyline
from layoutest.drawing.run_parts import break_group, left_out_group, straight_group
from layoutest.drawing.straight import seen

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from layoutest.cover.covering import Covering

NOWHERE = Box(0.0, 0.0, 0.0, 0.0)
# What is equally near to the eye is drawn in this order.
_RIM, _RUN, _BRANCH, _BEND = range(4)
_GROUND, _TOP = -1e9, 1e9


@dataclass(frozen=True, slots=True)
class SheetPicture:
    """All groups of a sheet by name, and `boxes`, which find them by place.

    Names: the key of a straight, `bend n3`, `break l4` (what makes room for a pipe that crosses over others), `leg l5`
    for one that is left out, `outline w1`.
    """

    covering: Covering
    joints: Mapping[str, tuple[float, ...]]
    groups: Mapping[str, Group]
    boxes: Boxes
    crossings: Crossings

    @property
    def order(self) -> tuple[str, ...]:
        """The names in the order of drawing, the lowest first."""
        return tuple(self.boxes.in_order())

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
    if before and before.covering is covering and before.joints is joints:
        return before
    if before and before.covering.network.chosen.layout.view != covering.network.chosen.layout.view:
        before = None
    edit = _Edit(covering, joints, before)
    keys, lost = _straights(edit)
    _bends(edit, keys, lost)
    _left_out(edit)
    _outlines(edit)
    boxes = edit.boxes()
    crossings, touched = _crossings(edit, keys, lost, boxes)
    for key in touched:
        _break(edit, key, crossings)
    if touched:
        boxes = edit.boxes(boxes)
    return SheetPicture(covering, joints, edit.groups, boxes, crossings)


class _Edit:
    """A picture in the making: the groups so far, and which of them are new or gone since it was last put in order."""

    def __init__(
        self, covering: Covering, joints: Mapping[str, tuple[float, ...]], before: SheetPicture | None
    ) -> None:
        self.covering, self.joints, self.before = covering, joints, before
        self.layout = covering.network.chosen.layout
        self.groups: dict[str, Group] = dict(before.groups) if before else {}
        self.ranks = before.boxes if before else Boxes.of({}, ())
        self.fresh: dict[str, tuple[Group, Rank]] = {}
        self.gone: set[str] = set()

    def put(self, group: Group | None, name: str, height_mm: float, kind: int) -> None:
        """Put a group in its place; an equal one that is there stays."""
        if group is None:
            self.drop(name)
            return
        rank = (height_mm, kind, name)
        old = self.groups.get(name)
        if old == group and self.ranks.rank(name) == rank:
            return
        if old != group:
            self.groups[name] = group
        self.fresh[name] = (self.groups[name], rank)

    def drop(self, name: str) -> None:
        """Take a group away, when it is there."""
        if self.groups.pop(name, None) is not None:
            self.gone.add(name)

    def boxes(self, before: Boxes | None = None) -> Boxes:
        """The boxes of all groups now; nothing is new any more."""
        base = before or self.ranks
        if not before and not self.before:
            made = Boxes.ranked(self.groups, {name: rank for name, (_, rank) in self.fresh.items()})
        else:
            made = base.changed(self.fresh, self.gone)
        self.fresh, self.gone = {}, set()
        return made


def _straights(edit: _Edit) -> tuple[set[str], set[str]]:
    """Draw the straights that changed, or whose neighbours did; those drawn, and those that are gone."""
    covering, before, joints = edit.covering, edit.before, edit.joints
    lost: set[str] = set()
    if before:
        dirty, lost = differences(covering.laid, before.covering.laid)
        dirty.update(tuple(_beside(covering, dirty)), *differences(joints, before.joints))
        drawn = {key for key in dirty if key in covering.laid}
    else:
        drawn = set(covering.laid)
    for key in lost:
        edit.drop(key)
        edit.drop(f"break {key}")
    for key in drawn:
        laid = covering.laid[key]
        group, height_mm, upright = straight_group(covering, key, joints.get(key, ()))
        branch = any(end.cut in ("notch", "saddle") for run in laid.runs for end in run.ends)
        # What stands upright is seen from its top, over the pipes that it joins.
        edit.put(group, key, height_mm + (0.5 if upright else 0), _BRANCH if branch else _RUN)
    return drawn, lost


def _beside(covering: Covering, keys: Iterable[str]) -> Iterator[str]:
    """The straights that meet some others: a cut is drawn by where the other pipe goes."""
    junctions = covering.network.junctions
    for key in keys:
        for node in covering.laid[key].straight.nodes:
            junction = junctions[node]
            yield from junction.straights
            for branch in junction.branches:
                yield branch.straight


def _bends(edit: _Edit, keys: set[str], lost: set[str]) -> None:
    """Draw the bends at the ends of straights that changed; a bend that changes changes the cuts of its straights."""
    bends = edit.covering.bends
    if edit.before is None:
        dirty = set(bends)
    else:
        old = edit.before.covering.laid
        straights = [edit.covering.laid[key].straight for key in keys]
        straights += [old[key].straight for key in (*keys, *lost) if key in old]
        dirty = {node for straight in straights for node in (straight.nodes[0], straight.nodes[-1])}
    for node in dirty:
        if node in bends:
            group, height_mm = bend_group(edit.covering, node)
            edit.put(group, f"bend {node}", height_mm, _BEND)
        else:
            edit.drop(f"bend {node}")


def _left_out(edit: _Edit) -> None:
    chosen = edit.covering.network.chosen
    old = edit.before.covering.network.chosen.refused if edit.before else {}
    for leg in old.keys() - chosen.refused.keys():
        edit.drop(f"leg {leg}")
    for leg in chosen.refused:
        edit.put(left_out_group(edit.layout, leg), f"leg {leg}", _TOP, 0)


def _outlines(edit: _Edit) -> None:
    structure = edit.layout.structure
    old = edit.before.covering.network.chosen.layout.structure if edit.before else {}
    if structure is old:
        return
    for name in old.keys() - structure.keys():
        edit.drop(f"outline {name}")
    for name, outline in structure.items():
        if old.get(name) is not outline:
            group = outline_group(name, outline, edit.layout.view)
            edit.put(group, f"outline {name}", _GROUND, 1 if outline.kind == "plant" else 0)


def _crossings(edit: _Edit, keys: set[str], lost: set[str], boxes: Boxes) -> tuple[Crossings, set[str]]:
    """Where pipes cross, and the pipes for which that changed."""
    before, groups = edit.before, edit.groups
    if before is None:
        made = all_crossings(dict(_axes(groups, keys, boxes)))
        return made, set(made.over)
    old = dict(_axes(before.groups, [key for key in keys if key in before.groups], before.boxes))
    axes = dict(_axes(groups, keys, boxes))
    moved = {key for key in keys if axes.get(key) != old.get(key)}
    near: set[tuple[str, str]] = set()
    for key in moved & axes.keys():
        around = [name for name in boxes.touching(groups[key].box) if name in edit.covering.laid]
        axes.update(_axes(groups, [name for name in around if name not in axes], boxes))
        near.update((key, name) for name in around if name in axes and not (name in moved and name >= key))
    crossings, touched = changed_crossings(before.crossings, moved | lost, axes, near)
    return crossings, touched & edit.covering.laid.keys()


def _axes(groups: Mapping[str, Group], keys: Iterable[str], boxes: Boxes) -> Iterator[tuple[str, Axis]]:
    """The straights among some that are not seen as a point."""
    for key in keys:
        group, rank = groups[key], boxes.rank(key)
        line = group.details[0][0]
        if rank and isinstance(line, Polyline):
            yield key, Axis(line.points[0], line.points[-1], group.width / 2, rank[0])


def _break(edit: _Edit, key: str, crossings: Crossings) -> None:
    """Draw what makes room for a pipe where it crosses over others."""
    reaches = crossings.over.get(key)
    if not reaches:
        edit.drop(f"break {key}")
        return
    view = seen(edit.layout, edit.covering.laid[key].straight)
    group = break_group(edit.groups[key], view, reaches.values())
    edit.put(group, f"break {key}", view.height_mm, _RIM)
