"""The heads of the stocks on the bench, and their tabs in a narrow window: how many sections, and how well packed."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from layoutest.drawing.primitives import Box, Rect, Text
from layoutest.editor.bench_columns import HEAD_PX, INSET_PX, key_in_hand
from layoutest.editor.bench_state import BOLD, REGULAR
from layoutest.editor.tally import money_words, underline
from layoutest.editor.wrapping import shortened, wrapped

if TYPE_CHECKING:
    from collections.abc import Sequence

    from layoutest.drawing.primitives import Primitive
    from layoutest.editor.bench_columns import Arranged, Column
    from layoutest.editor.bench_state import BenchMarks, BenchState, StockKey
    from layoutest.editor.picture import Measure
    from layoutest.live.live import Live
    from layoutest.live.stock import LiveStock

INK = {"proven": "proven", "packed": "dim", "quick": "unproven"}
TAB_HIGH_PX, TAB_INNER_PX = 24.0, 10.0
IN_VIEW_PX = 150.0


class Tab(NamedTuple):
    """A tab of a stock; `more` is how many stocks it stands for beside its own, where not all have room."""

    key: StockKey
    box: Box
    more: int = 0


def stock_words(key: StockKey) -> tuple[str, str]:
    """The name of a stock in two parts: bore by thickness, and the covering."""
    covering, bore_mm, thickness_mm = key
    return f"{bore_mm:g} × {thickness_mm:g}", covering.replace("-", " ")


def counted(count: int) -> str:
    """So many sections, in words."""
    return f"{count:,} section{'s' if count != 1 else ''}"


def gap_words(stock: LiveStock, currency: str) -> str:
    """How far above the least that no plan can go below a packed stock may be."""
    plan = stock.plan
    over = plan.bought - plan.at_least
    if over > 0:
        return f"within {counted(over)}"
    return "" if stock.section.price is None else f"within {money_words(plan.cost - plan.cost_at_least, currency)}"


def heads(live: Live, view: Arranged, bench: BenchState, marks: BenchMarks, measure: Measure) -> list[Primitive]:
    """A head over the columns of each stock: its name at the left, its count and how it is packed at the right."""
    parts: list[Primitive] = []
    for key in dict.fromkeys(column.key for column in view.columns):
        columns = [column for column in view.columns if column.key == key]
        right = columns[-1].x + columns[-1].width
        middle = columns[0].y - HEAD_PX + 20
        stock = live.stocks.get(key)
        if stock is None:
            begin = right
            parts += _not_packed(live, columns[0], measure)
        elif view.overview:
            words = f"{in_view(view, stock)}, {'longest offcut first' if bench.longest_first else 'in cutting order'}"
            parts.append(Text((right, middle), words, "tiny", colour="dim", align="right"))
            begin = right - measure(words, "tiny", REGULAR)
        else:
            found, begin = _count(live, stock, (columns[0].x, right), middle, marks, measure)
            parts += found
        parts += _name(key, columns[0].x, begin, middle, measure)
    return parts


def _name(key: StockKey, left: float, right: float, middle: float, measure: Measure) -> list[Primitive]:
    size, covering = stock_words(key)
    parts: list[Primitive] = [Text((left, middle), size, bold=True)]
    x = left + measure(size, "base", BOLD) + 8
    room = right - 12 - x
    if room >= 40:
        parts.append(Text((x, middle), shortened(covering, room, measure), colour="dim"))
    return parts


def _count(
    live: Live, stock: LiveStock, ends: tuple[float, float], middle: float, marks: BenchMarks, measure: Measure
) -> tuple[list[Primitive], float]:
    """The count of sections with its change and how it is packed, flush right; and where it begins."""
    left, right = ends
    room = right - left - measure(stock_words(stock.key)[0], "base", BOLD) - 20
    change = marks.changes.get(stock.key, 0)
    count = counted(stock.count)
    shown = f"{change:+,}".replace("-", "−") if change else ""
    needed = measure(count, "base", BOLD) + (measure(shown, "base", BOLD) + 8 if change else 0) + 12
    parts, x = _standing(live, stock, right, room - needed, middle, measure)
    x -= 12
    if change:
        parts.append(Text((x, middle), shown, bold=True, colour="more" if change > 0 else "less", align="right"))
        x -= measure(shown, "base", BOLD) + 8
    parts.append(Text((x, middle), count, bold=True, align="right"))
    x -= measure(count, "base", BOLD)
    left_out = len(stock.refused_snags)
    words = f"{left_out} run{'s' if left_out != 1 else ''} left out"
    wide = measure(words, "tiny", BOLD)
    if left_out and x - 12 - wide > right - room:
        parts.append(Text((x - 12, middle), words, "tiny", bold=True, colour="snag_error", align="right"))
        x -= 12 + wide
    return parts, x


def _standing(
    live: Live, stock: LiveStock, right: float, room: float, middle: float, measure: Measure
) -> tuple[list[Primitive], float]:
    """How a stock is packed, flush right, and where that begins; the gap is told where there is room."""
    words: str = stock.state
    gap = gap_words(stock, live.book.currency) if stock.state == "packed" else ""
    if gap and measure(f"packed, {gap}", "tiny", BOLD) <= room:
        words = f"packed, {gap}"
    wide = measure(words, "tiny", BOLD)
    parts: list[Primitive] = [Text((right, middle), words, "tiny", bold=True, colour=INK[stock.state], align="right")]
    if stock.state != "packed":
        parts += underline(right - wide, right, middle + 8, proven=stock.state == "proven")
    return parts, right - wide


def _not_packed(live: Live, column: Column, measure: Measure) -> list[Primitive]:
    """Why there is not one section of a stock."""
    length_mm = live.book.sections[column.key].length_mm
    says = f"No section of {length_mm} mm can hold a run of it with its mitres. The snags say what to do."
    lines = wrapped(says, column.width, measure)[:2]
    return [Text((column.x, column.y + 8 + 18 * at), line, colour="snag_error") for at, line in enumerate(lines)]


def in_view(view: Arranged, stock: LiveStock) -> str:
    """How many sections of a stock are in view, in words."""
    shown = sum(len(column.sections) for column in view.columns if column.key == stock.key)
    return f"all {stock.count:,} in view" if shown == stock.count else f"{shown} of {stock.count:,} in view"


def tabs_of(live: Live, box: Box, bench: BenchState, measure: Measure) -> list[Tab]:
    """The tabs of the stocks; where not all have room, the first ones and the one in hand."""
    keys = sorted({*live.stocks, *live.drawn.lots})
    hand = key_in_hand(live, bench)
    room = box.high_x - IN_VIEW_PX - box.low_x - INSET_PX
    wide = {key: _tab_wide(live.stocks.get(key), key, measure, chosen=key == hand) for key in keys}
    shown = _that_fit(keys, wide, hand, room)
    tabs: list[Tab] = []
    x, y = box.low_x + INSET_PX - 2, box.low_y + 5
    for key in shown:
        tabs.append(Tab(key, Box(x, y, x + wide[key], y + TAB_HIGH_PX)))
        x += wide[key] + 4
    hidden = [key for key in keys if key not in shown]
    if hidden:
        tabs.append(Tab(hidden[0], Box(x, y, x + 40, y + TAB_HIGH_PX), len(hidden)))
    return tabs


def _that_fit(
    keys: Sequence[StockKey], wide: dict[StockKey, float], hand: StockKey | None, room: float
) -> list[StockKey]:
    """The stocks whose tabs have room, beside a small one for all others; the one in hand is always among them."""
    if sum(wide.values()) + 4 * len(keys) <= room:
        return list(keys)
    left = room - 44 - (wide[hand] + 4 if hand else 0)
    shown = []
    for key in keys:
        if key != hand:
            left -= wide[key] + 4
        if key == hand or left >= 0:
            shown.append(key)
    return shown


def _tab_wide(stock: LiveStock | None, key: StockKey, measure: Measure, *, chosen: bool) -> float:
    """The width of a tab, with room for a change, so that no tab jumps while a leg is dragged."""
    wide = measure(stock_words(key)[0], "base", BOLD) + 8 + measure(f"{stock.count if stock else 0}", "base", BOLD)
    wide += 8 + measure("+8", "base", BOLD) + 2 * TAB_INNER_PX
    if stock and _tells_state(stock, chosen=chosen):
        wide += 8 + measure(stock.state, "tiny", BOLD)
    return wide


def _tells_state(stock: LiveStock, *, chosen: bool) -> bool:
    return chosen or stock.state == "quick"


def tab_parts(live: Live, tab: Tab, marks: BenchMarks, measure: Measure, *, chosen: bool) -> list[Primitive]:
    """A tab: the stock's name, its count, the change and how it is packed."""
    box, stock = tab.box, live.stocks.get(tab.key)
    x, middle = box.low_x + TAB_INNER_PX, (box.low_y + box.high_y) / 2
    if tab.more:
        return [Text((x, middle), f"+{tab.more}", colour="dim")]
    size = stock_words(tab.key)[0]
    parts: list[Primitive] = []
    if chosen:
        wide = box.high_x - box.low_x
        parts.append(Rect(box.low_x, box.low_y, wide, TAB_HIGH_PX, "field", "field", "border", "field"))
    parts.append(Text((x, middle), size, bold=chosen))
    x += measure(size, "base", chosen) + 8
    count = f"{stock.count}" if stock else "0"
    parts.append(Text((x, middle), count, colour="text" if chosen else "dim"))
    x += measure(count, "base", REGULAR) + 8
    change = marks.changes.get(tab.key, 0)
    if change:
        shown = f"{change:+}".replace("-", "−")
        parts.append(Text((x, middle), shown, bold=True, colour="more" if change > 0 else "less"))
        x += measure(shown, "base", BOLD) + 8
    if stock and _tells_state(stock, chosen=chosen):
        wide = measure(stock.state, "tiny", BOLD)
        parts.append(Text((x, middle - 1), stock.state, "tiny", bold=True, colour=INK[stock.state]))
        if stock.state != "packed":
            parts += underline(x, x + wide, middle + 6, proven=stock.state == "proven")
    return parts


def tabs(
    live: Live, box: Box, view: Arranged, bench: BenchState, marks: BenchMarks, measure: Measure
) -> list[Primitive]:
    """All tabs, and at the right how much of the stock in hand is in view."""
    hand = key_in_hand(live, bench)
    parts: list[Primitive] = []
    for tab in tabs_of(live, box, bench, measure):
        parts += tab_parts(live, tab, marks, measure, chosen=tab.key == hand and not tab.more)
    stock = live.stocks.get(hand) if hand else None
    if stock:
        at = (box.high_x - INSET_PX, box.low_y + 17)
        parts.append(Text(at, in_view(view, stock), "tiny", colour="dim", align="right"))
    elif view.columns:
        parts += _not_packed(live, view.columns[0], measure)
    return parts
