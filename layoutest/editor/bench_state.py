"""How the bench is seen: its height, the stock in hand, how far it is turned, and its order."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Literal, NamedTuple

from layoutest.drawing.primitives import Box
from layoutest.editor.regions import LOW_BELOW_PX, NARROW_BELOW_PX

if TYPE_CHECKING:
    from collections.abc import Mapping

    from layoutest.live.lit import Lit

Height = Literal["normal", "tall", "low"]
LOW_PX, NORMAL_PX, TALL_SHARE = 108.0, 232.0, 0.6
NARROW_PX = 154.0
BOLD, REGULAR = True, False
_NEXT: dict[Height, Height] = {"normal": "tall", "tall": "low", "low": "normal"}

StockKey = tuple[str, float, float]


@dataclass(frozen=True, slots=True)
class BenchState:
    """`turned` counts the columns that the bench is scrolled by; `stock` is the one in hand, None for the first."""

    height: Height = "normal"
    stock: StockKey | None = None
    turned: int = 0
    longest_first: bool = False


class BenchMarks(NamedTuple):
    """What is lit; the runs that are picked or held; how many sections the last edit brought to each stock."""

    lit: Lit
    picked: frozenset[str]
    changes: Mapping[StockKey, int]


class BenchTarget(NamedTuple):
    """What a place on the bench means.

    A `piece`, an `offcut`, the rest of a `section`, a section in the `overview`, a `stock` (its head, tab or block), or
    the `grip` that changes the height. `section` counts from 1, 0 for none; `piece` is its number in the section from
    0, −1 for none, and `run` and `label` are its names.
    """

    kind: str
    key: StockKey | None = None
    section: int = 0
    piece: int = -1
    box: Box = Box(0, 0, 0, 0)
    run: str = ""
    label: str = ""


def height_px(bench: BenchState, width: float, height: float) -> float:
    """How high the bench is in a window."""
    if height < LOW_BELOW_PX or bench.height == "low":
        return LOW_PX
    if bench.height == "tall":
        return float(round(height * TALL_SHARE))
    return NARROW_PX if width < NARROW_BELOW_PX else NORMAL_PX


def toggle(bench: BenchState) -> BenchState:
    """Normal, tall, low, and again."""
    return replace(bench, height=_NEXT[bench.height], turned=0)


def toggle_order(bench: BenchState) -> BenchState:
    """Longest offcut first, or as the sections are cut."""
    return replace(bench, longest_first=not bench.longest_first, turned=0)


def turned(bench: BenchState, columns: int) -> BenchState:
    """Scroll by columns; the end is where the picture ends."""
    return replace(bench, turned=max(bench.turned + columns, 0))


def in_hand(bench: BenchState, key: StockKey) -> BenchState:
    """Take another stock in hand."""
    return bench if bench.stock == key else replace(bench, stock=key, turned=0)
