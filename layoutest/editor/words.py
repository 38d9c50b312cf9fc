"""Words on the sheet: service, size and taped length beside each straight, and every rise and drop with its level."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from layoutest.drawing.primitives import Box, Polyline, Text
from layoutest.drawing.run_parts import rises
from layoutest.drawing.straight import seen

if TYPE_CHECKING:
    from collections.abc import Iterable

    from layoutest.cover.runs import Laid
    from layoutest.drawing.pipes import SheetPicture
    from layoutest.drawing.primitives import Primitive
    from layoutest.drawing.straight import Seen
    from layoutest.editor.picture import Measure, View

LEAST_LONG_PX = 120.0
LEAST_WIDE_PX = 8.0
CLEAR_PX = 4.0
HIGH_PX = 13.0
BETWEEN_PX = 4.0
LEADER_PX = 16.0
MOST_WORDS = 400


class Label(NamedTuple):
    """The words of one straight: SemiBold ones first, then the rest."""

    name: str
    bold: str
    rest: str


class Words(NamedTuple):
    """Words that have found their place: what they were placed for, and their primitives by the name of their group."""

    view: View
    sheet: Box
    picture: SheetPicture
    placed: dict[str, tuple[Primitive, ...]]

    @property
    def parts(self) -> tuple[Primitive, ...]:
        """All of them."""
        return tuple(part for parts in self.placed.values() for part in parts)


def place_words(
    picture: SheetPicture, view: View, sheet: Box, measure: Measure, before: Words | None, *, held: bool, clear_of: tuple[Box, ...] = ()
) -> Words:
    """Place words clear of pipes and of each other; while something is held, words that are in place stay there."""
    if before and before.view == view and before.sheet == sheet:
        if before.picture.groups is picture.groups:
            return before
        if held:
            old, new = before.picture.groups, picture.groups
            kept = {name: parts for name, parts in before.placed.items() if new.get(name) is old.get(name)}
            return Words(view, sheet, picture, kept)
    corner, far = view.to_mm((sheet.low_x, sheet.high_y)), view.to_mm((sheet.high_x, sheet.low_y))
    names = picture.boxes.touching(Box(*corner, *far))
    taken = _Taken(picture, view, sheet, names)
    taken.words += clear_of
    taken.words += _outline_names(picture, view, names, measure)
    placed: dict[str, tuple[Primitive, ...]] = {}
    laid_of = picture.covering.laid
    upright = [name for name in names if name in laid_of and _is_upright(picture, name)]
    along = [name for name in names if name in laid_of and name not in set(upright)]
    for name in (*upright, *along)[:MOST_WORDS]:
        parts = _placed(picture, name, view, measure, taken)
        if parts:
            placed[name] = parts
    return Words(view, sheet, picture, placed)


def _is_upright(picture: SheetPicture, name: str) -> bool:
    nodes = picture.covering.network.chosen.layout.nodes
    straight = picture.covering.laid[name].straight
    first, last = nodes[straight.nodes[0]], nodes[straight.nodes[-1]]
    up = 1 if picture.covering.network.chosen.layout.view == "plan" else 2
    return first.x_mm == last.x_mm and first[up] == last[up]


def _outline_names(picture: SheetPicture, view: View, names: Iterable[str], measure: Measure) -> list[Box]:
    """Where the names of plant stand."""
    found = []
    for name in names:
        if name.startswith("outline "):
            for part in picture.groups[name].details[-1]:
                if isinstance(part, Text):
                    x, y = view.to_px(part.at)
                    half = measure(part.words, part.size, part.bold) / 2 + 2
                    found.append(Box(x - half, y - HIGH_PX / 2, x + half, y + HIGH_PX / 2))
    return found


class _Taken:
    """What words have to keep clear of, in pixels of the window."""

    def __init__(self, picture: SheetPicture, view: View, sheet: Box, names: Iterable[str]) -> None:
        self.sheet = sheet
        boxes = []
        for name in names:
            if name.startswith(("break ", "outline ")):
                continue
            boxes += _pipe_boxes(picture, name, view)
        self.pipes = np.array(boxes, dtype=np.float64).reshape(-1, 4)
        self.words: list[Box] = []

    def takes(self, box: Box) -> bool:
        """Take a place when it is free."""
        sheet = self.sheet
        if box.low_x < sheet.low_x + 2 or box.high_x > sheet.high_x - 2:
            return False
        if box.low_y < sheet.low_y + 2 or box.high_y > sheet.high_y - 2:
            return False
        if any(
            box.low_x < one.high_x and one.low_x < box.high_x and box.low_y < one.high_y and one.low_y < box.high_y
            for one in self.words
        ):
            return False
        a = self.pipes
        if len(a) and bool(
            ((a[:, 0] < box.high_x) & (a[:, 2] > box.low_x) & (a[:, 1] < box.high_y) & (a[:, 3] > box.low_y)).any()
        ):
            return False
        self.words.append(box)
        return True


def _pipe_boxes(picture: SheetPicture, name: str, view: View) -> list[tuple[float, float, float, float]]:
    """A pipe as boxes in pixels; a slanting one as a row of small ones."""
    laid = picture.covering.laid.get(name)
    if laid is None:
        low_x, high_y = view.to_px((picture.groups[name].box.low_x, picture.groups[name].box.low_y))
        high_x, low_y = view.to_px((picture.groups[name].box.high_x, picture.groups[name].box.high_y))
        shrink = min(high_x - low_x, high_y - low_y) * 0.25
        return [(low_x + shrink, low_y + shrink, high_x - shrink, high_y - shrink)]
    shown = seen(picture.covering.network.chosen.layout, laid.straight)
    half = max(laid.straight.spec.covered_diameter_mm / 2 * view.scale, 1.5)
    (x0, y0), (x1, y1) = view.to_px(shown.points[0]), view.to_px(shown.points[-1])
    steps = 1
    if abs(x1 - x0) > half and abs(y1 - y0) > half:
        steps = min(max(int(max(abs(x1 - x0), abs(y1 - y0)) / max(2 * half, 12)), 1), 40)
    boxes = []
    for step in range(steps):
        a, b = step / steps, (step + 1) / steps
        xs, ys = sorted((x0 + (x1 - x0) * a, x0 + (x1 - x0) * b)), sorted((y0 + (y1 - y0) * a, y0 + (y1 - y0) * b))
        boxes.append((xs[0] - half, ys[0] - half, xs[1] + half, ys[1] + half))
    for placed in laid.items:
        at = view.to_px(shown.at((placed.from_mm + placed.to_mm) / 2))
        reach = max(half * 1.2, (placed.to_mm - placed.from_mm) / 2 * view.scale)
        boxes.append((at[0] - reach, at[1] - reach, at[0] + reach, at[1] + reach))
    return boxes


def label_of(picture: SheetPicture, name: str) -> Label | None:
    """What stands beside a straight; for an upright one whether it rises or drops, and to which level."""
    covering = picture.covering
    laid = covering.laid[name]
    layout = covering.network.chosen.layout
    shown = seen(layout, laid.straight)
    if shown.upright:
        up = rises(covering, laid, shown)
        to_mm = max(shown.depths_mm) if up else min(shown.depths_mm)
        if layout.view == "plan":
            return Label(name, "RISE" if up else "DROP", f"{to_mm}")
        return Label(name, "TO", f"y {to_mm}")
    spec = laid.straight.spec
    taped = [leg.leg.measured_mm for leg in laid.straight.legs]
    rest = spec.pipe
    if any(one is not None for one in taped):
        rest += f" · {laid.straight.centre_line_mm:.0f} taped"
    return Label(name, spec.service, rest)


def _placed(
    picture: SheetPicture, name: str, view: View, measure: Measure, taken: _Taken
) -> tuple[Primitive, ...]:
    laid = picture.covering.laid[name]
    label = label_of(picture, name)
    if label is None:
        return ()
    first, rest = measure(label.bold, "tiny", True), measure(label.rest, "tiny", False)
    wide = first + BETWEEN_PX + rest
    shown = seen(picture.covering.network.chosen.layout, laid.straight)
    if shown.upright:
        return _beside_point(label, view, shown, laid, (first, wide), taken)
    return _beside_line(label, view, shown, laid, (first, wide), taken)


def _beside_point(
    label: Label, view: View, shown: Seen, laid: Laid, widths: tuple[float, float], taken: _Taken
) -> tuple[Primitive, ...]:
    """RISE and DROP: right, left, above, below, then farther off with a leader; they are the last to go."""
    x, y = view.to_px(shown.points[0])
    radius = laid.straight.spec.covered_diameter_mm / 2 * view.scale
    first, wide = widths
    if radius * 2 < 3:
        return ()
    for extra in (0.0, LEADER_PX, 2 * LEADER_PX):
        off = radius + CLEAR_PX + 1 + extra
        lift = 0.0 if not extra else off * 0.8
        places = ((x + off, y - lift), (x - off - wide, y - lift), (x + off, y + lift), (x - off - wide, y + lift))
        if not extra:
            places = (*places[:2], (x - wide / 2, y - off - HIGH_PX / 2), (x - wide / 2, y + off + HIGH_PX / 2))
        for left, middle in places:
            if taken.takes(Box(left - 1, middle - HIGH_PX / 2, left + wide + 1, middle + HIGH_PX / 2)):
                leader: tuple[Primitive, ...] = ()
                if extra:
                    near = left - 3 if left > x else left + wide + 3
                    leader = (Polyline(((x, y), (near, middle)), "dimension", "dim"),)
                return (*leader, *_level_words(label, left, middle, first))
    return ()


def _beside_line(
    label: Label, view: View, shown: Seen, laid: Laid, widths: tuple[float, float], taken: _Taken
) -> tuple[Primitive, ...]:
    """Beside a straight, at its middle or a third of it, on one side or the other."""
    (x0, y0), (x1, y1) = view.to_px(shown.points[0]), view.to_px(shown.points[-1])
    long = ((x1 - x0) ** 2 + (y1 - y0) ** 2) ** 0.5
    diameter = laid.straight.spec.covered_diameter_mm * view.scale
    first, wide = widths
    if long < LEAST_LONG_PX or diameter < LEAST_WIDE_PX or long < wide + 12:
        return ()
    off = diameter / 2 * 1.12 + CLEAR_PX + HIGH_PX / 2
    upright = abs(y1 - y0) > 2 * abs(x1 - x0)
    for share in (0.5, 0.3, 0.7, 0.15, 0.85):
        x, y = x0 + (x1 - x0) * share, y0 + (y1 - y0) * share
        if upright:
            for side in (-1, 1):
                middle = x + side * off
                box = Box(middle - HIGH_PX / 2, y - wide / 2 - 1, middle + HIGH_PX / 2, y + wide / 2 + 1)
                if taken.takes(box):
                    return _turned_words(label, middle, y + wide / 2, first)
            continue
        slope = abs((y1 - y0) / (x1 - x0)) if x1 != x0 else 0.0
        lift = off + slope * wide / 2
        for side in (-1, 1):
            middle = y + side * lift
            if taken.takes(Box(x - wide / 2 - 1, middle - HIGH_PX / 2, x + wide / 2 + 1, middle + HIGH_PX / 2)):
                return _level_words(label, x - wide / 2, middle, first)
    return ()


def _level_words(label: Label, left: float, middle: float, first: float) -> tuple[Primitive, ...]:
    return (
        Text((left, middle), label.bold, "tiny", bold=True, halo="sheet"),
        Text((left + first + BETWEEN_PX, middle), label.rest, "tiny", colour="dim", halo="sheet"),
    )


def _turned_words(label: Label, middle: float, low: float, first: float) -> tuple[Primitive, ...]:
    return (
        Text((middle, low), label.bold, "tiny", bold=True, turn_deg=90, halo="sheet"),
        Text((middle, low - first - BETWEEN_PX), label.rest, "tiny", colour="dim", turn_deg=90, halo="sheet"),
    )
