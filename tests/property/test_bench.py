"""What must be true of the bench, whatever is drawn, however the window is sized and however far it is scrolled."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from types import MappingProxyType

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import DIRECTIONS, layouts, networks

from layoutest.book.reader import example_book_folder, read_book
from layoutest.drawing.primitives import Box, Text
from layoutest.editor.bench import BenchMarks, bench_picture, target_at, tip_of
from layoutest.editor.bench_bar import bar_parts, scale_of, slots_of
from layoutest.editor.bench_columns import arranged, shown_at
from layoutest.editor.bench_cut import cuts_of
from layoutest.editor.bench_state import BenchState, height_px
from layoutest.layout.document import Node
from layoutest.live.lit import NOTHING_LIT, lit_leg, lit_section
from layoutest.live.live import live_of, with_plans
from layoutest.pack.plan import pack

BOOK = read_book(example_book_folder())
SIZE_PX = {"tiny": 11, "base": 13, "lead": 15, "figure": 20, "money": 28}
WINDOWS = ((1600, 1000), (1024, 700), (1366, 600), (800, 600), (2560, 1440), (3840, 2160))


def measure(words, size, bold):
    """Every letter 0.55 of the size wide, a little more when it is bold."""
    return len(words) * SIZE_PX[size] * (0.6 if bold else 0.55)


@st.composite
def lives(draw):
    """A network, built once or more, some of its stocks packed by the packer and some quickly, some offcuts on hand."""
    layout = draw(networks(directions=tuple(DIRECTIONS)))
    book = BOOK if draw(st.booleans()) else replace(BOOK, stock=())
    live = live_of(replace(layout, times=draw(st.integers(1, 3))), book)
    problems = live.problems_to_pack()
    return with_plans(live, [pack(problem) for problem in problems[: draw(st.integers(0, len(problems)))]])


@st.composite
def benches(draw, live):
    """A window with a bench that is somehow turned."""
    size = draw(st.sampled_from(WINDOWS))
    height = draw(st.sampled_from(["normal", "tall", "low"]))
    bench = BenchState(
        height, draw(st.sampled_from([None, *live.stocks])), draw(st.integers(0, 5)), draw(st.booleans())
    )
    return bench, Box(0, size[1] - 28 - height_px(bench, *size), size[0], size[1] - 28)


@st.composite
def marks_on(draw, live):
    """A section, a leg or nothing is pointed at; some legs are picked; the last edit changed some stocks."""
    runs = sorted({placed.named.name for stock in live.stocks.values() for placed in stock.placed})
    lits = [NOTHING_LIT, lit_leg(live, draw(st.sampled_from(sorted(live.layout.legs))))]
    lits += [lit_section(live, key, draw(st.integers(1, stock.count))) for key, stock in live.stocks.items()]
    picked = draw(st.sets(st.sampled_from(runs))) if runs else set()
    changes = {key: draw(st.integers(-12, 12)) for key in live.stocks}
    return BenchMarks(draw(st.sampled_from(lits)), frozenset(picked), changes)


def extent(text):
    wide = measure(text.words, text.size, text.bold)
    left = text.at[0] - {"left": 0, "middle": wide / 2, "right": wide}[text.align]
    return left, left + wide


@settings(max_examples=60)
@given(lives())
def test_a_section_is_shown_as_the_plan_cuts_it(live):
    for stock in live.stocks.values():
        cuts = cuts_of(stock, range(stock.count))
        assert len(cuts) == len(stock.plan.sections)
        for number, (cut, planned) in enumerate(zip(cuts, stock.plan.sections, strict=True)):
            assert (cut.length_mm, cut.wedge_mm, cut.kerf_mm) == (planned.length_mm, planned.wedge_mm, planned.kerf_mm)
            assert (cut.offcut_mm, cut.scrap_mm) == (planned.offcut_mm, planned.scrap_mm)
            for place, (shown, piece) in enumerate(zip(cut.pieces, planned.pieces, strict=True)):
                placed, labelled = stock.by_place[number, place]
                run = stock.plan.problem.runs[piece.run]
                assert (shown.run, shown.label) == (run.name, labelled.label) == (placed.named.name, labelled.label)
                assert shown.service == placed.named.run.spec.service
                assert (shown.from_mm, shown.length_mm) == (piece.from_mm, piece.length_mm)
                ends = [
                    angle if there else 0
                    for angle, there in zip(run.ends_deg, (piece.at_start, piece.at_end), strict=True)
                ]
                assert [shown.left_deg, shown.right_deg] == (ends[::-1] if piece.turned else ends)
        for number in range(stock.count):
            assert cuts_of(stock, (number,)) == [cuts[number]]


@settings(max_examples=60)
@given(lives(), st.floats(200, 900))
def test_lengths_in_a_bar_add_up_and_nothing_lies_over_anything(live, width):
    for stock in live.stocks.values():
        for cut in cuts_of(stock, range(stock.count)):
            px = scale_of(cut, width)
            slots = slots_of(cut, 100, px)
            lost = cut.wedge_mm + cut.kerf_mm + cut.left_over_mm
            assert sum(slot.high - slot.low for slot in slots) + lost * px == pytest.approx(cut.length_mm * px, abs=1)
            assert cut.length_mm * px <= width + 1e-6
            # A wedge is rounded after 0.01 mm is taken off it, so that ends may touch by as much.
            for left, right in pairwise(slots):
                assert left.high + left.right_lean <= right.low + right.left_lean + 0.02 * px
                assert left.high - left.right_lean <= right.low - right.left_lean + 0.02 * px
            end = 100 + (cut.length_mm - cut.left_over_mm) * px
            assert slots[0].low - abs(slots[0].left_lean) >= 100 - 0.02 * px
            assert slots[-1].high + abs(slots[-1].right_lean) <= end + 0.02 * px


@settings(max_examples=60)
@given(layouts().map(lambda layout: live_of(layout, BOOK)) | lives(), st.floats(120, 700))
def test_words_stay_in_their_bar_and_apart(live, width):
    for stock in live.stocks.values():
        for cut in cuts_of(stock, range(min(stock.count, 40))):
            px = scale_of(cut, width)
            texts = [part for part in bar_parts(cut, 10, 0, width, 17, measure) if isinstance(part, Text)]
            ends = sorted(extent(text) for text in texts)
            if ends:
                assert ends[0][0] >= 10
                assert ends[-1][1] <= 10 + cut.length_mm * px
            assert all(left[1] <= right[0] for left, right in pairwise(ends))


@settings(max_examples=60)
@given(st.data())
def test_words_of_the_whole_bench_do_not_overlap_and_stay_inside(data):
    live = data.draw(lives())
    bench, box = data.draw(benches(live))
    picture = bench_picture(live, box, bench, data.draw(marks_on(live)), measure)
    texts = sorted((part for part in picture.parts if isinstance(part, Text)), key=lambda text: text.at[1])
    for number, one in enumerate(texts):
        left, right = extent(one)
        assert box.low_x <= left
        assert right <= box.high_x
        assert box.low_y <= one.at[1] - 5
        assert one.at[1] + 5 <= box.high_y
        for other in texts[number + 1 :]:
            if other.at[1] - one.at[1] >= 9:
                break
            begin, end = extent(other)
            assert right <= begin + 0.01 or end <= left + 0.01, (one, other)


@settings(max_examples=40)
@given(st.data())
def test_every_piece_is_reached_once_the_bench_is_scrolled_through(data):
    live = data.draw(lives())
    bench, box = data.draw(benches(live))
    seen = {}
    for key in live.stocks:
        bench = replace(bench, stock=key, turned=0)
        total = arranged(live, box, bench).total
        for turned in range(total):
            here = replace(bench, turned=turned)
            view = arranged(live, box, here)
            assert len(view.columns) <= view.fits
            for column in view.columns:
                for row, number in enumerate(column.sections):
                    seen |= reached(live, box, here, column, row, number)
    every = {
        (key, place): labelled.label
        for key, stock in live.stocks.items()
        for place, (_, labelled) in stock.by_place.items()
    }
    assert seen == every


def reached(live, box, bench, column, row, number):
    """The pieces that are found by pointing at the middles of those of one bar."""
    bar = column.bar(row)
    (cut,) = cuts_of(live.stocks[column.key], (number,))
    slots = slots_of(cut, bar.low_x, scale_of(cut, bar.high_x - bar.low_x))
    found = {}
    for slot in slots:
        point = ((slot.low + slot.high) / 2, (bar.low_y + bar.high_y) / 2)
        target = target_at(live, box, bench, point, measure)
        assert target.kind == "piece"
        assert tip_of(live, target)[0].startswith(f"{target.label}, section {target.section}, ")
        found[target.key, (target.section - 1, target.piece)] = target.label
    return found


@settings(max_examples=40)
@given(st.data())
def test_what_is_gone_to_is_in_view(data):
    live = data.draw(lives().filter(lambda live: live.stocks))
    bench, box = data.draw(benches(live))
    key = data.draw(st.sampled_from(list(live.stocks)))
    section = data.draw(st.integers(1, live.stocks[key].count))
    there = shown_at(live, box, bench, key, section)
    assert any(column.key == key and section - 1 in column.sections for column in arranged(live, box, there).columns)
    assert shown_at(live, box, there, key, section) == there


@settings(max_examples=40)
@given(st.data())
def test_a_picture_made_from_the_last_one_is_the_same_as_one_made_anew(data):
    live = data.draw(lives())
    bench, box = data.draw(benches(live))
    before = bench_picture(live, box, bench, data.draw(marks_on(live)), measure)
    name = data.draw(st.sampled_from(sorted(live.layout.nodes)))
    node = live.layout.nodes[name]
    moved = Node(node.x_mm + 50, node.y_mm, node.level_mm)
    edited = replace(live.layout, nodes=MappingProxyType({**live.layout.nodes, name: moved}))
    after = live_of(edited, live.book, live)
    marks = data.draw(marks_on(after))
    turned = data.draw(st.sampled_from([bench, replace(bench, longest_first=not bench.longest_first, turned=1)]))
    again = bench_picture(after, box, turned, marks, measure, before)
    assert again.parts == bench_picture(after, box, turned, marks, measure).parts
    same = bench_picture(after, box, turned, marks, measure, again)
    assert same.parts == again.parts
    assert all(same.kept[key] is again.kept[key] for key in same.kept)


@settings(max_examples=60)
@given(st.data())
def test_no_place_of_the_bench_goes_wrong(data):
    live = data.draw(lives() | layouts().map(lambda layout: live_of(layout, BOOK)))
    bench, box = data.draw(benches(live))
    for _ in range(8):
        point = data.draw(st.tuples(st.floats(box.low_x, box.high_x), st.floats(box.low_y, box.high_y)))
        target = target_at(live, box, bench, point, measure)
        if target is not None:
            assert target.box.low_x <= target.box.high_x
            assert len(tip_of(live, target)) <= 3
            assert all(tip_of(live, target))
