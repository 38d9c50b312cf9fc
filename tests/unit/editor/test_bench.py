"""The bench: where sections stand, what a place on it means, and what it says."""

from __future__ import annotations

import sys
from dataclasses import replace
from decimal import Decimal
from functools import cache
from pathlib import Path
from types import MappingProxyType

import pytest

sys.path.insert(0, str(Path(__file__).parent))
from desk import book, demo, exact, measure

from layoutest.drawing.primitives import Box, Polygon, Polyline, Rect, Text
from layoutest.editor.bench import BenchMarks, bench_parts, bench_picture, target_at, tip_of
from layoutest.editor.bench_columns import BAR_PX, PITCH_PX, arranged, shown_at
from layoutest.editor.bench_cut import cuts_of
from layoutest.editor.bench_heads import gap_words, tabs_of
from layoutest.editor.bench_overview import blocks_of
from layoutest.editor.bench_state import BenchState, height_px, toggle, toggle_order, turned
from layoutest.layout.document import FittingChoice
from layoutest.live.lit import NOTHING_LIT, lit_leg, lit_section
from layoutest.live.live import live_of, with_plans

NONE = BenchMarks(NOTHING_LIT, frozenset(), {})
NORMAL, NARROW, TALL = Box(0, 740, 1600, 972), Box(0, 518, 1024, 672), Box(0, 412, 1600, 972)
TALL_BENCH = BenchState("tall")


@cache
def quick(name="plant-room"):
    return live_of(demo(name), book())


@cache
def packed(name="plant-room"):
    live = quick(name)
    return with_plans(live, [exact(problem) for problem in live.problems_to_pack()])


def words(parts):
    return [part.words for part in parts if isinstance(part, Text)]


def middle(box):
    return (box.low_x + box.high_x) / 2, (box.low_y + box.high_y) / 2


def every_bar(live, box, bench):
    for column in arranged(live, box, bench).columns:
        for row, number in enumerate(column.sections):
            yield column, number, column.bar(row)


def straight_of(sketch, length_mm, **parts):
    return sketch({"n1": (0, 0), "n2": (length_mm, 0)}, {"l1": "n1 n2"}, **parts).layout


# Where sections stand.


@pytest.mark.parametrize(
    ("bench", "window", "high", "rows"),
    [
        (BenchState(), (1600, 1000), 232, 9),
        (BenchState("low"), (1600, 1000), 108, 3),
        (BenchState("tall"), (1600, 1000), 600, 26),
        (BenchState(), (1600, 600), 108, 3),
        (BenchState(), (1024, 700), 154, 5),
    ],
)
def test_heights_hold_whole_rows(bench, window, high, rows):
    assert height_px(bench, *window) == high
    view = arranged(quick(), Box(0, 0, window[0], high), bench)
    assert view.rows == rows
    assert all(column.bar(rows - 1).high_y <= high for column in view.columns)


def test_the_height_goes_round_and_the_order_back_and_forth():
    bench = BenchState(turned=3)
    assert [toggle(bench).height, toggle(toggle(bench)).height] == ["tall", "low"]
    assert toggle(toggle(toggle(bench))) == replace(bench, turned=0)
    assert toggle_order(toggle_order(bench)) == replace(bench, turned=0)
    assert [turned(bench, -5).turned, turned(bench, 2).turned] == [0, 5]


@pytest.mark.parametrize(
    ("width", "fits"), [(1199, 2), (1024, 2), (600, 2), (500, 1), (1200, 3), (1600, 4), (2200, 5), (3840, 9)]
)
def test_columns_are_360_wide_or_more_and_nine_at_most(width, fits):
    view = arranged(quick(), Box(0, 0, width, 232), BenchState())
    assert view.fits == fits
    assert view.tabs == (width < 1200)
    assert view.tabs or all(column.width >= 360 for column in view.columns)
    ends = [column.x + column.width for column in view.columns]
    assert all(low + 22 == pytest.approx(column.x) for low, column in zip(ends, view.columns[1:], strict=False))
    assert ends[-1] <= width - 12 + 1e-6


def test_each_stock_begins_at_the_top_of_a_new_column_in_a_fixed_order():
    live, seen = quick(), []
    bench = BenchState()
    for number in range(arranged(live, NORMAL, bench).total):
        seen += [column.key for column in arranged(live, NORMAL, replace(bench, turned=number)).columns]
    assert list(dict.fromkeys(seen)) == list(live.stocks)
    columns = {column.key: column for column, *_ in every_bar(live, Box(0, 0, 3840, 232), bench) if not column.number}
    assert all(column.sections[0] == 0 for column in columns.values())


def test_bars_are_17_high_at_a_pitch_of_21_behind_a_gutter_of_24():
    (column, _, first), (_, _, second) = list(every_bar(quick(), NORMAL, BenchState()))[:2]
    assert (first.high_y - first.low_y, second.low_y - first.low_y) == (17, 21)
    assert (BAR_PX, PITCH_PX) == (17, 21)
    assert first.low_x - column.x == 24
    assert first.low_y == NORMAL.low_y + 36


def test_the_bench_does_not_turn_beyond_its_end():
    live = quick()
    last = arranged(live, NORMAL, BenchState(turned=1000))
    assert last.first == last.total - last.fits
    assert len(last.columns) == last.fits


def test_longest_offcut_first_keeps_the_numbers_of_the_cutting_order():
    live, bench = packed(), BenchState(longest_first=True)
    for key, stock in live.stocks.items():
        shown = [number for column, number, _ in every_bar(live, Box(0, 0, 3840, 232), bench) if column.key == key]
        offcuts = [stock.plan.sections[number].offcut_mm for number in shown]
        assert offcuts == sorted(offcuts, reverse=True)


def test_where_all_fits_the_tall_bench_needs_no_overview():
    assert not arranged(quick("first-five-minutes"), TALL, TALL_BENCH).overview
    assert arranged(quick(), TALL, TALL_BENCH).overview
    assert not arranged(quick(), NORMAL, BenchState()).overview
    assert not arranged(quick(), NARROW, TALL_BENCH).overview


# Heads and tabs.


def test_a_head_tells_name_count_change_and_standing():
    live = packed()
    key, stock = next(iter(live.stocks.items()))
    assert stock.state == "proven"
    shown = words(bench_parts(live, NORMAL, BenchState(), NONE._replace(changes={key: 2}), measure))
    assert shown[:5] == ["proven", "+2", f"{stock.count} sections", "22 × 25", "stone wool foil"]
    quickly = words(bench_parts(quick(), NORMAL, BenchState(), NONE, measure))
    assert quickly[0] == "quick"
    fewer = bench_parts(live, NORMAL, BenchState(), NONE._replace(changes={key: -1}), measure)
    assert [part.colour for part in fewer if isinstance(part, Text) and part.words == "−1"] == ["less"]


def test_proven_stands_on_two_lines_and_quick_on_a_dashed_one():
    for live, role, heights in ((packed(), "proven", {1}), (quick(), "unproven", {2})):
        rules = [
            part
            for part in bench_parts(live, NORMAL, BenchState(), NONE, measure)
            if role in part and isinstance(part, Rect)
        ]
        assert {rule.height for rule in rules} == heights
        assert len({rule.y for rule in rules}) == (2 if role == "proven" else 1)


def test_what_is_packed_but_not_proven_tells_its_gap():
    live = packed()
    key, stock = next((key, stock) for key, stock in live.stocks.items() if stock.state == "packed")
    plan = stock.plan
    assert plan.bought == plan.at_least
    told = f"packed, within £{plan.cost - plan.cost_at_least}"
    assert plan.cost > plan.cost_at_least
    wide = Box(0, 0, 3840, 232)
    assert told in words(bench_parts(live, wide, BenchState(), NONE, measure))
    assert tip_of(live, target(live, wide, BenchState(), key))[1] == (
        f"No plan takes fewer than {plan.at_least} sections, nor costs less than £{plan.cost_at_least}."
    )
    lower = replace(plan, at_least=plan.bought - 1)
    assert gap_words(replace(stock, exact=(lower, stock.placed)), "GBP") == "within 1 section"
    unpriced = replace(stock, section=replace(stock.section, price=None))
    assert gap_words(unpriced, "GBP") == ""
    cheaper = replace(plan, cost_at_least=plan.cost - Decimal("0.10"))
    assert gap_words(replace(stock, exact=(cheaper, stock.placed)), "EUR") == "within €0.10"


def target(live, box, bench, key):
    """The head of a stock."""
    column = next(column for column in arranged(live, box, bench).columns if column.key == key)
    found = target_at(live, box, bench, (column.x + 30, box.low_y + 20), measure)
    assert (found.kind, found.key) == ("stock", key)
    return found


def test_a_long_name_of_a_covering_is_cut_short():
    live = quick("first-five-minutes")
    key, stock = next(iter(live.stocks.items()))
    named = ("a covering whose name goes on for longer than any head of a column has room for", *key[1:])
    other = replace(live, stocks={named: replace(stock, key=named)}, drawn=replace(live.drawn, lots={named: stock.lot}))
    texts = [part for part in bench_parts(other, NORMAL, BenchState(), NONE, measure) if isinstance(part, Text)]
    (short,) = [text for text in texts if text.words.startswith("a covering")]
    assert short.words.endswith("…")
    (count,) = [text for text in texts if text.words.endswith(("section", "sections"))]
    assert short.at[0] + measure(short.words, "base", False) < count.at[0] - measure(count.words, "base", True)


def test_a_narrow_window_has_tabs_and_two_columns_of_the_stock_in_hand():
    live = packed()
    key = list(live.stocks)[1]
    bench = BenchState(stock=key)
    view = arranged(live, NARROW, bench)
    assert {column.key for column in view.columns} == {key}
    assert (view.fits, view.tabs) == (2, True)
    assert f"all {live.stocks[key].count} in view" in words(bench_parts(live, NARROW, bench, NONE, measure))
    for tab in tabs_of(live, NARROW, bench, measure):
        found = target_at(live, NARROW, bench, middle(tab.box), measure)
        assert (found.kind, found.key, found.box) == ("stock", tab.key, tab.box)


def test_the_tab_in_hand_is_always_there_and_the_rest_are_counted():
    live = packed()
    for width in (500, 700, 1024, 1199):
        box = NARROW._replace(high_x=width)
        for key in live.stocks:
            tabs = tabs_of(live, box, BenchState(stock=key), measure)
            assert key in [tab.key for tab in tabs if not tab.more]
            shown = len([tab for tab in tabs if not tab.more])
            assert shown + sum(tab.more for tab in tabs) == len(live.stocks)
            assert tabs[-1].box.high_x <= width - 100


# Marks.


def test_a_section_that_is_pointed_at_has_a_halo_an_outline_and_a_plate():
    live = packed()
    key = next(iter(live.stocks))
    parts = bench_parts(live, NORMAL, BenchState(), NONE._replace(lit=lit_section(live, key, 2)), measure)
    _, _, bar = list(every_bar(live, NORMAL, BenchState()))[1]
    plate, halo = sorted(
        (part for part in parts if isinstance(part, Rect) and part.fill == "marker"), key=lambda part: part.x
    )
    assert (halo.x, halo.y) == (bar.low_x - 3.5, bar.low_y - 3.5)
    assert plate.x < bar.low_x - 6 < plate.x + plate.width
    (outline,) = [part for part in parts if isinstance(part, Rect) and part.colour == "hover"]
    assert outline.style == "selection"
    (number,) = [part for part in parts if isinstance(part, Text) and part.colour == "marker_text"]
    assert (number.words, number.bold) == ("2", True)
    assert parts.index(halo) < parts.index(number) < parts.index(outline)


def test_the_pieces_of_a_leg_that_is_pointed_at_are_outlined():
    live = packed("first-five-minutes")
    (stock,) = live.stocks.values()
    cuts = cuts_of(stock, range(stock.count))
    assert len(list(every_bar(live, NORMAL, BenchState()))) == stock.count
    for leg in live.layout.legs:
        lit = lit_leg(live, leg)
        count = sum(piece.run in lit.runs for cut in cuts for piece in cut.pieces)
        parts = bench_parts(live, NORMAL, BenchState(), NONE._replace(lit=lit), measure)
        assert count == len([part for part in parts if isinstance(part, Polygon) and part.colour == "hover"]) > 0
        picked = bench_parts(live, NORMAL, BenchState(), NONE._replace(picked=lit.runs), measure)
        assert count == len([part for part in picked if isinstance(part, Polygon) and part.colour == "selection"])
        assert not [part for part in picked if "marker" in part]


# What a place means, and its words.


def test_places_of_a_bar():
    live, bench = packed(), BenchState(longest_first=True)
    column, number, bar = next(iter(every_bar(live, NORMAL, bench)))
    column, number, bar = next(
        one for one in every_bar(live, NORMAL, bench) if live.stocks[one[0].key].plan.sections[one[1]].offcut_mm
    )
    cut = live.stocks[column.key].plan.sections[number]
    point = (bar.low_x + (bar.high_x - bar.low_x) * (1 - cut.offcut_mm / cut.length_mm / 2), bar.low_y + 8)
    found = target_at(live, NORMAL, bench, point, measure)
    assert (found.kind, found.key, found.section, found.piece) == ("offcut", column.key, number + 1, -1)
    assert f"offcut {cut.offcut_mm}" in tip_of(live, found)[2]
    gutter = target_at(live, NORMAL, bench, (column.x + 5, bar.low_y + 8), measure)
    assert (gutter.kind, gutter.section) == ("section", number + 1)
    grip = target_at(live, NORMAL, bench, (800, 744), measure)
    assert (grip.kind, grip.key) == ("grip", None)
    assert target_at(live, NORMAL, bench, (800, 700), measure) is None
    assert target_at(live, NORMAL, bench, (1595, 960), measure) is None


def test_the_tip_of_a_section_adds_up():
    live = packed()
    for key, stock in live.stocks.items():
        for column, number, bar in every_bar(live, Box(0, 0, 3840, 232), BenchState()):
            if column.key == key:
                found = target_at(live, Box(0, 0, 3840, 232), BenchState(), (column.x + 2, bar.low_y + 8), measure)
                lines = tip_of(live, found)
                cut = stock.plan.sections[number]
                assert lines[0].startswith(f"Section {number + 1}, ")
                used = sum(piece.length_mm for piece in cut.pieces)
                assert lines[1] in (
                    f"{used} used",
                    f"{' + '.join(str(piece.length_mm) for piece in cut.pieces)} = {used}",
                )
                rest = (
                    sum(int(word.strip(",")) for word in lines[2].split() if word.strip(",").isdigit())
                    if lines[2:]
                    else 0
                )
                assert used + rest == cut.length_mm


def test_the_tip_of_a_piece(sketch, book):
    """A mitre of 90° in two pieces is cut at 45°."""
    layout = sketch(
        {"n1": (0, 0), "n2": (600, 0), "n3": (600, 600)},
        {"l1": ("n1 n2", {"area": "riser 2"}), "l2": ("n2 n3", {"area": "riser 2"})},
        fittings={"n2": FittingChoice(mitres=1)},
    ).layout
    live = live_of(layout, book)
    tips = []
    for column, number, bar in every_bar(live, NORMAL, BenchState()):
        (cut,) = cuts_of(live.stocks[column.key], (number,))
        for piece in cut.pieces:
            x = bar.low_x + (piece.from_mm + piece.length_mm / 2) * (bar.high_x - bar.low_x) / 1000
            tips.append(tip_of(live, target_at(live, NORMAL, BenchState(), (x, bar.low_y + 8), measure)))
    assert sorted(tip[0] for tip in tips) == ["s1.1-1, section 1, 60 × 40", "s2.1-1, section 2, 60 × 40"]
    assert {tip[1].split(",")[0] for tip in tips} == {"riser 2"}
    assert all("end slanted 45°" in tip[2] for tip in tips)


# What cannot be shown.


def test_an_empty_bench_says_so(sketch, book):
    live = live_of(sketch({}, {}).layout, book)
    assert words(bench_parts(live, NORMAL, BenchState(), NONE, measure)) == [
        "No sections yet: the first leg brings them"
    ]
    assert target_at(live, NORMAL, BenchState(), (400, 850), measure) is None


def test_runs_that_no_section_can_hold_are_told_in_the_head(sketch, book):
    """A bend of 90° in three mitres with elbows of 4 m has pieces longer than any section."""
    nodes = {"n1": (0, 0), "n2": (9000, 0), "n3": (9000, 9000)}
    fittings = {"n2": FittingChoice(mitres=3, elbow_radius_mm=4000)}
    live = live_of(sketch(nodes, {"l1": "n1 n2", "l2": "n2 n3"}, fittings=fittings).layout, book)
    (key, stock), *_ = live.stocks.items()
    shown = words(bench_parts(live, NORMAL, BenchState(), NONE, measure))
    assert f"{len(stock.refused_snags)} runs left out" in shown
    assert tip_of(live, target(live, NORMAL, BenchState(), key))[2] == stock.refused_snags[0].says


def test_a_stock_of_which_no_run_can_be_cut_says_why(sketch, book):
    nodes = {"n1": (0, 0), "n2": (9000, 0), "n3": (9000, 9000), "n4": (0, 20000), "n5": (900, 20000)}
    fittings = {"n2": FittingChoice(mitres=3, elbow_radius_mm=4000)}
    legs = {"l1": "n1 n2", "l2": "n2 n3", "l3": "n4 n5 small"}
    live = live_of(sketch(nodes, legs, fittings=fittings).layout, book)
    small, mid = live.stocks
    bench = BenchState(stock=mid)
    only_small = replace(live, stocks={small: live.stocks[small]})
    for box in (NORMAL, NARROW):
        says = " ".join(words(bench_parts(only_small, box, bench, NONE, measure)))
        assert "No section of 1000 mm can hold a run of it" in says
        assert "60 × 40" in says
    none = replace(live, stocks={})
    assert live.unmade[0].says in " ".join(words(bench_parts(none, NORMAL, bench, NONE, measure)))


# The overview.


def small_bars(picture):
    return [part for part in picture.parts if isinstance(part, Rect) and part.height == 4]


@pytest.mark.parametrize("longest_first", [False, True])
def test_the_overview_shows_every_section_4_px_high(longest_first):
    live, bench = packed(), replace(TALL_BENCH, longest_first=longest_first)
    view = arranged(live, TALL, bench)
    blocks = blocks_of(live, TALL, bench, view)
    assert [(block.key, block.begin, block.end) for block in blocks] == [
        (key, 0, stock.count) for key, stock in live.stocks.items()
    ]
    bars = [block.bar(place) for block in blocks for place in range(block.end)]
    assert {bar.high_y - bar.low_y for bar in bars} == {4}
    assert blocks[0].bar(1).low_y - blocks[0].bar(0).low_y == 6
    assert max(bar.high_x for bar in bars) <= 432
    assert max(block.box.high_y for block in blocks) <= TALL.high_y - 40
    picture = bench_picture(live, TALL, bench, NONE, measure)
    assert len({(bar.low_x, bar.low_y) for bar in bars}) == sum(stock.count for stock in live.stocks.values())
    assert {(bar.low_x, bar.low_y) for bar in bars} <= {(part.x, part.y) for part in small_bars(picture)}


def test_a_place_of_the_overview_is_a_section_to_go_to():
    live, bench = packed(), TALL_BENCH
    for block in blocks_of(live, TALL, bench, arranged(live, TALL, bench)):
        for place in (block.begin, block.end - 1):
            found = target_at(live, TALL, bench, middle(block.bar(place)), measure)
            assert (found.kind, found.key, found.section) == ("overview", block.key, place + 1)
            there = shown_at(live, TALL, bench, found.key, found.section)
            assert place in [number for column, number, _ in every_bar(live, TALL, there) if column.key == block.key]
        head = target_at(live, TALL, bench, (block.box.low_x + 8, block.box.low_y + 2), measure)
        assert (head.kind, head.key) == ("stock", block.key)


def many(sketch, book, count):
    """One stock of so many whole sections, and a small one."""
    nodes = {"a1": (0, 0), "a2": (1000 * count, 0), "b1": (0, 5000), "b2": (1500, 5000)}
    return live_of(sketch(nodes, {"l1": "a1 a2", "l2": "b1 b2 small"}).layout, book)


@pytest.mark.parametrize("at", [0, 2, 20, 90])
@pytest.mark.parametrize("high", [400, 560, 700])
def test_the_overview_of_a_thousand_sections_shows_those_round_what_is_in_view(sketch, book, at, high):
    live = many(sketch, book, 1000)
    key, box = ("stone-wool-foil", 60.0, 40.0), TALL._replace(low_y=972 - high)
    bench = replace(TALL_BENCH, stock=key, turned=at)
    view = arranged(live, box, bench)
    seen = {number for column in view.columns for number in column.sections}
    block = next(block for block in blocks_of(live, box, bench, view) if block.key == key)
    assert block.end - block.begin < live.stocks[key].count
    assert seen <= set(range(block.begin, block.end))
    parts = bench_parts(live, box, bench, NONE, measure)
    frames = [part for part in parts if isinstance(part, Polyline) and part.colour == "accent"]
    inside = {
        place
        for place in range(block.begin, block.end)
        if any(holds(frame, middle(block.bar(place))) for frame in frames)
    }
    assert inside == seen


def holds(frame, point):
    """Whether a point lies inside a closed line: a ray to the right crosses it an odd number of times."""
    x, y = point
    points = frame.points
    sides = zip(points, (*points[1:], points[0]), strict=True)
    return (
        sum((y0 > y) != (y1 > y) and x < x0 + (y - y0) * (x1 - x0) / (y1 - y0) for (x0, y0), (x1, y1) in sides) % 2 == 1
    )


# Only what is in view is made.


def test_joints_kept_off_a_branch_are_labelled_along_the_run(sketch, book):
    """The branch lies where the second joint would be, so the pieces change places; labels count along the run."""
    nodes = {"n1": (0, 0), "n2": (2000, 0), "n3": (2600, 0), "n4": (2000, 1500)}
    legs = {"l1": "n1 n2", "l2": "n2 n3", "l3": "n2 n4"}
    live = live_of(sketch(nodes, legs).layout, book)
    stock = live.stocks["stone-wool-foil", 60.0, 40.0]
    (through,) = [placed for placed in stock.placed if placed.named.name == "s1.1"]
    lengths = [stock.plan.sections[piece.place[0]].pieces[piece.place[1]].length_mm for piece in through.pieces]
    assert lengths != [1000, 1000, 600]
    assert sorted(lengths) == [600, 1000, 1000]
    shown = {piece.label: piece.length_mm for cut in cuts_of(stock, range(stock.count)) for piece in cut.pieces}
    assert [shown[f"s1.1-{number}"] for number in (1, 2, 3)] == lengths


def test_a_quick_stock_is_not_laid_out_for_what_is_in_view(sketch, book, monkeypatch):
    live = many(sketch, book, 3000)
    stock = live.stocks["stone-wool-foil", 60.0, 40.0]
    bench_picture(live, NORMAL, BenchState(), NONE, measure)
    target_at(live, NORMAL, BenchState(turned=7), (700, 850), measure)
    assert "_quick" not in vars(stock)
    assert MappingProxyType(vars(stock))["count"] == 3000
