"""The parts that still wait to be cut, by kind."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from layoutest.pack.knapsack import Column
    from layoutest.pack.model import Model
    from layoutest.pack.row import Part


class Supply:
    """How many parts of each kind are left, and how many van offcuts; sets are taken from it."""

    def __init__(self, model: Model) -> None:
        self._model = model
        self.left = model.needs
        self._van = [offcut.count for offcut in model.problem.van]
        self.used = [0] * (len(self._van) + 1)
        """Van offcuts by kind, and bought sections last, that were taken."""
        self._lighter: dict[int, int] = dict(model.exchanges())

    def taken(self, column: Column) -> Column:
        """What there is of a set: where a kind has run out, the next lighter one with the same ends takes its place."""
        counts: dict[int, int] = {}
        for kind, count in column:
            place: int | None = kind
            wanted = count
            while place is not None and wanted:
                free = min(self.left[place] - counts.get(place, 0), wanted)
                if free > 0:
                    counts[place] = counts.get(place, 0) + free
                    wanted -= free
                place = self._lighter.get(place)
        return tuple(sorted(counts.items()))

    def parts(self, column: Column, offer: int) -> list[Part]:
        """The parts of a set, as long as the van still has the offcuts of its offer; else none."""
        if any(n > left for n, left in zip(self._model.offers[offer].van, self._van, strict=True)):
            return []
        return [part for kind, count in column for part in self._model.kinds[kind].parts[: self.left[kind]][-count:]]

    def take(self, column: Column, offer: int) -> None:
        """Take a set's parts out, and its offcuts from the van."""
        for kind, count in column:
            self.left[kind] -= count
        uses = self._model.offers[offer].uses
        self._van = [left - n for n, left in zip(uses, self._van, strict=False)]
        self.used = [used + n for n, used in zip(uses, self.used, strict=True)]

    def rest(self) -> list[Part]:
        """All parts that are left."""
        return [part for kind, left in zip(self._model.kinds, self.left, strict=True) for part in kind.parts[:left]]
