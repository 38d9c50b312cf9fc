"""The bench: bars to scale, every piece in reach of the pointer, words inside their bars, and what a place tells."""

from __future__ import annotations

import sys
from functools import cache
from itertools import pairwise
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))
from desk import NAMES, Desk, book, demo, exact, measure, words_of

from layoutest.drawing.primitives import Box, Text
from layoutest.editor import events as ev
from layoutest.editor.bench import BenchMarks, bench_parts, bench_picture, target_at, tip_of
from layoutest.editor.bench_bar import slots_of
from layoutest.editor.bench_columns import BAR_PX, PITCH_PX, arranged, shown_at
from layoutest.editor.bench_cut import cuts_of
from layoutest.editor.bench_state import BenchState, height_px, toggle
from layoutest.live.lit import NOTHING_LIT, lit_leg, lit_section
from layoutest.live.live import live_of, with_plan

PLAIN = BenchMarks(NOTHING_LIT, frozenset(), {})
# (width, height of the bench, its state): beside each other, tall with an overview, low, and narrow with tabs.
KINDS = {
    "normal": (1280, 232, BenchState()),
    "longest first": (1280, 232, BenchState(longest_first=True)),
    "tall": (1600, 600, BenchState("tall")),
    "low": (1280, 108, BenchState("low")),
    "narrow": (1000, 154, BenchState()),
    "very narrow": (640, 108, BenchState()),
}


@cache
def packed(name, exactly):
    live = live_of(demo(name), book())
    for problem in live.problems_to_pack() if exactly else ():
        live = with_plan(live, exact(problem))
    return live


def box_of(kind):
    width, height, _ = KINDS[kind]
    return Box(0, 600 - height, width, 600)


def turns(live, kind):
    """The bench turned through all its columns, with each stock in hand where one is shown at a time."""
    box, bench = box_of(kind), KINDS[kind][2]
    view = arranged(live, box, bench)
    for key in live.stocks if view.tabs or view.overview else (None,):
        state = BenchState(bench.height, key, 0, bench.longest_first)
        for first in range(arranged(live, box, state).total):
            yield BenchState(bench.height, key, first, bench.longest_first)


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("exactly", [False, True])
def test_every_piece_of_every_plan_is_in_reach_when_the_bench_is_turned_through(name, kind, exactly):
    live, box = packed(name, exactly), box_of(kind)
    reached = set()
    for bench in turns(live, kind):
        for column in arranged(live, box, bench).columns:
            cuts = cuts_of(live.stocks[column.key], column.sections)
            for row, (number, cut) in enumerate(zip(column.sections, cuts, strict=True)):
                px = column.bar_width / max(cut.whole_mm, cut.length_mm)
                for place, piece in enumerate(cut.pieces):
                    at = column.bar_x + (piece.from_mm + piece.length_mm / 2) * px, column.y + row * PITCH_PX + 8
                    target = target_at(live, box, bench, at, measure)
                    assert target[:4] == ("piece", column.key, number + 1, place)
                    reached.add(target[1:4])
    wanted = {
        (key, number + 1, place)
        for key, stock in live.stocks.items()
        for number, cut in enumerate(stock.plan.sections)
        for place in range(len(cut.pieces))
    }
    assert reached == wanted


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("exactly", [False, True])
def test_bars_are_the_sections_of_the_plan_and_their_lengths_add_up(name, exactly):
    for stock in packed(name, exactly).stocks.values():
        cuts = cuts_of(stock, range(stock.count))
        assert stock.count == len(stock.plan.sections)
        for cut, planned in zip(cuts, stock.plan.sections, strict=True):
            assert [piece.length_mm for piece in cut.pieces] == [piece.length_mm for piece in planned.pieces]
            lengths = [piece.length_mm for piece in cut.pieces]
            assert sum(lengths) + cut.wedge_mm + cut.kerf_mm + cut.offcut_mm + cut.scrap_mm == cut.length_mm
            px = 500 / cut.length_mm
            slots = slots_of(cut, 100, px)
            shown = sum(slot.high - slot.low for slot in slots) + (cut.length_mm - sum(lengths)) * px
            assert shown == pytest.approx(500, abs=1)
            assert all(one.high <= other.low + 0.01 for one, other in pairwise(slots))
            assert not slots or (slots[0].low >= 100 - 0.01 and slots[-1].high <= 600.01)


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("kind", KINDS)
def test_words_stay_inside_the_bench_and_do_not_lie_on_each_other(name, kind):
    live, box = packed(name, True), box_of(kind)
    for bench in turns(live, kind):
        boxes = []
        for text in bench_parts(live, box, bench, PLAIN, measure):
            if not isinstance(text, Text):
                continue
            wide, (x, y) = measure(text.words, text.size, text.bold), text.at
            left = x - {"left": 0, "middle": wide / 2, "right": wide}[text.align]
            assert box.low_x <= left
            assert left + wide <= box.high_x
            assert box.low_y < y < box.high_y
            boxes.append((left, y, left + wide, text.words))
        for number, (left, y, right, _) in enumerate(boxes):
            for other_left, other_y, other_right, _ in boxes[number + 1 :]:
                assert abs(y - other_y) >= 4 or right <= other_left + 0.01 or other_right <= left + 0.01


@pytest.mark.parametrize("kind", KINDS)
def test_words_of_a_bar_stay_inside_its_pieces(kind):
    live, box = packed("plant-room", True), box_of(kind)
    for bench in turns(live, kind):
        for column in arranged(live, box, bench).columns:
            alone = bench_parts(live, box, bench, PLAIN, measure)
            for text in alone:
                if not isinstance(text, Text) or not column.bar_x <= text.at[0] < column.x + column.width:
                    continue
                row = int((text.at[1] - column.y) // PITCH_PX)
                if text.at[1] < column.y or row >= len(column.sections):
                    continue
                wide = measure(text.words, text.size, text.bold)
                left = text.at[0] - {"left": 0, "middle": wide / 2, "right": wide}[text.align]
                first = target_at(live, box, bench, (left + 0.5, text.at[1]), measure)
                last = target_at(live, box, bench, (left + wide - 0.5, text.at[1]), measure)
                assert first[:4] == last[:4], text.words


@pytest.mark.parametrize("kind", KINDS)
def test_every_place_of_the_bench_can_be_pressed_and_tells_something(kind):
    live, box = packed("plant-room", True), box_of(kind)
    bench, found = KINDS[kind][2], set()
    for x in range(-5, int(box.high_x) + 5, 13):
        for y in range(int(box.low_y) - 3, int(box.high_y) + 3, 3):
            target = target_at(live, box, bench, (x, y), measure)
            found.add(target.kind if target else "")
            if target:
                assert tip_of(live, target)
                assert target.key is None or target.key in live.stocks
    assert {"", "piece", "section", "grip", "stock"} <= found
    assert ("overview" in found) == (kind == "tall")


@pytest.mark.parametrize("kind", ["longest first", "normal", "narrow"])
def test_an_offcut_tells_its_length_and_comes_first_when_the_bench_is_so_ordered(kind):
    live, box = packed("plant-room", True), box_of(kind)
    told = set()
    for bench in turns(live, kind):
        for column in arranged(live, box, bench).columns:
            for row, number in enumerate(column.sections):
                offcut_mm = live.stocks[column.key].plan.sections[number].offcut_mm
                x, y = column.bar_x + column.bar_width - 2, column.y + row * PITCH_PX + 8
                target = target_at(live, box, bench, (x, y), measure)
                assert (target.kind == "offcut") == bool(offcut_mm)
                if offcut_mm:
                    assert f"offcut {offcut_mm}" in " ".join(tip_of(live, target))
                    told.add((column.key, number))
                    assert kind != "longest first" or (column.number, row) in ((0, 0), (0, 1))
    assert len(told) == sum(bool(cut.offcut_mm) for stock in live.stocks.values() for cut in stock.plan.sections)


def test_tips_tell_the_piece_its_section_and_the_sum():
    live = packed("first-five-minutes", True)
    box, bench = box_of("normal"), BenchState()
    (stock,) = live.stocks.values()
    for number, cut in enumerate(stock.plan.sections):
        column = next(column for column in arranged(live, box, bench).columns if number in column.sections)
        y = column.y + column.sections.index(number) * PITCH_PX + BAR_PX / 2
        first = cut.pieces[0]
        x = column.bar_x + (first.from_mm + first.length_mm / 2) * column.bar_width / 1000
        target = target_at(live, box, bench, (x, y), measure)
        head, second = tip_of(live, target)[:2]
        assert f"section {number + 1}, 35 × 30" in head
        assert f"{cut.pieces[0].length_mm} long" in second
        section = target._replace(kind="section", piece=-1)
        lengths = [piece.length_mm for piece in cut.pieces]
        assert f"{sum(lengths)}" in tip_of(live, section)[1]
        assert tip_of(live, section)[0].startswith(f"Section {number + 1}")
    assert tip_of(live, target._replace(section=999)) == ()
    assert tip_of(live, target._replace(key=("none", 1.0, 1.0))) == ()
    assert "35 × 30" in tip_of(live, target._replace(kind="stock", section=0, piece=-1))[0]


def test_an_empty_bench_says_what_brings_sections():
    desk = Desk(None)
    bench = next(panel for panel in desk.scene.panels if panel.name == "bench")
    assert any("first leg" in words for words in words_of(bench.parts))
    assert target_at(desk.state.live, desk.state.regions.bench, BenchState(), (500, 650), measure) is None


def test_heights_go_round_and_give_way_in_low_windows():
    bench = BenchState()
    assert [height_px(bench := toggle(bench), 1280, 1000) for _ in range(3)] == [600, 108, 232]
    assert height_px(BenchState("tall"), 1280, 500) == 108
    assert height_px(BenchState(), 1000, 800) == 154


@pytest.mark.parametrize("kind", KINDS)
def test_a_section_is_brought_into_view(kind):
    live, box = packed("plant-room", True), box_of(kind)
    for key, stock in live.stocks.items():
        for section in {1, stock.count // 2 + 1, stock.count}:
            bench = shown_at(live, box, KINDS[kind][2], key, section)
            assert any(
                column.key == key and section - 1 in column.sections for column in arranged(live, box, bench).columns
            )


@pytest.mark.parametrize("kind", KINDS)
def test_a_picture_made_from_the_one_before_is_the_same_as_one_made_anew(kind):
    box, bench, before = box_of(kind), KINDS[kind][2], None
    lives = [packed("plant-room", False), packed("plant-room", True), packed("first-five-minutes", True)]
    for live in (*lives, *reversed(lives)):
        for lit in (NOTHING_LIT, lit_leg(live, "l1"), lit_section(live, next(iter(live.stocks)), 1)):
            marks = BenchMarks(lit, frozenset({"s1.1"}), {next(iter(live.stocks)): 2})
            before = bench_picture(live, box, bench, marks, measure, before)
            assert before.parts == bench_parts(live, box, bench, marks, measure)


def test_a_leg_that_is_pointed_at_lights_its_pieces_on_the_bench_and_back():
    desk = Desk("plant-room", size=(1600, 1000)).packed()
    plain = next(panel for panel in desk.scene.panels if panel.name == "bench")
    leg = next(leg for leg in desk.document.legs.values() if desk.px(leg.start) != desk.px(leg.end))
    (x, y), (u, v) = (desk.document.nodes[node][:2] for node in (leg.start, leg.end))
    desk.point((x + u) / 2, (y + v) / 2)
    lit = next(panel for panel in desk.scene.panels if panel.name == "bench")
    assert lit is not plain
    desk.do(ev.PointerMoved(700, 300), ev.PointerLeft())
    assert next(panel for panel in desk.scene.panels if panel.name == "bench").parts == plain.parts


def test_a_press_on_a_tab_takes_its_stock_in_hand():
    desk = Desk("plant-room", size=(1000, 700))
    box = desk.state.regions.bench
    found = {}
    for x in range(0, 1000, 4):
        target = target_at(desk.state.live, box, desk.state.bench, (x, box.low_y + 17), measure)
        if target and target.kind == "stock":
            found[target.key] = x
    assert len(found) > 1
    for key, x in found.items():
        desk.do(ev.PointerPressed(x, box.low_y + 17), ev.PointerReleased(x, box.low_y + 17))
        assert desk.state.bench.stock == key
