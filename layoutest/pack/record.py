"""A plan as plain data: the `packing` object of the estimate and of `pack --json`."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING, NamedTuple

from layoutest.pack.order import PiecePlace, places_along
from layoutest.pack.problem import SQUARE, CutSection, Piece, Plan

if TYPE_CHECKING:
    from collections.abc import Mapping

Record = dict[str, object]


class Placed(NamedTuple):
    """What an estimate knows of a piece: where it begins along its run, its label, and its holes as plain records."""

    run_from_mm: int
    label: str
    holes: tuple[Record, ...] = ()


def end_name(angle_deg: float) -> str:
    """How an end is called: `square`, or `mitre` with its angle to two decimals at most."""
    if angle_deg == SQUARE:
        return "square"
    return f"mitre {angle_deg:.2f}".rstrip("0").rstrip(".")


def placed_plainly(plan: Plan) -> dict[PiecePlace, Placed]:
    """Every piece in the natural order of its run, labelled with the run's name and its number along the run."""
    from_mm, _ = places_along(plan)
    placed: dict[PiecePlace, Placed] = {}
    number: dict[int, int] = {}
    for place in sorted(from_mm, key=lambda place: (_piece(plan, place).run, from_mm[place])):
        run = _piece(plan, place).run
        number[run] = number.get(run, 0) + 1
        placed[place] = Placed(from_mm[place], f"{plan.problem.runs[run].name}-{number[run]}")
    return placed


def packing_record(
    plan: Plan,
    placed: Mapping[PiecePlace, Placed] | None = None,
    run_ends: Mapping[int, tuple[str, str]] | None = None,
    decimals: int = 2,
) -> Record:
    """A plan as plain data, with money as strings.

    Args:
        plan: the plan of one stock.
        placed: by (index of section, index of piece in it): where the piece lies in its run, its label and holes;
            without it the natural order and labels of `placed_plainly`.
        run_ends: by index of a run the names of its first and last end (`notch`, `saddle`, `mitre 22.5`, `square`);
            runs not named are called by the angles of their ends.
        decimals: of the money.
    """
    places = placed_plainly(plan) if placed is None else placed
    names = run_ends or {}
    problem, sections = plan.problem, plan.sections

    def money(amount: Decimal) -> str:
        return str(amount.quantize(Decimal(1).scaleb(-decimals)))

    van = sorted({section.length_mm for section in sections if section.from_van}, reverse=True)
    return {
        "stock": problem.stock,
        "section_mm": problem.section_mm,
        "joints_rule": problem.rule,
        "sections": plan.bought,
        "at_least": plan.at_least,
        "joints": plan.joints,
        "section_price": money(problem.section_price),
        "joint_price": money(problem.joint_price),
        "cost": money(plan.cost),
        "cost_at_least": money(plan.cost_at_least),
        "proven": plan.proven,
        "by_hand_sections": plan.by_hand_sections,
        "by_hand_cost": money(plan.by_hand_cost),
        "pieces_mm": sum(run.length_mm for run in problem.runs),
        "wedge_mm": sum(section.wedge_mm for section in sections),
        "kerf_mm": sum(section.kerf_mm for section in sections),
        "offcuts_mm": sorted((section.offcut_mm for section in sections if section.offcut_mm), reverse=True),
        "scrap_mm": sum(section.scrap_mm for section in sections),
        "from_stock": [
            {"length_mm": length, "count": sum(s.from_van and s.length_mm == length for s in sections)}
            for length in van
        ],
        "cuts": [_cut(plan, number, section, places, names) for number, section in enumerate(sections)],
    }


def _cut(
    plan: Plan,
    number: int,
    section: CutSection,
    placed: Mapping[PiecePlace, Placed],
    run_ends: Mapping[int, tuple[str, str]],
) -> Record:
    pieces = [_piece_record(plan, piece, placed[number, index], run_ends) for index, piece in enumerate(section.pieces)]
    return {
        "section": number + 1,
        "length_mm": section.length_mm,
        "wedge_mm": section.wedge_mm,
        "kerf_mm": section.kerf_mm,
        "offcut_mm": section.offcut_mm,
        "scrap_mm": section.scrap_mm,
        "pieces": pieces,
    }


def _piece_record(plan: Plan, piece: Piece, placed: Placed, run_ends: Mapping[int, tuple[str, str]]) -> Record:
    ends = ends_along(plan, piece, placed.run_from_mm, run_ends)
    return {
        "label": placed.label,
        "run": plan.problem.runs[piece.run].name,
        "run_from_mm": placed.run_from_mm,
        "from_mm": piece.from_mm,
        "length_mm": piece.length_mm,
        "ends": list(reversed(ends) if piece.turned else ends),
        "turned": piece.turned,
        "holes": list(placed.holes),
    }


def ends_along(plan: Plan, piece: Piece, run_from_mm: int, run_ends: Mapping[int, tuple[str, str]]) -> tuple[str, str]:
    """Names of a piece's two ends in the direction of its run: the run's own where the piece lies at its end."""
    run = plan.problem.runs[piece.run]
    first, last = run_ends.get(piece.run) or (end_name(run.ends_deg[0]), end_name(run.ends_deg[1]))
    at_end = run_from_mm + piece.length_mm == run.length_mm
    return first if run_from_mm == 0 else end_name(SQUARE), last if at_end else end_name(SQUARE)


def _piece(plan: Plan, place: PiecePlace) -> Piece:
    return plan.sections[place[0]].pieces[place[1]]
