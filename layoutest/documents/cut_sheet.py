"""The cut sheet as text: one line a section, with the marks in millimetres from its left end."""

from __future__ import annotations

from math import radians, tan
from typing import TYPE_CHECKING

from layoutest.documents.cautions import CAUTIONS
from layoutest.documents.page import paragraph
from layoutest.documents.summary import not_complete, origin
from layoutest.files.estimate_record import number

if TYPE_CHECKING:
    from collections.abc import Iterator

    from layoutest.job import Estimate
    from layoutest.pack.placing import PlacedPiece, PlacedRun, Stock
    from layoutest.pack.problem import CutSection, Piece

KEY = (
    "Each line is one section: marks in mm from its left end, and between them the pieces as they lie, each with its "
    "label and where it goes along its run. A slanted cut has two marks on opposite sides of the covering, and its "
    "angle from square. Turn: from the long side of the left cut to that of the right one, clockwise seen from the "
    "left end. Hole: its middle from the left end of the section, and its side from the top of the fitted pipe, "
    "clockwise seen along the run (an upright pipe: from the y direction); a long side is told the same way where it "
    "matters. Hollow: depth to cut out at the throat."
)


def cut_sheet_text(estimate: Estimate) -> str:
    """The whole cut sheet, each line ended."""
    lines = [*not_complete(estimate), *origin(estimate), "", *paragraph(KEY)]
    for stock in estimate.stocks:
        lines += ["", *_heading(stock), *_sections(stock, estimate), *_near(stock)]
    return "\n".join([*lines, "", "CAUTIONS", *(line for caution in CAUTIONS for line in paragraph(caution))]) + "\n"


def _heading(stock: Stock) -> list[str]:
    plan = stock.plan
    slit = "keep the slit in line" if plan.problem.slit_in_line else "the slit may change sides"
    kerf = f", kerf {plan.problem.kerf_mm} mm" if plan.problem.kerf_mm else ""
    return [f"{plan.problem.stock.upper()}: {plan.bought} sections of {plan.problem.section_mm} mm, {slit}{kerf}"]


def _sections(stock: Stock, estimate: Estimate) -> Iterator[str]:
    placed = {piece.place: (piece, run) for run in stock.placed for piece in run.pieces}
    hollows = _hollows(estimate)
    for index, section in enumerate(stock.plan.sections):
        parts: list[str] = []
        last = "0"
        for number_in_row, piece in enumerate(section.pieces):
            found, run = placed[index, number_in_row]
            left, right = _marks(piece, run, stock)
            parts += [left] if left != last or not parts else []
            parts += [_piece(piece, found, run, hollows), right]
            last = right
        van = f"  from the van, {section.length_mm} mm" if section.from_van else ""
        yield f"{index + 1:4}  {' '.join(parts)}{_rest(section, estimate)}{van}"


def _ends(piece: Piece, run: PlacedRun) -> tuple[float, float]:
    """The angles of a piece's two ends as it lies."""
    first, last = run.named.run.ends
    left = first.angle_deg if piece.at_start else 0.0
    right = last.angle_deg if piece.at_end else 0.0
    return (right, left) if piece.turned else (left, right)


def _marks(piece: Piece, run: PlacedRun, stock: Stock) -> tuple[str, str]:
    left, right = _ends(piece, run)
    radius_mm = stock.plan.problem.radius_mm
    return _mark(piece.from_mm, left, radius_mm), _mark(piece.from_mm + piece.length_mm, right, radius_mm)


def _mark(place_mm: int, angle_deg: float, radius_mm: float) -> str:
    if not angle_deg:
        return str(place_mm)
    reach_mm = radius_mm * tan(radians(angle_deg))
    return f"{place_mm - reach_mm:.0f}/{place_mm + reach_mm:.0f} at {number(angle_deg, 2):g}°"


def _piece(piece: Piece, placed: PlacedPiece, run: PlacedRun, hollows: dict[str, float]) -> str:
    named = run.named.run
    parts = [f"{placed.label}, {placed.run_from_mm}-{placed.run_from_mm + piece.length_mm}"]
    both = piece.at_start and piece.at_end and named.twist_deg is not None
    if both and named.twist_deg is not None:
        parts.append(f"turn {number(named.twist_deg, 2):g}°")
    ends = [
        end for end, here in zip(named.ends, (piece.at_start, piece.at_end), strict=True) if here and end.cut == "mitre"
    ]
    nodes = {named.of} if named.is_bend_piece else {end.node for end in ends}
    hollow_mm = max((hollows.get(run.named.prefix + node, 0.0) for node in nodes if node), default=0.0)
    if hollow_mm >= 0.5:
        parts.append(f"hollow {hollow_mm:.0f}")
    parts += [_hole(piece, hole.at_mm, hole.around_deg, hole.cut, hole.node) for hole in placed.holes]
    if placed.holes:
        sides = ((end.node, end.long_side_deg) for end in ends if end.long_side_deg is not None)
        parts += [f"long side towards {run.named.prefix}{node} {side_deg:.0f}°" for node, side_deg in sides]
    # A square end may have changed places with a joint: a shaped end is where the piece lies.
    lies_at = (placed.run_from_mm == 0, placed.run_from_mm + piece.length_mm == named.packed_mm)
    shaped = [end.cut for end, here in zip(named.ends, lies_at, strict=True) if here]
    parts += [f"{cut} end" for cut in shaped if cut in ("notch", "saddle")]
    return f"[{'; '.join(parts)}]"


def _hole(piece: Piece, at_mm: int, around_deg: float, cut: str, node: str) -> str:
    place_mm = piece.from_mm + (piece.length_mm - at_mm if piece.turned else at_mm)
    return f"{cut} hole {node} at {place_mm}, {around_deg:.0f}°"


def _rest(section: CutSection, estimate: Estimate) -> str:
    if section.offcut_mm >= estimate.book.least_offcut_mm and section.offcut_mm:
        return f"  offcut {section.offcut_mm}: keep"
    rest_mm = section.offcut_mm + section.scrap_mm
    return f"  {rest_mm} to waste" if rest_mm else ""


def _hollows(estimate: Estimate) -> dict[str, float]:
    """How deep each bend is to be hollowed."""
    return {
        copy.prefix + node: bend.hollow_mm for copy in estimate.copies for node, bend in copy.covering.bends.items()
    }


def _near(stock: Stock) -> Iterator[str]:
    for run in stock.placed:
        for place_mm in run.near_mm:
            yield f"note: the joint at {place_mm} of {run.named.name} could not be kept off a branch or a support"
