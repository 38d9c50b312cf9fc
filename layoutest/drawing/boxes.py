"""Boxes of many groups, to find at once those that touch a place."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from numpy.typing import NDArray

    from layoutest.drawing.primitives import Box, Group


class Boxes:
    """The boxes of groups in the order in which they are drawn. Not changed once it is made."""

    __slots__ = ("array", "names", "places")

    def __init__(self, names: tuple[str, ...], array: NDArray[np.float64], places: Mapping[str, int]) -> None:
        self.names, self.array, self.places = names, array, places

    @classmethod
    def of(
        cls, groups: Mapping[str, Group], order: tuple[str, ...], before: Boxes | None = None, fresh: Sequence[str] = ()
    ) -> Boxes:
        """The boxes of groups; where the order is that of `before`, only the `fresh` ones are taken anew."""
        if before is not None and before.names is order:
            if not fresh:
                return before
            array = before.array.copy()
            for name in fresh:
                array[before.places[name]] = groups[name].box
            return cls(order, array, before.places)
        array = np.array([groups[name].box for name in order], dtype=np.float64).reshape(-1, 4)
        return cls(order, array, {name: place for place, name in enumerate(order)})

    def touching(self, box: Box) -> list[str]:
        """The names of the groups whose boxes touch a box, in the order of drawing."""
        low_x, low_y, high_x, high_y = box
        a = self.array
        mask = (a[:, 0] <= high_x) & (a[:, 2] >= low_x) & (a[:, 1] <= high_y) & (a[:, 3] >= low_y)
        names = self.names
        return [names[place] for place in np.flatnonzero(mask)]

    def whole(self) -> tuple[float, float, float, float] | None:
        """The box round all of them; None where there is none."""
        if not len(self.array):
            return None
        low, high = self.array[:, :2].min(axis=0), self.array[:, 2:].max(axis=0)
        return float(low[0]), float(low[1]), float(high[0]), float(high[1])
