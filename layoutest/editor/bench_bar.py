"""One section as a bar: its pieces to scale with their cuts, what is lost, and what is left over."""

from __future__ import annotations

from math import radians, tan
from typing import TYPE_CHECKING, NamedTuple

from layoutest.drawing.primitives import Hatch, Polygon, Polyline, Rect, Text
from layoutest.drawing.services import code_of

if TYPE_CHECKING:
    from layoutest.drawing.primitives import Point, Primitive
    from layoutest.editor.picture import Measure
    from layoutest.live.stock import LiveStock
    from layoutest.pack.problem import CutSection, Piece, Problem

SPARE_PX = 14.0
OFFCUT_WORDS_FROM_PX = 40.0
INNER_PX = 5.0


class Slot(NamedTuple):
    """A piece in its bar: between which places its axis lies, how far its slanted ends reach, and how they lean."""

    low: float
    high: float
    left_px: float
    right_px: float
    left_lean: int
    right_lean: int


def end_angles(problem: Problem, piece: Piece) -> tuple[float, float]:
    """The angles from square of a piece's left and right end as it lies in its section."""
    first, last = problem.runs[piece.run].ends_deg
    ends = (first if piece.at_start else 0.0), (last if piece.at_end else 0.0)
    return (ends[1], ends[0]) if piece.turned else ends


def slots_of(stock: LiveStock, cut: CutSection, x: float, px_per_mm: float) -> list[Slot]:
    """Every piece of a section in its place; a cut that two pieces share is one line."""
    problem = stock.plan.problem
    slots: list[Slot] = []
    lean = -1
    end_mm, end_angle = -1, 0.0
    for piece in cut.pieces:
        angles = end_angles(problem, piece)
        reach = [problem.radius_mm * tan(radians(angle)) * px_per_mm for angle in angles]
        shared = angles[0] > 0 and angles[0] == end_angle and piece.from_mm - end_mm <= problem.kerf_mm
        if angles[0] > 0 and not shared:
            lean = -lean
        left_lean = lean
        if angles[1] > 0:
            lean = -lean
        low, high = x + piece.from_mm * px_per_mm, x + (piece.from_mm + piece.length_mm) * px_per_mm
        slots.append(Slot(low, high, reach[0], reach[1], left_lean, lean))
        end_mm, end_angle = piece.from_mm + piece.length_mm, angles[1]
    return slots


def bar_parts(
    stock: LiveStock, number: int, x: float, y: float, width: float, height: float, measure: Measure | None
) -> list[Primitive]:
    """A bar from its upper left corner; `measure` is None for bars that carry no words."""
    cut = stock.plan.sections[number]
    whole_mm = max(stock.section.length_mm, cut.length_mm)
    px = width / whole_mm
    end = x + cut.length_mm * px
    parts: list[Primitive] = [Rect(x, y, end - x, height, "bench_bar")]
    slots = slots_of(stock, cut, x, px)
    last = max((slot.high + slot.right_px for slot in slots), default=x)
    left_over_mm = cut.offcut_mm + cut.scrap_mm
    used = end - left_over_mm * px
    if cut.wedge_mm or cut.kerf_mm:
        parts.append(Rect(x, y, max(min(max(last, used), end) - x, 1), height, "wedge"))
    for place, (piece, slot) in enumerate(zip(cut.pieces, slots, strict=True)):
        parts += _piece(stock, (number, place), piece, slot, y, height, measure)
    parts += _left_over(cut, used, end, y, height, measure)
    parts.append(Rect(x, y, end - x, height, "", "rule", "bench_bar_edge"))
    if cut.length_mm < whole_mm:
        rest = ((end, y), (x + width, y), (x + width, y + height - 1), (end, y + height - 1))
        parts.append(Polyline(rest, "rule", "bench_bar_edge", dash="jacket"))
    return parts


def _piece(
    stock: LiveStock, place: tuple[int, int], piece: Piece, slot: Slot, y: float, height: float, measure: Measure | None
) -> list[Primitive]:
    placed, labelled = stock.by_place[place]
    service = placed.named.run.spec.service
    top_left, low_left = slot.low + slot.left_lean * slot.left_px, slot.low - slot.left_lean * slot.left_px
    top_right, low_right = slot.high + slot.right_lean * slot.right_px, slot.high - slot.right_lean * slot.right_px
    corners: tuple[Point, ...] = ((top_left, y), (top_right, y), (low_right, y + height), (low_left, y + height))
    parts: list[Primitive] = [Polygon(corners, f"tint:{code_of(service)}")]
    if slot.left_px:
        parts.append(Polyline(((top_left, y), (low_left, y + height)), "mitre"))
    if slot.right_px:
        parts.append(Polyline(((top_right, y), (low_right, y + height)), "mitre"))
    else:
        parts.append(Rect(slot.high - 0.5, y, 1, height, "bench_bar_edge"))
    if measure:
        left, right = max(top_left, low_left) + INNER_PX, min(top_right, low_right) - INNER_PX
        parts += piece_words(service, labelled.label, f"{piece.length_mm}", left, right, y + height / 2, measure)
    return parts


def piece_words(
    service: str, label: str, length: str, left: float, right: float, middle: float, measure: Measure
) -> list[Primitive]:
    """Letters, label and length where they fit with room to spare; else letters and label, else the label, else none."""
    room = right - left
    letters, name = measure(service, "tiny", True), measure(label, "tiny", False)
    long = measure(length, "tiny", True)
    bold = Text((left, middle), service, "tiny", bold=True, colour="piece_text")
    beside = Text((left + letters + 4, middle), label, "tiny", colour="piece_text")
    if letters + 4 + name + SPARE_PX + long <= room:
        figure = Text((right, middle), length, "tiny", bold=True, colour="piece_text", align="right")
        return [bold, beside, figure]
    if letters + 4 + name <= room:
        return [bold, beside]
    if name <= room:
        return [Text((left, middle), label, "tiny", colour="piece_text")]
    return []


def _left_over(
    cut: CutSection, begin: float, end: float, y: float, height: float, measure: Measure | None
) -> list[Primitive]:
    """The offcut, hatched with its length, or the scrap, hatched crosswise."""
    if end - begin < 1:
        return []
    kind = "offcut" if cut.offcut_mm else "scrap"
    corners = ((begin, y), (end, y), (end, y + height), (begin, y + height))
    parts: list[Primitive] = [Rect(begin, y, end - begin, height, kind)]
    if measure is None:
        return parts
    parts.append(Hatch(corners, kind, f"{kind}_hatch"))
    parts.append(Rect(begin, y, 1, height, "bench_bar_edge"))
    if kind == "offcut" and end - begin >= OFFCUT_WORDS_FROM_PX:
        words = f"{cut.offcut_mm}"
        wide = measure(words, "tiny", True) + 8
        middle = (begin + end) / 2
        parts.append(Rect(middle - wide / 2, y + 2, wide, height - 4, "offcut"))
        parts.append(Text((middle, y + height / 2), words, "tiny", bold=True, colour="offcut_text", align="middle"))
    return parts
