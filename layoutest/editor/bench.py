"""The bench: the sections being filled while somebody draws, and what a place on it means."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from layoutest.drawing.primitives import Box, Polyline, Rect, Text
from layoutest.editor.bench_bar import bar_parts, end_angles, slots_of
from layoutest.editor.bench_columns import BAR_PX, HEAD_PX, INSET_PX, PITCH_PX, Column, arranged, shown_stocks
from layoutest.editor.bench_overview import overview_parts, overview_target
from layoutest.editor.tally import underline

if TYPE_CHECKING:
    from collections.abc import Mapping

    from layoutest.drawing.primitives import Primitive
    from layoutest.editor.bench_columns import Arranged
    from layoutest.editor.bench_state import BenchState, StockKey
    from layoutest.editor.picture import Measure
    from layoutest.live.lit import Lit
    from layoutest.live.live import Live
    from layoutest.live.stock import LiveStock

GRIP_PX = 32.0


class BenchTarget(NamedTuple):
    """What a place on the bench means: a `piece`, a `section`, a `stock` (its head or tab), or the `grip`.

    `section` counts from 1; `piece` is its number in the section from 0, −1 for none.
    """

    kind: str
    key: StockKey | None = None
    section: int = 0
    piece: int = -1
    box: Box = Box(0, 0, 0, 0)


class BenchMarks(NamedTuple):
    """What is lit, and the runs that are picked; how many sections of each stock the last edit brought."""

    lit: Lit
    picked: frozenset[str]
    changes: Mapping[StockKey, int]


def bench_parts(live: Live, box: Box, bench: BenchState, marks: BenchMarks, measure: Measure) -> tuple[Primitive, ...]:
    """The bench as primitives."""
    parts: list[Primitive] = [Rect(box.low_x, box.low_y, box.high_x - box.low_x, 1, "border")]
    middle = (box.low_x + box.high_x) / 2
    parts.append(Rect(middle - GRIP_PX / 2, box.low_y + 4, GRIP_PX, 3, "border"))
    stocks = shown_stocks(live)
    if not stocks:
        at = (box.low_x + INSET_PX, box.low_y + HEAD_PX)
        return (*parts, Text(at, "No sections yet: the first leg brings them", colour="dim"))
    view = arranged(live, box, bench)
    if view.tabs:
        parts += _tabs(live, box, view, marks, measure)
    else:
        parts += _heads(live, view, marks, measure)
    if view.overview:
        parts += overview_parts(live, box, view, bench, measure)
    for column in view.columns:
        parts += _column(live, column, marks, measure)
    if view.total > view.fits:
        parts += _scroll_bar(box, view)
    return tuple(parts)


def stock_words(key: StockKey) -> tuple[str, str]:
    """The name of a stock in two parts: bore by thickness, and the covering."""
    covering, bore_mm, thickness_mm = key
    return f"{bore_mm:g} × {thickness_mm:g}", covering.replace("-", " ")


def _heads(live: Live, view: Arranged, marks: BenchMarks, measure: Measure) -> list[Primitive]:
    """A head over the columns of each stock: its name at the left, its count and how it is packed at the right."""
    parts: list[Primitive] = []
    for key in dict.fromkeys(column.key for column in view.columns):
        columns = [column for column in view.columns if column.key == key]
        stock = live.stocks[key]
        left, right, middle = columns[0].x, columns[-1].x + columns[-1].width, columns[0].y - HEAD_PX + 20
        size, covering = stock_words(key)
        wide = measure(size, "base", True)
        right_parts, begin = _count(stock, right, middle, marks.changes.get(key, 0), measure)
        parts.append(Text((left, middle), size, bold=True))
        if left + wide + 8 + measure(covering, "base", False) < begin - 12:
            parts.append(Text((left + wide + 8, middle), covering, colour="dim"))
        parts += right_parts
    return parts


def _count(stock: LiveStock, right: float, middle: float, change: int, measure: Measure) -> tuple[list[Primitive], float]:
    """The count of sections with its change and how it is packed, flush right; and where it begins."""
    parts: list[Primitive] = []
    word, colour = {"proven": ("proven", "proven"), "packed": ("packed", "dim"), "quick": ("quick", "unproven")}[stock.state]
    wide = measure(word, "tiny", True)
    parts.append(Text((right, middle), word, "tiny", bold=True, colour=colour, align="right"))
    if stock.state != "packed":
        parts += underline(right - wide, right, middle + 8, proven=stock.state == "proven")
    x = right - wide - 12
    if change:
        words = f"{change:+}".replace("-", "−")
        parts.append(Text((x, middle), words, bold=True, colour="more" if change > 0 else "less", align="right"))
        x -= measure(words, "base", True) + 8
    count = stock.count
    words = f"{count} section{'s' if count != 1 else ''}"
    parts.append(Text((x, middle), words, bold=True, align="right"))
    return parts, x - measure(words, "base", True)


def tab_boxes(live: Live, box: Box, measure: Measure) -> list[tuple[LiveStock, Box]]:
    """The tabs of the stocks in a narrow window, as many as there is room for."""
    tabs: list[tuple[LiveStock, Box]] = []
    x = box.low_x + INSET_PX
    for stock in shown_stocks(live):
        size, _ = stock_words(stock.key)
        wide = measure(f"{size}  {stock.count}", "base", True) + 24
        if stock.state != "packed":
            wide += 44
        if x + wide > box.high_x - 100:
            break
        tabs.append((stock, Box(x, box.low_y + 5, x + wide, box.low_y + 29)))
        x += wide + 4
    return tabs


def _tabs(live: Live, box: Box, view: Arranged, marks: BenchMarks, measure: Measure) -> list[Primitive]:
    parts: list[Primitive] = []
    hand = view.columns[0].key if view.columns else None
    for stock, tab in tab_boxes(live, box, measure):
        chosen = stock.key == hand
        if chosen:
            parts.append(Rect(tab.low_x, tab.low_y, tab.high_x - tab.low_x, 24, "field", "field", "border", "field"))
        size, _ = stock_words(stock.key)
        middle = (tab.low_y + tab.high_y) / 2
        parts.append(Text((tab.low_x + 10, middle), size, bold=chosen))
        x = tab.low_x + 10 + measure(size, "base", chosen) + 8
        change = marks.changes.get(stock.key, 0)
        count = f"{stock.count}"
        parts.append(Text((x, middle), count, bold=bool(change), colour="more" if change > 0 else "dim"))
        if stock.state != "packed":
            colour = "proven" if stock.state == "proven" else "unproven"
            wide = measure(stock.state, "tiny", True)
            parts.append(Text((tab.high_x - 8, middle - 1), stock.state, "tiny", bold=True, colour=colour, align="right"))
            parts += underline(tab.high_x - 8 - wide, tab.high_x - 8, middle + 6, proven=stock.state == "proven")
    shown = sum(len(column.sections) for column in view.columns)
    total = live.stocks[hand].count if hand else 0
    words = f"all {total} in view" if shown == total else f"{shown} of {total} in view"
    parts.append(Text((box.high_x - INSET_PX, box.low_y + 17), words, "tiny", colour="dim", align="right"))
    return parts


def _column(live: Live, column: Column, marks: BenchMarks, measure: Measure) -> list[Primitive]:
    stock = live.stocks[column.key]
    parts: list[Primitive] = []
    lit: list[Primitive] = []
    for row, number in enumerate(column.sections):
        y = column.y + row * PITCH_PX
        pointed = marks.lit.section == (column.key, number + 1)
        parts += _number(column, number + 1, y, pointed=pointed)
        parts += bar_parts(stock, number, column.bar_x, y, column.bar_width, BAR_PX, measure)
        if pointed:
            lit += _outlined(Box(column.bar_x, y, column.bar_x + column.bar_width, y + BAR_PX))
        elif marks.lit.runs or marks.picked:
            lit += _marked(stock, number, column, y, marks)
    return parts + lit


def _number(column: Column, number: int, y: float, *, pointed: bool) -> list[Primitive]:
    middle = y + BAR_PX / 2
    words = Text((column.bar_x - 6, middle), f"{number}", "tiny", bold=pointed, colour="marker_text" if pointed else "dim", align="right")
    return [Rect(column.x - 2, y - 1, 24, BAR_PX + 2, "marker"), words] if pointed else [words]


def _outlined(box: Box) -> list[Primitive]:
    corners = ((box.low_x, box.low_y), (box.high_x, box.low_y), (box.high_x, box.high_y), (box.low_x, box.high_y))
    return [Polyline(corners, "halo", "marker", closed=True), Polyline(corners, "selection", "hover", closed=True)]


def _marked(stock: LiveStock, number: int, column: Column, y: float, marks: BenchMarks) -> list[Primitive]:
    """The pieces of runs that are pointed at, or picked."""
    cut = stock.plan.sections[number]
    px = column.bar_width / max(stock.section.length_mm, cut.length_mm)
    parts: list[Primitive] = []
    slots = None
    for place in range(len(cut.pieces)):
        name = stock.by_place[number, place][0].named.name
        if name not in marks.lit.runs and name not in marks.picked:
            continue
        slots = slots or slots_of(stock, cut, column.bar_x, px)
        slot = slots[place]
        left, right = slot.left_lean * slot.left_px, slot.right_lean * slot.right_px
        corners = (
            (slot.low + left, y),
            (slot.high + right, y),
            (slot.high - right, y + BAR_PX),
            (slot.low - left, y + BAR_PX),
        )
        if name in marks.lit.runs:
            parts.append(Polyline(corners, "halo", "marker", closed=True))
            parts.append(Polyline(corners, "selection", "hover", closed=True))
        else:
            parts.append(Polyline(corners, "selection", closed=True))
    return parts


def _scroll_bar(box: Box, view: Arranged) -> list[Primitive]:
    """Where in all the columns those in view stand."""
    left, right = box.low_x + INSET_PX, box.high_x - INSET_PX
    if view.overview:
        left = view.columns[0].x if view.columns else left
    wide = right - left
    y = box.high_y - 5
    begin, share = view.first / view.total, view.fits / view.total
    return [Rect(left, y, wide, 3, "rule"), Rect(left + wide * begin, y, wide * share, 3, "border")]


def target_at(live: Live, box: Box, bench: BenchState, point: tuple[float, float], measure: Measure) -> BenchTarget | None:
    """What a place on the bench means."""
    x, y = point
    if y < box.low_y + 8:
        return BenchTarget("grip")
    view = arranged(live, box, bench)
    if view.tabs:
        for stock, tab in tab_boxes(live, box, measure):
            if tab.low_x <= x < tab.high_x and tab.low_y <= y < tab.high_y:
                return BenchTarget("stock", stock.key, box=tab)
    for column in view.columns:
        if not column.x - 2 <= x < column.x + column.width:
            continue
        if y < column.y:
            return BenchTarget("stock", column.key, box=Box(column.x, box.low_y + 8, column.x + column.width, column.y))
        row = int((y - column.y) // PITCH_PX)
        if row < len(column.sections):
            return _in_bar(live, column, row, x)
    return overview_target(live, box, view, point) if view.overview else None


def _in_bar(live: Live, column: Column, row: int, x: float) -> BenchTarget:
    stock, number = live.stocks[column.key], column.sections[row]
    cut = stock.plan.sections[number]
    px = column.bar_width / max(stock.section.length_mm, cut.length_mm)
    y = column.y + row * PITCH_PX
    for place, piece in enumerate(cut.pieces):
        low, high = column.bar_x + piece.from_mm * px, column.bar_x + (piece.from_mm + piece.length_mm) * px
        if low <= x < high:
            return BenchTarget("piece", column.key, number + 1, place, Box(low, y, high, y + BAR_PX))
    return BenchTarget("section", column.key, number + 1, box=Box(column.x, y, column.x + column.width, y + BAR_PX))


def tip_of(live: Live, target: BenchTarget) -> tuple[str, ...]:
    """What the tooltip of a place on the bench says."""
    stock = live.stocks.get(target.key) if target.key else None
    if stock is None or not target.section or target.section > stock.count:
        return ()
    cut = stock.plan.sections[target.section - 1]
    size, _ = stock_words(stock.key)
    if target.piece < 0:
        sums = " + ".join(f"{piece.length_mm}" for piece in cut.pieces)
        total = sum(piece.length_mm for piece in cut.pieces)
        lost = cut.wedge_mm + cut.kerf_mm + cut.scrap_mm
        rest = f"offcut {cut.offcut_mm}" if cut.offcut_mm else f"wedges, cuts and scrap {lost}"
        van = " from the van" if cut.from_van else ""
        summed = f"{sums} = {total}" if len(cut.pieces) > 1 else f"{total} used"
        return f"Section {target.section}{van}, {size}", summed, rest
    placed, labelled = stock.by_place[target.section - 1, target.piece]
    piece = cut.pieces[target.piece]
    head = f"{labelled.label}, section {target.section} of {size}"
    where = placed.named.leg.leg.area
    second = f"{where + ', ' if where else ''}{piece.length_mm} long"
    cuts = []
    for side, angle in zip(("left", "right"), end_angles(stock.plan.problem, piece), strict=True):
        if angle:
            cuts.append(f"{side} end slanted {angle:g}°")
    if piece.turned:
        cuts.append("turned")
    if labelled.holes:
        cuts.append(f"{len(labelled.holes)} hole{'s' if len(labelled.holes) > 1 else ''}")
    return (head, second, ", ".join(cuts)) if cuts else (head, second)


