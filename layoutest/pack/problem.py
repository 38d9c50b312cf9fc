"""What the packer is asked and what it answers. It knows lengths, angles and money, but no pipes.

A run's ends are angles from square in degrees, in the direction of the run; 0 is square, and a notch or a saddle is
square to the packer. Lengths are whole millimetres, money is Decimal.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

Rule = Literal["priced", "fewest"]
Ended = Literal["proven", "effort", "asked", "clock"]
"""Why a search ended: nothing better exists, its effort was spent, it was told to, or the emergency stop."""

SQUARE = 0.0


@dataclass(frozen=True, slots=True)
class PackRun:
    """A length to be covered end to end. `one_piece` forbids joints and exempts it from the least length."""

    name: str
    length_mm: int
    ends_deg: tuple[float, float] = (SQUARE, SQUARE)
    one_piece: bool = False


@dataclass(frozen=True, slots=True)
class Offcut:
    """Offcuts on hand with square ends; using one of them costs `value`."""

    length_mm: int
    count: int
    value: Decimal


@dataclass(frozen=True, slots=True)
class Problem:
    """One stock and its runs, in drawing order. `radius_mm` is that of the covering, R, which sets the wedges."""

    stock: str
    section_mm: int
    radius_mm: float
    runs: tuple[PackRun, ...]
    kerf_mm: int = 0
    least_mm: int = 150
    slit_in_line: bool = False
    rule: Rule = "priced"
    section_price: Decimal = Decimal(1)
    joint_price: Decimal = Decimal(0)
    van: tuple[Offcut, ...] = ()


@dataclass(frozen=True, slots=True)
class Piece:
    """A piece as it lies in its section.

    `run` is an index into the problem's runs. `at_start` and `at_end` say whether the piece carries the run's first and
    its last end. `turned` says that it lies against the direction of its run. `from_mm` is where its axis begins.
    """

    run: int
    at_start: bool
    at_end: bool
    length_mm: int
    turned: bool
    from_mm: int


@dataclass(frozen=True, slots=True)
class CutSection:
    """A section, or an offcut from the van, with its pieces from left to right and what is left of it.

    length = pieces + wedge + kerf + offcut + scrap, to the millimetre. The offcut or scrap is the right-hand end.
    """

    length_mm: int
    from_van: bool
    pieces: tuple[Piece, ...]
    wedge_mm: int
    kerf_mm: int
    offcut_mm: int
    scrap_mm: int

    @property
    def waste_mm(self) -> int:
        """All of its length that is in no piece."""
        return self.wedge_mm + self.kerf_mm + self.offcut_mm + self.scrap_mm


@dataclass(frozen=True, slots=True)
class Plan:
    """How every run of a problem is cut. `at_least` and `cost_at_least` are bounds that no plan can go below.

    `sections` holds bought sections first, then offcuts from the van. The `by_hand` values say what careful cutting by
    hand would take, `ended` why the search went no further.
    """

    problem: Problem
    sections: tuple[CutSection, ...]
    bought: int
    joints: int
    cost: Decimal
    at_least: int
    cost_at_least: Decimal
    by_hand_sections: int
    by_hand_cost: Decimal
    ended: Ended = "effort"

    @property
    def proven(self) -> bool:
        """Whether no plan can cost less."""
        return self.cost <= self.cost_at_least
