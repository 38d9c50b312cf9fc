"""One section as a bar: its pieces to scale with their cuts, what is lost, and what is left over."""

from __future__ import annotations

from math import radians, tan
from typing import TYPE_CHECKING, NamedTuple

from layoutest.drawing.primitives import Hatch, Polygon, Polyline, Rect, Text
from layoutest.drawing.services import code_of
from layoutest.editor.bench_state import BOLD, REGULAR
from layoutest.pack.problem import SQUARE

if TYPE_CHECKING:
    from layoutest.drawing.primitives import Point, Primitive
    from layoutest.editor.bench_cut import Cut, CutPiece
    from layoutest.editor.picture import Measure

SPARE_PX = 14.0
OFFCUT_WORDS_FROM_PX = 40.0
INNER_PX = 5.0
BETWEEN_PX = 4.0


class Slot(NamedTuple):
    """A piece in its bar: between which places its axis lies, and how far the upper corners lean out to the right.

    The lower corners lean as far to the left.
    """

    low: float
    high: float
    left_lean: float
    right_lean: float

    def corners(self, y: float, height: float) -> tuple[Point, ...]:
        """Its corners from the upper left one, clockwise."""
        low_y = y + height
        return (
            (self.low + self.left_lean, y),
            (self.high + self.right_lean, y),
            (self.high - self.right_lean, low_y),
            (self.low - self.left_lean, low_y),
        )

    @property
    def inside(self) -> tuple[float, float]:
        """Between which places the whole height of the bar belongs to it."""
        return self.low + abs(self.left_lean), self.high - abs(self.right_lean)


def slots_of(cut: Cut, x: float, px_per_mm: float) -> list[Slot]:
    """Every piece of a section in its place. Slanted ends that meet lean the same way, the ends of a piece do not."""
    slots: list[Slot] = []
    sign, open_deg = -1, SQUARE
    for piece in cut.pieces:
        if piece.left_deg > SQUARE and not (open_deg > SQUARE and cut.nests):
            sign = -sign
        left = sign * _reach_mm(cut, piece.left_deg) * px_per_mm
        if piece.right_deg > SQUARE:
            sign = -sign
        right = sign * _reach_mm(cut, piece.right_deg) * px_per_mm
        low = x + piece.from_mm * px_per_mm
        slots.append(Slot(low, low + piece.length_mm * px_per_mm, left, right))
        open_deg = piece.right_deg
    return slots


def _reach_mm(cut: Cut, angle_deg: float) -> float:
    """How far a slanted end reaches beyond its axis, R·tan a."""
    return cut.radius_mm * tan(radians(angle_deg)) if angle_deg else 0.0


def bar_parts(cut: Cut, x: float, y: float, width: float, height: float, measure: Measure) -> tuple[Primitive, ...]:
    """A bar from its upper left corner; `width` is that of a whole section."""
    px = scale_of(cut, width)
    end = x + cut.length_mm * px
    used = end - cut.left_over_mm * px
    lost = "wedge" if cut.wedge_mm or cut.kerf_mm else "bench_bar"
    parts: list[Primitive] = [Rect(x, y, used - x, height, lost)]
    parts += _left_over(cut, (used, end), y, height, measure)
    before = x
    for piece, slot in zip(cut.pieces, slots_of(cut, x, px), strict=True):
        parts += _piece(piece, slot, y, height, begins=slot.low - before >= 2, ends=end - slot.high >= 1)
        parts += piece_words(piece, slot, y + height / 2, measure)
        before = slot.high
    parts.append(Rect(x, y, end - x, height, "", "rule", "bench_bar_edge"))
    if cut.length_mm < cut.whole_mm:
        right, low = x + width, y + height - 1
        rest = ((end, y), (right, y), (right, low), (end, low))
        parts.append(Polyline(rest, "rule", "bench_bar_edge", dash="jacket"))
    return tuple(parts)


def small_parts(cut: Cut, x: float, y: float, width: float, height: float) -> tuple[Primitive, ...]:
    """A bar too low for words and slants, as rectangles; offcuts wear the colour of their hatching."""
    px = scale_of(cut, width)
    used = x + (cut.length_mm - cut.left_over_mm) * px
    parts: list[Primitive] = [Rect(x, y, used - x, height, "wedge" if cut.wedge_mm > 0 else "scrap")]
    if cut.left_over_mm * px >= 0.5:
        parts.append(Rect(used, y, cut.left_over_mm * px, height, "offcut_hatch" if cut.offcut_mm else "scrap"))
    for piece in cut.pieces:
        tint = f"tint:{code_of(piece.service)}"
        parts.append(Rect(x + piece.from_mm * px, y, piece.length_mm * px - 0.5, height, tint))
    return tuple(parts)


def scale_of(cut: Cut, width: float) -> float:
    """The px of a millimetre in a bar; an offcut longer than a section fills it."""
    return width / max(cut.whole_mm, cut.length_mm)


def _piece(piece: CutPiece, slot: Slot, y: float, height: float, *, begins: bool, ends: bool) -> list[Primitive]:
    """The foil with its cuts; a square end has a line of its own where something else lies beyond it."""
    tint = f"tint:{code_of(piece.service)}"
    if not (slot.left_lean or slot.right_lean):
        parts: list[Primitive] = [Rect(slot.low, y, slot.high - slot.low, height, tint)]
    else:
        parts = [Polygon(_foil(slot, y, height), tint)]
    if slot.left_lean:
        parts.append(_knife(slot.low, slot.left_lean, y, height))
    elif begins:
        parts.append(Rect(slot.low, y, 1, height, "edge"))
    if slot.right_lean:
        parts.append(_knife(slot.high, slot.right_lean, y, height))
    elif ends:
        parts.append(Rect(slot.high - 1, y, 1, height, "edge"))
    return parts


def _foil(slot: Slot, y: float, height: float) -> tuple[Point, ...]:
    """The corners of a slanted piece as they are filled: its lower and its square right edge are painted themselves."""
    high, down = slot.high if slot.right_lean else slot.high - 1, height - 1
    upper = ((slot.low + slot.left_lean, y), (high + slot.right_lean, y))
    lower = (_along(high, slot.right_lean, down, height), _along(slot.low, slot.left_lean, down, height))
    return (*upper, *((x, y + down) for x in lower))


def _along(axis: float, lean: float, down: float, height: float) -> float:
    """Where a slanted end stands so far below the upper edge of its bar."""
    return axis + lean * (1 - 2 * down / height)


def _knife(axis: float, lean: float, y: float, height: float) -> Polyline:
    """A slanted cut; it ends short of the bar's edges, so that its blunt ends stay inside."""
    return Polyline(tuple((_along(axis, lean, down, height), y + down) for down in (1, height - 2)), "mitre")


def piece_words(piece: CutPiece, slot: Slot, middle: float, measure: Measure) -> list[Primitive]:
    """Letters, label and length if they fit with room to spare; else letters and label; else the label; else none."""
    low, high = slot.inside
    left, right = low + INNER_PX, high - INNER_PX
    name = measure(piece.label, "tiny", REGULAR)
    if name > right - left:
        return []
    letters = measure(piece.service, "tiny", BOLD) + BETWEEN_PX
    if letters + name > right - left:
        return [Text((left, middle), piece.label, "tiny", colour="piece_text")]
    parts: list[Primitive] = [
        Text((left, middle), piece.service, "tiny", bold=True, colour="piece_text"),
        Text((left + letters, middle), piece.label, "tiny", colour="piece_text"),
    ]
    length = f"{piece.length_mm}"
    if letters + name + SPARE_PX + measure(length, "tiny", BOLD) <= right - left:
        parts.append(Text((right, middle), length, "tiny", bold=True, colour="piece_text", align="right"))
    return parts


def _left_over(cut: Cut, ends: tuple[float, float], y: float, height: float, measure: Measure) -> list[Primitive]:
    """The offcut, hatched with its length, or the scrap, hatched crosswise."""
    begin, end = ends
    if end - begin < 1:
        return []
    kind = "offcut" if cut.offcut_mm else "scrap"
    right, low = max(end - 2, begin), y + height - 2
    corners = ((begin, y + 1), (right, y + 1), (right, low), (begin, low))
    parts: list[Primitive] = [Rect(begin, y, end - begin, height, kind), Hatch(corners, kind, f"{kind}_hatch")]
    words = f"{cut.offcut_mm}"
    wide = measure(words, "tiny", BOLD) + 8
    if kind == "offcut" and end - begin >= max(OFFCUT_WORDS_FROM_PX, wide):
        middle = (begin + end) / 2
        parts.append(Rect(middle - wide / 2, y + 2, wide, height - 4, "offcut"))
        parts.append(Text((middle, y + height / 2), words, "tiny", bold=True, colour="offcut_text", align="middle"))
    return parts
