"""Where each piece of a plan lies along its run, what it is called, and which holes it carries."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, floor
from typing import TYPE_CHECKING

from layoutest.pack.order import Order, order_along

if TYPE_CHECKING:
    from collections.abc import Sequence

    from layoutest.book.records import SectionSize
    from layoutest.cover.copies import NamedRun
    from layoutest.cover.joints import Hole, JointKind
    from layoutest.pack.problem import PackRun, Piece, Plan

# Joints keep this far off the edge of a branch and off a support. Common practice, no source.
CLEAR_MM = 50


@dataclass(frozen=True, slots=True)
class PieceHole:
    """A hole, or a part of one, in a piece: its middle from the start of the piece in its run, and its side."""

    node: str
    at_mm: int
    around_deg: float
    cut: JointKind


@dataclass(frozen=True, slots=True)
class PlacedPiece:
    """A piece with its label, its place along its run, and its place in the plan (section, and piece in it)."""

    label: str
    run_from_mm: int
    place: tuple[int, int]
    holes: tuple[PieceHole, ...]


@dataclass(frozen=True, slots=True)
class PlacedRun:
    """A run with its pieces in order. `near_mm` are the joints that could not be kept off a branch or a support."""

    named: NamedRun
    pieces: tuple[PlacedPiece, ...]
    joints_mm: tuple[int, ...]
    near_mm: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Stock:
    """The runs covered with one kind of section, and the plan by which they are cut."""

    key: tuple[str, float, float]
    section: SectionSize
    plan: Plan
    placed: tuple[PlacedRun, ...]
    joint_tape_um: int


def place_runs(plan: Plan, named: Sequence[NamedRun]) -> tuple[PlacedRun, ...]:
    """Put the pieces of each run in order; `named` are the runs of the plan's problem, in its order."""
    pieces: list[list[tuple[Piece, tuple[int, int]]]] = [[] for _ in named]
    for section_number, section in enumerate(plan.sections):
        for number, piece in enumerate(section.pieces):
            pieces[piece.run].append((piece, (section_number, number)))
    return tuple(_placed(run, found, plan) for run, found in zip(named, pieces, strict=True))


def placed_again(plan: Plan, named: Sequence[NamedRun], before: Sequence[PlacedRun]) -> tuple[PlacedRun, ...]:
    """The runs of a plan that stays the same: those that are the same objects as before keep their places."""
    found = []
    for run, placed in zip(named, before, strict=True):
        places = sorted(piece.place for piece in placed.pieces)
        pieces = [(plan.sections[section].pieces[number], (section, number)) for section, number in places]
        found.append(placed if placed.named is run else _placed(run, pieces, plan))
    return tuple(found)


def _placed(named: NamedRun, found: list[tuple[Piece, tuple[int, int]]], plan: Plan) -> PlacedRun:
    return placed_run(named, found, order_of(named, plan.problem.runs[found[0][0].run], [piece for piece, _ in found]))


def order_of(named: NamedRun, run: PackRun, pieces: Sequence[Piece]) -> Order:
    """The order of a run's pieces along it, with their joints kept off its branches and supports."""
    return order_along(run, pieces, _keep_out(named)) if len(pieces) > 1 else Order((0,), (0,), ())


def placed_run(named: NamedRun, found: Sequence[tuple[Piece, tuple[int, int]]], order: Order) -> PlacedRun:
    """A run with its pieces in an order; each is given with its section and its place in that."""
    pieces = []
    for number, (index, from_mm) in enumerate(zip(order.pieces, order.from_mm, strict=True), start=1):
        piece, place = found[index]
        holes = _holes(named, from_mm, from_mm + piece.length_mm)
        pieces.append(PlacedPiece(f"{named.name}-{number}", from_mm, place, holes))
    return PlacedRun(named, tuple(pieces), order.from_mm[1:], order.missed_mm)


def _keep_out(named: NamedRun) -> list[tuple[int, int]]:
    """Where along the run joints should not be."""
    start_mm = named.run.from_mm
    zones = [_zone(hole.place_mm - start_mm, hole.half_mm) for hole in named.holes]
    zones += [_zone((low + high) / 2 - start_mm, (high - low) / 2) for low, high in named.supports]
    return sorted(zones)


def _zone(middle_mm: float, half_mm: float) -> tuple[int, int]:
    return floor(middle_mm - half_mm - CLEAR_MM), ceil(middle_mm + half_mm + CLEAR_MM)


def _holes(named: NamedRun, low_mm: int, high_mm: int) -> tuple[PieceHole, ...]:
    found = []
    for hole in named.holes:
        at_mm = hole.place_mm - named.run.from_mm
        if at_mm + hole.half_mm > low_mm and at_mm - hole.half_mm < high_mm:
            found.append(PieceHole(named.prefix + hole.node, round(at_mm - low_mm), _round(hole), hole.cut))
    return tuple(found)


def _round(hole: Hole) -> float:
    return round(hole.around_deg, 2) % 360
