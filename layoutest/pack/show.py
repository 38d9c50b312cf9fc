"""A plan as text for a terminal of 80 columns: what it takes, and one bar a section, to scale."""

from __future__ import annotations

from textwrap import wrap
from typing import TYPE_CHECKING

from layoutest.pack.problem import SQUARE
from layoutest.pack.record import end_name, placed_plainly
from layoutest.pack.row import Part, ends_of

if TYPE_CHECKING:
    from decimal import Decimal

    from layoutest.pack.problem import CutSection, Piece, Plan

WIDTH = 80
_MARGIN = 7


def plan_text(plan: Plan, decimals: int = 2) -> str:
    r"""A plan to read: totals, what cutting by hand would take, then every section with its pieces from the left.

    In a bar `[` and `]` are square ends, `/` and `\` mitred ones, `.` an offcut and a blank waste.
    """
    placed = placed_plainly(plan)
    longest = max((section.length_mm for section in plan.sections), default=1)
    lines = [*_totals(plan, decimals), ""]
    for number, section in enumerate(plan.sections):
        pieces = [
            f"{placed[number, index].label} at {placed[number, index].run_from_mm}: {_piece_text(plan, piece)}"
            for index, piece in enumerate(section.pieces)
        ]
        lines.append(f"{number + 1:>{_MARGIN - 1}} {_bar(plan, section, longest)}")
        indent = " " * _MARGIN
        lines += wrap("; ".join([*pieces, *_rest(section)]), WIDTH, initial_indent=indent, subsequent_indent=indent)
    return "\n".join(lines)


def _totals(plan: Plan, decimals: int) -> list[str]:
    problem = plan.problem
    proof = "no plan costs less" if plan.proven else f"no plan costs less than {_money(plan.cost_at_least, decimals)}"
    hand = f"{plan.by_hand_sections} sections and {_money(plan.by_hand_cost, decimals)}"
    used = sum(section.from_van for section in plan.sections)
    return [
        f"{plan.bought} sections of {problem.section_mm} mm, at least {plan.at_least}; {plan.joints} joints",
        *([f"{used} offcut{'s' * (used > 1)} from stock"] if used else []),
        f"cost {_money(plan.cost, decimals)}; {proof}",
        f"careful cutting by hand: {hand}",
    ]


def _money(amount: Decimal, decimals: int) -> str:
    return f"{amount:.{decimals}f}"


def _ends(plan: Plan, piece: Piece) -> tuple[float, float]:
    part = Part(piece.run, piece.length_mm, piece.at_start, piece.at_end)
    return ends_of(plan.problem.runs[piece.run], part, piece.turned)


def _piece_text(plan: Plan, piece: Piece) -> str:
    left, right = _ends(plan, piece)
    ends = "" if left == right == SQUARE else f" {end_name(left)} | {end_name(right)}"
    return f"{piece.length_mm}{ends}{' turned' if piece.turned else ''}"


def _rest(section: CutSection) -> list[str]:
    origin = [f"from an offcut of {section.length_mm}"] if section.from_van else []
    named = (("offcut", section.offcut_mm), ("scrap", section.scrap_mm), ("wedges", section.wedge_mm))
    return [*origin, *(f"{name} {length}" for name, length in (*named, ("kerf", section.kerf_mm)) if length)]


def _bar(plan: Plan, section: CutSection, longest_mm: int) -> str:
    columns = WIDTH - _MARGIN
    cells = [" "] * max(2, _column(section.length_mm, longest_mm, columns))
    if section.offcut_mm:
        start = _column(section.length_mm - section.offcut_mm, longest_mm, columns)
        cells[start:] = "." * (len(cells) - start)
    for piece in section.pieces:
        left, right = _ends(plan, piece)
        start = _column(piece.from_mm, longest_mm, columns)
        width = max(2, _column(piece.from_mm + piece.length_mm, longest_mm, columns) - start)
        text = str(piece.length_mm) if width >= len(str(piece.length_mm)) + 2 else ""
        body = ("/" if left else "[") + text.center(width - 2, "=") + ("\\" if right else "]")
        cells[start : start + width] = body
    return "".join(cells)[:columns].rstrip()


def _column(at_mm: int, longest_mm: int, columns: int) -> int:
    return (2 * at_mm * columns + longest_mm) // (2 * longest_mm)
