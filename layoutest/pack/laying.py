"""From a set of kinds and an offer to sections with rows, or the news that it cannot be cut so."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layoutest.pack.chain import chained, ringed, star
from layoutest.pack.draft import Share
from layoutest.pack.row import Part, row_mm

if TYPE_CHECKING:
    from collections.abc import Sequence
    from decimal import Decimal

    from layoutest.pack.model import Model
    from layoutest.pack.row import Row
    from layoutest.pack.shape import Shapes

Laid = tuple[Share, ...]


class Layer:
    """Lays sets, and remembers by kinds how: the same set of other runs lies the same way."""

    def __init__(self, model: Model, shapes: Shapes) -> None:
        self._model, self._shapes = model, shapes
        self._known: dict[tuple[tuple[int, ...], int], tuple[tuple[int, ...], Laid] | None] = {}
        self._kind = {part.run: number for number, kind in enumerate(model.kinds) for part in kind.parts}

    def lay(self, parts: Sequence[Part], offer: int) -> Laid | None:
        """Sections for some parts out of an offer; under `priced` with a joint more where it cannot be helped."""
        if self._model.problem.rule == "fewest":
            return self._one(parts, offer)
        runs = sorted((part.run for part in parts), key=lambda run: (self._kind[run], run))
        key = tuple(self._kind[run] for run in runs), offer
        if key not in self._known:
            laid = self._group(runs, offer)
            self._known[key] = None if laid is None else (tuple(runs), laid)
        known = self._known[key]
        if known is None or known[0] == tuple(runs):
            return known and known[1]
        names = dict(zip(known[0], runs, strict=True))
        return tuple(self._renamed(share, names) for share in known[1])

    def _renamed(self, share: Share, names: dict[int, int]) -> Share:
        """The same section with pieces of other runs of the same kinds, which may be mirror images."""
        ends = self._model.problem.runs
        row = []
        for part, turned in share.row or ():
            run = names[part.run]
            if ends[run].ends_deg == ends[part.run].ends_deg:
                row.append((part._replace(run=run), turned))
            else:
                row.append((Part(run, part.length_mm, part.at_end, part.at_start), not turned))
        return share._replace(parts=tuple(part for part, _ in row), row=tuple(row))

    def cost(self, parts: Sequence[Part], laid: Laid) -> int:
        """Coins of some sections, beside the whole sections that the runs need in any case."""
        section, joint, _ = self._model.section
        coins = self._model.coins
        bought = sum(share.van_value is None for share in laid)
        van = sum(int(share.van_value * coins) for share in laid if share.van_value is not None)
        joints = sum(len(share.parts) for share in laid) - len(parts)
        whole = sum(self._model.kinds[self._kind[part.run]].whole for part in parts)
        return (bought - whole) * section + (joints - whole) * joint + van

    def _one(self, parts: Sequence[Part], offer: int) -> Laid | None:
        taken = self._model.offers[offer]
        length, value = self._problem_van(taken.van) if not taken.sections else (self._model.problem.section_mm, None)
        state, weight2 = self._shapes.state_of(parts)
        if weight2 - self._shapes.slack2[state] > 2 * length:
            row = self._shapes.lay(parts)
            if row_mm(self._model.problem, row) > length:
                return None
        return (Share(length, value, tuple(parts)),)

    def _problem_van(self, van: tuple[int, ...]) -> tuple[int, Decimal | None]:
        offcut = self._model.problem.van[van.index(1)]
        return offcut.length_mm, offcut.value

    def _group(self, runs: Sequence[int], offer: int) -> Laid | None:
        model, problem = self._model, self._model.problem
        taken = model.offers[offer]
        sections = taken.sections + sum(model.kinds[self._kind[run]].whole for run in runs)
        bought: list[tuple[int, Decimal | None]] = [(problem.section_mm, None)] * sections
        van = [
            (offcut.length_mm, offcut.value)
            for number, offcut in zip(taken.van, problem.van, strict=True)
            for _ in range(number)
        ]
        if not van and not taken.ring and taken.sections == 1:
            rows = star(problem, self._shapes, runs)
            if rows is not None and len(rows) <= sections:
                return _shares(bought, rows)
        orders = [[*van, *bought], [*bought, *van]] if van else [bought]
        for lay in (chained, ringed):
            for order in orders:
                rows = lay(problem, runs, [length for length, _ in order])
                if rows is not None:
                    return _shares(order, rows)
        return None


def _shares(sections: Sequence[tuple[int, Decimal | None]], rows: Sequence[Row]) -> Laid:
    return tuple(
        Share(length, value, tuple(part for part, _ in row), tuple(row))
        for (length, value), row in zip(sections, rows, strict=False)
        if row
    )
