"""Lots: which strips are covered with one stock, in order, and what they come to."""

from __future__ import annotations

from bisect import bisect_left
from dataclasses import dataclass
from typing import TYPE_CHECKING, TypeVar

from layoutest.layout.ids import natural_key
from layoutest.price.total import Amounts, add

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from layoutest.live.strip import Strip
    from layoutest.pack.batches import RunKind
    from layoutest.pack.stocks import StockKey

Strips = dict[str, "Strip"]
Name = TypeVar("Name", str, "RunKind")


@dataclass(slots=True)
class Lot:
    """The straights and bends covered with one stock, in order; how many runs of each kind and service they have.

    `joints` are the amounts of the joints between the pieces of quick plans. A lot that is in use is never changed.
    """

    straights: list[str]
    bends: list[str]
    kinds: dict[RunKind, int]
    services: dict[str, int]
    joints: Amounts

    def put(self, name: str, strip: Strip, times: int) -> None:
        """Add a strip that belongs here, or take it away where `times` is -1."""
        service = strip.spec.service if strip.spec else ""
        for kind in strip.kinds:
            _count(self.kinds, kind, times)
            _count(self.services, service, times)
        add(self.joints, strip.joints, times)
        names = self.straights if strip.runs[0].straight else self.bends
        place = bisect_left(names, natural_key(name), key=natural_key)
        if times > 0:
            names.insert(place, name)
        else:
            del names[place]


def lots_of(
    changes: Iterable[tuple[str, Strip | None, Strip | None]], before: Mapping[StockKey, Lot]
) -> dict[StockKey, Lot]:
    """The lots after some strips were changed; those that nothing touched are the same objects.

    Args:
        changes: the name of each straight or node, with what it was and what it is.
        before: the lots as they were.
    """
    lots = dict(before)
    fresh: dict[StockKey, Lot] = {}
    for name, old, new in changes:
        for strip, times in ((old, -1), (new, 1)):
            if strip and strip.spec:
                key = strip.spec.stock
                if key not in fresh:
                    fresh[key] = lots[key] = _copied(before.get(key))
                fresh[key].put(name, strip, times)
    return {key: lots[key] for key in sorted(lots) if lots[key].kinds}


def _copied(lot: Lot | None) -> Lot:
    if lot is None:
        return Lot([], [], {}, {}, {})
    return Lot([*lot.straights], [*lot.bends], {**lot.kinds}, {**lot.services}, {**lot.joints})


def _count(counts: dict[Name, int], name: Name, times: int) -> None:
    left = counts.get(name, 0) + times
    if left:
        counts[name] = left
    else:
        del counts[name]
