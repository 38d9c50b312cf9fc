"""Where the items of a straight stand along it, and the gaps they leave in its covering."""

from __future__ import annotations

from bisect import bisect
from typing import TYPE_CHECKING, NamedTuple

from layoutest.layout.ids import natural_key
from layoutest.layout.snags import Snag

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from layoutest.choose import ChosenLeg
    from layoutest.layout.document import Item
    from layoutest.network.straights import Straight

TOUCH_MM = 0.01


class PlacedItem(NamedTuple):
    """An item with its extent along its straight; the gap in the covering adds what is left clear for it."""

    id: str
    item: Item
    leg: ChosenLeg
    from_mm: float
    to_mm: float

    @property
    def middle_mm(self) -> float:
        """Where its middle stands along the straight."""
        return (self.from_mm + self.to_mm) / 2


def place_items(
    straight: Straight,
    items: Mapping[str, Sequence[tuple[str, Item]]],
    usual_length_mm: Callable[[str, float], float | None],
) -> tuple[tuple[PlacedItem, ...], tuple[Snag, ...]]:
    """Place the items of a straight; those that cannot stand are left out with a snag.

    Args:
        straight: covered or bare.
        items: ids and items by leg.
        usual_length_mm: the length of an item that has none of its own, by its kind and the pipe's outside diameter.

    Returns:
        the items in order along the straight, and the snags.
    """
    wanted = [(at, name, item) for at, leg in enumerate(straight.legs) for name, item in items.get(leg.id, ())]
    if not wanted:
        return (), ()
    kept: list[PlacedItem] = []
    snags: list[Snag] = []
    for at, name, item in sorted(wanted, key=lambda entry: natural_key(entry[1])) if len(wanted) > 1 else wanted:
        placed = _place(straight, at, name, item, usual_length_mm)
        if isinstance(placed, PlacedItem):
            other = _overlapped(placed, kept)
            if other is None:
                kept.insert(bisect(kept, placed.from_mm, key=lambda stood: stood.from_mm), placed)
                continue
            placed = _overlap_snag(placed, other)
        snags.append(placed)
    return tuple(kept), tuple(snags)


def _place(
    straight: Straight, at: int, name: str, item: Item, usual_length_mm: Callable[[str, float], float | None]
) -> PlacedItem | Snag:
    """Place an item that is on the straight's leg number `at`, from 0."""
    leg = straight.legs[at]
    diameter_mm = leg.spec.outside_diameter_mm
    length_mm = item.length_mm if item.length_mm is not None else usual_length_mm(item.kind, diameter_mm)
    if length_mm is None:
        says = f"Item {name} has no length, and the price book none for a {item.kind} on {diameter_mm:g} mm."
        do = f"Give length_mm, or add a row to items.csv: {item.kind},{diameter_mm:g},<length in mm>."
        return Snag("missing-price", (leg.id, name), says, do)
    scaled_mm = item.at_mm * leg.length_mm / leg.drawn_mm
    forward = leg.start == straight.nodes[at]
    middle = straight.offsets_mm[at] + scaled_mm if forward else straight.offsets_mm[at + 1] - scaled_mm
    low, high = middle - length_mm / 2, middle + length_mm / 2
    if low < -TOUCH_MM or high > straight.centre_line_mm + TOUCH_MM:
        over_mm = max(-low, high - straight.centre_line_mm)
        says = f"Item {name} stands {over_mm:.0f} mm past the end of its straight and is left out."
        return Snag("item-past-end", (leg.id, name), says, "Move it along its leg, or correct its length.")
    return PlacedItem(name, item, leg, low, high)


def _overlapped(placed: PlacedItem, kept: Sequence[PlacedItem]) -> PlacedItem | None:
    place = bisect(kept, placed.from_mm, key=lambda stood: stood.from_mm)
    near = kept[max(place - 1, 0) : place + 1]
    hits = (other for other in near if min(other.to_mm, placed.to_mm) - max(other.from_mm, placed.from_mm) > TOUCH_MM)
    return next(hits, None)


def _overlap_snag(placed: PlacedItem, other: PlacedItem) -> Snag:
    says = f"Item {placed.id} stands where item {other.id} stands and is left out."
    where = (*dict.fromkeys((placed.leg.id, other.leg.id)), placed.id, other.id)
    return Snag("items-overlap", where, says, "Move one of them, or correct their lengths.")


def gaps_of(placed: Sequence[PlacedItem]) -> list[tuple[float, float, PlacedItem]]:
    """The gaps that items leave in the covering, in order; none for an item that the covering runs over.

    What is kept clear beside an item ends where the next item stands.
    """
    breaking = [stood for stood in placed if stood.item.covered != "through"]
    gaps = []
    for index, stood in enumerate(breaking):
        floor = breaking[index - 1].to_mm if index else float("-inf")
        ceiling = breaking[index + 1].from_mm if index + 1 < len(breaking) else float("inf")
        low = max(stood.from_mm - stood.item.clear_mm, floor)
        gaps.append((low, min(stood.to_mm + stood.item.clear_mm, ceiling), stood))
    return gaps
