"""The bench: the sections being filled while somebody draws, and what a place on it means."""

from __future__ import annotations

from collections import defaultdict
from typing import TYPE_CHECKING, NamedTuple

from layoutest.drawing.primitives import Box, Rect, Text
from layoutest.editor.bench_bar import bar_parts, scale_of, slots_of
from layoutest.editor.bench_columns import BAR_PX, HEAD_PX, INSET_PX, PITCH_PX, arranged, order_of, shown_stocks
from layoutest.editor.bench_cut import cuts_of
from layoutest.editor.bench_heads import heads, tabs, tabs_of
from layoutest.editor.bench_marks import below_and_above, number_parts
from layoutest.editor.bench_overview import PITCH_PX as SMALL_PITCH_PX
from layoutest.editor.bench_overview import block_parts, blocks_of, frame_of, ground_of, overview_head
from layoutest.editor.bench_state import BenchMarks, BenchTarget
from layoutest.editor.bench_tips import tip_of
from layoutest.editor.regions import inside
from layoutest.editor.wrapping import wrapped

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from layoutest.drawing.primitives import Point, Primitive
    from layoutest.editor.bench_columns import Arranged, Column
    from layoutest.editor.bench_cut import Cut
    from layoutest.editor.bench_overview import Block
    from layoutest.editor.bench_state import BenchState, StockKey
    from layoutest.editor.picture import Measure
    from layoutest.live.live import Live
    from layoutest.live.stock import LiveStock

__all__ = ["BenchMarks", "BenchPicture", "BenchTarget", "bench_parts", "bench_picture", "target_at", "tip_of"]

GRIP_PX, GRIP_HIGH_PX = 40.0, 8.0
Kept = dict[tuple["Cut", Box], "tuple[Primitive, ...]"]
Drawn = tuple["LiveStock", "Block", bool, "list[Primitive]"]


class BenchPicture(NamedTuple):
    """The bench as primitives; all else is what the next picture is made from: sections, bars and blocks by content."""

    parts: tuple[Primitive, ...]
    cuts: dict[StockKey, tuple[LiveStock, dict[int, Cut]]]
    kept: Kept
    blocks: dict[StockKey, Drawn]


def bench_picture(
    live: Live, box: Box, bench: BenchState, marks: BenchMarks, measure: Measure, before: BenchPicture | None = None
) -> BenchPicture:
    """Draw the bench; what did not change since `before` is used again."""
    view = arranged(live, box, bench)
    middle = (box.low_x + box.high_x) / 2
    parts: list[Primitive] = [
        Rect(box.low_x, box.low_y, box.high_x - box.low_x, 1, "border"),
        Rect(middle - GRIP_PX / 2, box.low_y + 2, GRIP_PX, 2, "border"),
    ]
    if not shown_stocks(live):
        return BenchPicture((*parts, *_empty(live, box, measure)), {}, {}, {})
    before = before or BenchPicture((), {}, {}, {})
    blocks = blocks_of(live, box, bench, view) if view.overview else []
    fresh = [block for block in blocks if not _is_known(live, block, bench, before)]
    cuts = _cuts(live, bench, view, fresh, before)
    made = {block.key: before.blocks[block.key] for block in blocks if block not in fresh}
    for block in fresh:
        stock, order = live.stocks[block.key], order_of(live.stocks[block.key], longest_first=bench.longest_first)
        shown = [cuts[block.key][1][number] for number in order[block.begin : block.end]]
        made[block.key] = stock, block, bench.longest_first, block_parts(stock, block, shown, measure)
    parts += tabs(live, box, view, bench, marks, measure) if view.tabs else heads(live, view, bench, marks, measure)
    if view.overview:
        parts += overview_head(live, box, measure) + _overview(view, [made[block.key] for block in blocks])
    kept: Kept = {}
    for column in view.columns:
        if column.sections:
            parts += _column(column, cuts[column.key][1], marks, before.kept, kept, measure)
    if view.total > view.fits:
        parts += _scroll_bar(box, view)
    return BenchPicture(tuple(parts), cuts, kept, made)


def _is_known(live: Live, block: Block, bench: BenchState, before: BenchPicture) -> bool:
    known = before.blocks.get(block.key)
    return known is not None and known[:3] == (live.stocks[block.key], block, bench.longest_first)


def _cuts(
    live: Live, bench: BenchState, view: Arranged, blocks: Sequence[Block], before: BenchPicture
) -> dict[StockKey, tuple[LiveStock, dict[int, Cut]]]:
    """All sections that are drawn, by stock and number; each stock is asked once."""
    wanted: defaultdict[StockKey, list[int]] = defaultdict(list)
    for column in view.columns:
        wanted[column.key] += column.sections
    for block in blocks:
        order = order_of(live.stocks[block.key], longest_first=bench.longest_first)
        wanted[block.key] += order[block.begin : block.end]
    found = {}
    for key, numbers in wanted.items():
        if numbers:
            stock = live.stocks[key]
            held, known = before.cuts.get(key, (None, {}))
            cuts = {number: known[number] for number in numbers if number in known} if held is stock else {}
            missing = [number for number in dict.fromkeys(numbers) if number not in cuts]
            found[key] = stock, cuts | dict(zip(missing, cuts_of(stock, missing), strict=True))
    return found


def bench_parts(live: Live, box: Box, bench: BenchState, marks: BenchMarks, measure: Measure) -> tuple[Primitive, ...]:
    """The bench as primitives, all made anew."""
    return bench_picture(live, box, bench, marks, measure).parts


def _empty(live: Live, box: Box, measure: Measure) -> list[Primitive]:
    """What is said where there is no section: why, where runs are drawn that none can hold."""
    if not live.unmade:
        at = (box.low_x + INSET_PX, box.low_y + HEAD_PX)
        return [Text(at, "No sections yet: the first leg brings them", colour="dim")]
    says = dict.fromkeys(f"{snag.says} {snag.do}" for snag in live.unmade)
    room = box.high_x - box.low_x - 2 * INSET_PX
    lines = [line for one in says for line in wrapped(one, room, measure)]
    most = max(int((box.high_y - box.low_y - HEAD_PX) // 18), 1)
    return [
        Text((box.low_x + INSET_PX, box.low_y + HEAD_PX + 18 * at), line, colour="snag_error")
        for at, line in enumerate(lines[:most])
    ]


def _column(
    column: Column, cuts: Mapping[int, Cut], marks: BenchMarks, before: Kept, kept: Kept, measure: Measure
) -> list[Primitive]:
    """The bars of a column with their numbers; what is pointed at lies on top of its neighbours."""
    parts: list[Primitive] = []
    on_top: list[Primitive] = []
    marked = bool(marks.lit.runs or marks.picked)
    for row, number in enumerate(column.sections):
        bar, cut = column.bar(row), cuts[number]
        key = (cut, bar)
        made = before.get(key) or bar_parts(cut, bar.low_x, bar.low_y, bar.high_x - bar.low_x, BAR_PX, measure)
        kept[key] = made
        pointed = marks.lit.section == (column.key, number + 1)
        below: list[Primitive] = []
        above: list[Primitive] = []
        if pointed or marked:
            below, above = below_and_above(cut, bar, marks, pointed=pointed)
        numbers = number_parts(number + 1, bar, measure, pointed=bool(below))
        into = on_top if below else parts
        into += (*below, *numbers, *made, *above)
    return parts + on_top


def _overview(view: Arranged, blocks: Sequence[Drawn]) -> list[Primitive]:
    """The blocks of the overview, the one in hand on a ground of its own, with a frame round what is in view."""
    parts: list[Primitive] = []
    for _, block, _, drawn in blocks:
        in_hand = bool(view.columns) and view.columns[0].key == block.key
        parts += (ground_of(block), *drawn, *frame_of(block, view)) if in_hand else drawn
    return parts


def _scroll_bar(box: Box, view: Arranged) -> list[Primitive]:
    """Where in all the columns those in view stand."""
    left, right = view.columns[0].x, box.high_x - INSET_PX
    wide = right - left
    y = box.high_y - 5
    begin, share = view.first / view.total, view.fits / view.total
    return [Rect(left, y, wide, 3, "rule"), Rect(left + wide * begin, y, max(wide * share, 24), 3, "border")]


def target_at(live: Live, box: Box, bench: BenchState, point: Point, measure: Measure) -> BenchTarget | None:
    """What a place on the bench means; None for its bare ground."""
    if not inside(box, point):
        return None
    if point[1] < box.low_y + GRIP_HIGH_PX and abs(point[0] - (box.low_x + box.high_x) / 2) <= GRIP_PX:
        return BenchTarget("grip", box=Box(box.low_x, box.low_y, box.high_x, box.low_y + GRIP_HIGH_PX))
    view = arranged(live, box, bench)
    if view.tabs:
        for tab in tabs_of(live, box, bench, measure):
            if inside(tab.box, point):
                return BenchTarget("stock", tab.key, box=tab.box)
    for column in view.columns:
        if column.x - INSET_PX <= point[0] < column.x + column.width:
            return _in_column(live, box, view, column, point)
    return _in_overview(live, box, bench, view, point) if view.overview else None


def _in_column(live: Live, box: Box, view: Arranged, column: Column, point: Point) -> BenchTarget | None:
    if point[1] < column.y:
        head = Box(column.x, box.low_y + GRIP_HIGH_PX, column.x + column.width, column.y - 2)
        return None if view.tabs else BenchTarget("stock", column.key, box=head)
    row = int((point[1] - column.y + (PITCH_PX - BAR_PX) / 2) // PITCH_PX)
    if row >= len(column.sections):
        return None
    number, bar = column.sections[row], column.bar(row)
    (cut,) = cuts_of(live.stocks[column.key], (number,))
    px = scale_of(cut, bar.high_x - bar.low_x)
    for place, (piece, slot) in enumerate(zip(cut.pieces, slots_of(cut, bar.low_x, px), strict=True)):
        if slot.low <= point[0] < slot.high:
            at = Box(slot.low, bar.low_y, slot.high, bar.high_y)
            return BenchTarget("piece", column.key, number + 1, place, at, piece.run, piece.label)
    end = bar.low_x + cut.length_mm * px
    if cut.offcut_mm and end - cut.offcut_mm * px <= point[0] < end:
        at = Box(end - cut.offcut_mm * px, bar.low_y, end, bar.high_y)
        return BenchTarget("offcut", column.key, number + 1, box=at)
    return BenchTarget("section", column.key, number + 1, box=Box(column.x, bar.low_y, bar.high_x, bar.high_y))


def _in_overview(live: Live, box: Box, bench: BenchState, view: Arranged, point: Point) -> BenchTarget | None:
    """The stock, or the section, at a place of the overview."""
    for block in blocks_of(live, box, bench, view):
        if not inside(block.box, point):
            continue
        for place in range(block.begin, block.end):
            at = block.bar(place)
            if inside(at._replace(low_y=at.low_y - 1, high_y=at.low_y - 1 + SMALL_PITCH_PX), point):
                order = order_of(live.stocks[block.key], longest_first=bench.longest_first)
                return BenchTarget("overview", block.key, order[place] + 1, box=at)
        return BenchTarget("stock", block.key, box=block.box)
    return None
