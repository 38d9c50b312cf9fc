"""Boxes of many groups, to find at once those that touch a place, in the order in which they are drawn."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping, Sequence

    from numpy.typing import NDArray

    from layoutest.drawing.primitives import Box, Group

# How near to the eye a group is, what kind it is, and its name: what sorts first is drawn first.
Rank = tuple[float, int, str]
# From so many on, what is found is put in order by the order of all, which is made once and kept.
MANY = 1000
_NOWHERE = (np.inf, np.inf, -np.inf, -np.inf)


class Boxes:
    """The boxes of groups. Not changed once it is made.

    Each group has a slot, a column of the array, that it keeps while it is there; so a change costs what it touches.
    """

    __slots__ = ("_array", "_free", "_names", "_order", "_ranks", "_slots")

    def __init__(
        self,
        array: NDArray[np.float64],
        names: list[str],
        ranks: list[Rank],
        slots: dict[str, int],
        free: tuple[int, ...],
    ) -> None:
        self._array, self._names, self._ranks, self._slots, self._free = array, names, ranks, slots, free
        self._order: NDArray[np.intp] | None = None

    @classmethod
    def of(cls, groups: Mapping[str, Group], order: Sequence[str]) -> Boxes:
        """The boxes of groups that are drawn in an order."""
        return cls.ranked(groups, {name: (float(place), 0, name) for place, name in enumerate(order)})

    @classmethod
    def ranked(cls, groups: Mapping[str, Group], ranks: Mapping[str, Rank]) -> Boxes:
        """The boxes of groups, each with its rank; no two ranks are equal."""
        names = list(ranks)
        flat = np.fromiter((value for name in names for value in groups[name].box), np.float64, 4 * len(names))
        array = np.ascontiguousarray(flat.reshape(-1, 4).T)
        return cls(array, names, list(ranks.values()), {name: slot for slot, name in enumerate(names)}, ())

    def changed(self, fresh: Mapping[str, tuple[Group, Rank]], gone: Collection[str]) -> Boxes:
        """These boxes with `fresh` groups new or in place of the old ones, and without those that are `gone`."""
        if not fresh and not gone:
            return self
        array, names, ranks, slots, free = self._array.copy(), self._names, self._ranks, self._slots, list(self._free)
        same = not gone and all(name in slots and ranks[slots[name]] == rank for name, (_, rank) in fresh.items())
        if not same:
            names, ranks, slots = names.copy(), ranks.copy(), slots.copy()
        for name in gone:
            slot = slots.pop(name)
            array[:, slot] = _NOWHERE
            free.append(slot)
        for name, (group, rank) in fresh.items():
            if name not in slots:
                if not free:
                    array, more = _longer(array)
                    free += more
                    names += [""] * len(more)
                    ranks += [(0.0, 0, "")] * len(more)
                slots[name] = free.pop()
            slot = slots[name]
            array[:, slot] = group.box
            names[slot], ranks[slot] = name, rank
        made = Boxes(array, names, ranks, slots, tuple(free))
        if same:
            made._order = self._order
        return made

    def rank(self, name: str) -> Rank | None:
        """What a group is sorted by; None for one that is not there."""
        slot = self._slots.get(name)
        return None if slot is None else self._ranks[slot]

    def touching(self, box: Box) -> list[str]:
        """The names of the groups whose boxes touch a box, in the order of drawing."""
        low_x, low_y, high_x, high_y = self._array
        mask = (low_x <= box.high_x) & (high_x >= box.low_x) & (low_y <= box.high_y) & (high_y >= box.low_y)
        found = np.flatnonzero(mask)
        names = self._names
        if len(found) < MANY:
            return [names[slot] for slot in sorted(found.tolist(), key=self._ranks.__getitem__)]
        order = self._whole_order()
        return [names[slot] for slot in order[mask[order]].tolist()]

    def in_order(self) -> list[str]:
        """The names of all groups in the order of drawing."""
        names = self._names
        return [names[slot] for slot in self._whole_order().tolist()]

    def whole(self) -> tuple[float, float, float, float] | None:
        """The box round all of them; None where there is none."""
        if not self._slots:
            return None
        low, high = self._array[:2].min(axis=1), self._array[2:].max(axis=1)
        return float(low[0]), float(low[1]), float(high[0]), float(high[1])

    def _whole_order(self) -> NDArray[np.intp]:
        if self._order is None:
            self._order = np.array(sorted(self._slots.values(), key=self._ranks.__getitem__), dtype=np.intp)
        return self._order


def _longer(array: NDArray[np.float64]) -> tuple[NDArray[np.float64], list[int]]:
    """The array with room for more, and the numbers of the new slots, the first to be used last in the list."""
    have = array.shape[1]
    more = max(have // 8, 16)
    room = np.tile(np.array(_NOWHERE).reshape(4, 1), (1, more))
    return np.concatenate([array, room], axis=1), list(range(have + more - 1, have - 1, -1))
