"""What stands on top of the sheet, from plain values: where it is, in which roles, and that it follows the pipes."""

from __future__ import annotations

import sys
from dataclasses import replace
from itertools import combinations
from math import hypot
from pathlib import Path
from types import MappingProxyType

import pytest

sys.path.insert(0, str(Path(__file__).parent))
from desk import book, demo, measure

from layoutest.choose import choose
from layoutest.cover.covering import cover
from layoutest.drawing.pipes import sheet_groups
from layoutest.drawing.primitives import Box, Circle, Polygon, Polyline, Rect, Text
from layoutest.drawing.shapes import item_shape, leg_shape, piece_shape
from layoutest.edit.move import stretch
from layoutest.editor.clear import boxes_in_front, meets
from layoutest.editor.key import key_box, key_parts
from layoutest.editor.marks import Flag, Held, Hold, Rubber, SheetMarks
from layoutest.editor.picture import View
from layoutest.editor.sheet import over
from layoutest.layout.document import FittingChoice, Item, Layout, Leg, Node, Service
from layoutest.live.lit import LitPiece, lit_section
from layoutest.live.live import live_of
from layoutest.network import derive

BOX = Box(0, 44, 1280, 740)
VIEW = View(0.1, -1000.0, 5000.0)
# l1 and l2 meet at a tight bend, l3 is a branch of l1's straight, l4 rises from its end; covered diameter 140.
SMALL = Layout(
    services=MappingProxyType({"HF": Service("Heating flow", covering="stone-wool-foil", thickness_mm=40)}),
    nodes=MappingProxyType(
        {
            "n1": Node(0, 0, 2400),
            "n2": Node(3000, 0, 2400),
            "n3": Node(3000, 2000, 2400),
            "n4": Node(1500, 0, 2400),
            "n5": Node(1500, -1500, 2400),
            "n6": Node(1500, -1500, 3000),
        }
    ),
    legs=MappingProxyType(
        {
            "l0": Leg("n1", "n4", "HF", "steel DN50"),
            "l1": Leg("n4", "n2", "HF", "steel DN50"),
            "l2": Leg("n2", "n3", "HF", "steel DN50"),
            "l3": Leg("n4", "n5", "HF", "steel DN50"),
            "l4": Leg("n5", "n6", "HF", "steel DN50"),
        }
    ),
    items=MappingProxyType({"v1": Item("l2", 1000, "valve", 300)}),
)


def covered(layout):
    return cover(derive(choose(layout, book())))


@pytest.fixture(scope="module")
def picture():
    return sheet_groups(covered(SMALL), {})


def shown(picture, **marks):
    return over(picture, VIEW, BOX, SheetMarks(**marks), measure)


def outlines(parts, style):
    return [part for part in parts if isinstance(part, Polyline) and part.style == style]


def test_the_outline_of_a_leg_is_cut_as_its_covering_is(picture):
    shape = leg_shape(picture.covering, "l2")
    bodies = [part.points for part in picture.groups["l2"].details[3] if getattr(part, "fill", "") == "body:HF"]
    low, high = shape[:2]
    assert {low, high} <= set(bodies[0])
    assert hypot(high[0] - low[0], high[1] - low[1]) > 140, "a mitre is longer than the diameter"


def test_the_outlines_of_the_legs_of_a_straight_meet(picture):
    first, second = leg_shape(picture.covering, "l0"), leg_shape(picture.covering, "l1")
    assert {point for point in first if point[0] == 1500} == {point for point in second if point[0] == 1500}
    assert len({point for point in first if point[0] == 1500}) == 2


def test_a_rise_is_outlined_by_a_circle(picture):
    for u, v in leg_shape(picture.covering, "l4"):
        assert hypot(u - 1500, v + 1500) == pytest.approx(70)


def test_the_outline_of_an_item_is_that_of_its_jacket(picture):
    us, vs = zip(*item_shape(picture.covering, "v1"), strict=True)
    assert (min(vs), max(vs)) == pytest.approx((850, 1150))
    assert max(us) - min(us) == pytest.approx(140 * 1.12)
    assert item_shape(picture.covering, "v9") is None


def test_a_leg_that_is_left_out_and_one_that_is_not_there():
    layout = replace(SMALL, legs=MappingProxyType({**SMALL.legs, "l9": Leg("n3", "n1", "HF", "unheard of")}))
    covering = covered(layout)
    assert len(leg_shape(covering, "l9")) == 4
    assert leg_shape(covering, "l99") is None


def test_what_is_lit_has_a_halo_an_edge_and_the_number_of_its_section(picture):
    key = picture.covering.network.straight_of["l0"]
    parts = shown(picture, lit=(LitPiece(key, 0.0, 1000.0, 9), LitPiece("gone", 0.0, 10.0, 9)))
    (halo,), (edge,) = outlines(parts, "halo"), outlines(parts, "selection")
    assert (halo.colour, halo.width, edge.colour) == ("marker", 9, "hover")
    wanted = [VIEW.to_px(point) for point in piece_shape(picture.covering, key, 0.0, 1000.0)]
    assert list(halo.points) == list(edge.points) == wanted
    (plate,) = [part for part in parts if isinstance(part, Text) and part.words == "9"]
    assert plate.at == pytest.approx(VIEW.to_px((500, 0)))
    assert parts.index(plate) > parts.index(edge)


def test_the_pieces_of_a_bend_light_up_too():
    layout = replace(SMALL, fittings=MappingProxyType({"n2": FittingChoice(3, 200)}))
    picture = sheet_groups(covered(layout), {})
    long_mm = picture.covering.bends["n2"].piece_mm
    parts = shown(picture, lit=(LitPiece("bend n2", long_mm, 2 * long_mm, 4),))
    (edge,) = outlines(parts, "selection")
    pieces = [part.points for part in picture.groups["bend n2"].details[3] if isinstance(part, Polygon)]
    assert len(pieces) == 2
    assert list(edge.points) == [VIEW.to_px(point) for point in pieces[1]]


def test_all_pieces_of_a_section_light_up_on_the_sheet():
    live = live_of(demo("plant-room"), book())
    picture = sheet_groups(live.covering, live.joints)
    for key, stock in live.stocks.items():
        for number, section in enumerate(stock.plan.sections, 1):
            lit = lit_section(live, key, number).pieces
            assert len(lit) == len(section.pieces)
            parts = shown(picture, lit=lit)
            seen = [piece for piece in lit if piece.straight in picture.groups]
            assert len(outlines(parts, "halo")) == len(seen)
            plates = boxes_in_front(
                [part for part in parts if isinstance(part, Rect) and part.fill == "marker"], measure
            )
            numbers = [part for part in parts if isinstance(part, Text) and part.colour == "marker_text"]
            assert {part.words for part in numbers} == ({f"{number}"} if seen else set())
            assert len(plates) == len(numbers)
            # Where pieces are seen too near each other for a plate each, one tells for both.
            assert not [pair for pair in combinations(plates, 2) if meets(pair[0], pair[1:])]


def test_what_is_picked_has_an_outline_and_grips_at_the_ends_of_its_legs(picture):
    parts = shown(picture, picked=frozenset({"l2", "v1", "n1"}))
    assert len(outlines(parts, "selection")) == 2
    grips = [part for part in parts if isinstance(part, Rect) and part.style == "selection"]
    middles = {(grip.x + grip.width / 2, grip.y + grip.height / 2) for grip in grips}
    assert middles == {VIEW.to_px((3000, 0)), VIEW.to_px((3000, 2000)), VIEW.to_px((0, 0))}
    assert {grip.width for grip in grips} == {8, 12}


def test_the_outline_of_a_thin_pipe_can_still_be_seen(picture):
    far = View(0.002, -1000.0, 50000.0)
    parts = over(picture, far, BOX, SheetMarks(picked=frozenset({"l2"})), measure)
    (outline,) = outlines(parts, "selection")
    xs = [x for x, _ in outline.points]
    assert max(xs) - min(xs) == pytest.approx(5)


def test_many_picked_have_no_grips():
    layout = demo("plant-room")
    picture = sheet_groups(covered(layout), {})
    parts = over(picture, VIEW, BOX, SheetMarks(picked=frozenset(layout.legs)), measure)
    assert len(outlines(parts, "selection")) == len(layout.legs)
    assert not [part for part in parts if isinstance(part, Rect) and part.style == "selection"]


@pytest.fixture(scope="module")
def dragged():
    """l2 moved 200 mm to the right: l1 grows by as much."""
    moved = stretch(SMALL, "l2", (200, 0))
    return sheet_groups(covered(moved), {}), Held(("l2",), covered(SMALL), (200, 0), "l1")


def test_what_is_held_is_chalk_with_its_old_place_dashed_behind_it(dragged):
    picture, held = dragged
    parts = shown(picture, held=held, pointer=(500.0, 400.0))
    fill = next(part for part in parts if isinstance(part, Polygon) and part.fill == "live_fill")
    assert list(fill.points) == [VIEW.to_px(point) for point in leg_shape(picture.covering, "l2")]
    (old,) = [part for part in outlines(parts, "dimension") if part.dash]
    assert list(old.points) == [VIEW.to_px(point) for point in leg_shape(held.before, "l2")]
    assert parts.index(old) < parts.index(fill)
    # The valve is drawn again on top of the chalk.
    jacket = [part for part in parts if isinstance(part, Polygon) and part.fill == "field" and part.style == "plant"]
    assert jacket
    assert all(parts.index(part) > parts.index(fill) for part in jacket)
    assert not [part for part in parts if isinstance(part, Polygon) and part.fill.startswith("body:")]
    (offset,) = [part for part in parts if isinstance(part, Text) and part.words == "+200"]
    assert offset.at[0] > 500


def test_the_length_that_changes_stands_in_a_field_with_what_it_was(dragged):
    picture, held = dragged
    words = {part.words: part for part in shown(picture, held=held) if isinstance(part, Text)}
    assert {"1700", "was 1500"} <= words.keys()
    assert words["1700"].size == "lead"
    # Below the leg, in its middle.
    assert words["1700"].at[0] == pytest.approx(VIEW.to_px((2350, 0))[0])
    assert words["1700"].at[1] > VIEW.to_px((0, -70))[1] + 12
    typed = {part.words for part in shown(picture, held=held._replace(figure="1650")) if isinstance(part, Text)}
    assert "1650" in typed
    assert "1700" not in typed


def test_arrows_end_at_the_ends_of_what_they_measure(dragged):
    picture, held = dragged
    parts = shown(picture, held=held)
    arrows = [part for part in parts if isinstance(part, Polygon) and part.fill == "live"]
    assert [arrow.points[0][0] for arrow in arrows] == pytest.approx([VIEW.to_px((u, 0))[0] for u in (1500, 3200)])
    assert all(arrow.points[0][1] == arrows[0].points[0][1] for arrow in arrows)


def test_a_rise_stays_over_the_held_leg_that_it_is_joined_to():
    moved = stretch(SMALL, "l3", (100, 0))
    picture = sheet_groups(covered(moved), {})
    parts = shown(picture, held=Held(("l3",), covered(SMALL), (100, 0)))
    outline = outlines(parts, "live")[0]
    ring = next(part for part in parts if isinstance(part, Circle) and part.fill == "body:HF")
    assert ring.centre == VIEW.to_px((1600, -1500))
    assert parts.index(ring) > parts.index(outline)


def test_a_leg_that_is_drawn_is_to_scale_with_its_length(picture):
    parts = shown(picture, rubber=Rubber(Hold((0, 1000), "node"), Hold((2500, 1000), "leg"), 70.0))
    fill = next(part for part in parts if isinstance(part, Polygon) and part.fill == "live_fill")
    ys = [y for _, y in fill.points]
    assert max(ys) - min(ys) == pytest.approx(14)
    assert "2500" in {part.words for part in parts if isinstance(part, Text)}
    square = next(part for part in parts if isinstance(part, Rect) and part.style == "live" and part.fill == "sheet")
    assert (square.x + square.width / 2, square.y + square.height / 2) == VIEW.to_px((0, 1000))
    assert [part.centre for part in parts if isinstance(part, Circle)] == [VIEW.to_px((2500, 1000))] * 2


def test_flags_tell_by_their_shape_how_bad_it_is(picture):
    feet = [(100.0 * n, 300.0) for n in range(1, 5)]
    kinds = ("error", "warning", "note", "note")
    flags = tuple(
        Flag(foot, (foot[0] + 10, 276.0), kind, n, told=n < 4)
        for n, (foot, kind) in enumerate(zip(feet, kinds, strict=True), 1)
    )
    parts = shown(picture, flags=flags)
    corners = [len(part.points) for part in parts if isinstance(part, Polygon) and part.fill.startswith("snag_")]
    assert corners == [8, 3]
    assert [part.words for part in parts if isinstance(part, Text)][:3] == ["1", "2", "3"]
    assert [part.centre for part in parts if isinstance(part, Circle) and part.style == "dimension"] == feet[3:]
    for flag in flags[:3]:
        assert flag.box.low_x < flag.sign[0] < flag.box.high_x


def test_box_cursor_and_empty_sheet(picture):
    parts = shown(picture, boxed=Box(10, 60, 50, 90), cursor=(0.0, 0.0), empty="Nothing yet")
    assert Rect(10, 60, 40, 30, "", "dimension", "accent") in parts
    lines = outlines(parts, "focus")
    assert [hypot(b[0] - a[0], b[1] - a[1]) for a, b in (line.points for line in lines)] == [24, 24]
    assert "Nothing yet" in {part.words for part in parts if isinstance(part, Text)}


@pytest.mark.parametrize("scale", [0.0005, 0.003, 0.0279, 0.1, 0.33, 1, 4])
def test_the_bar_is_as_long_as_it_says(scale):
    view = VIEW._replace(scale=scale)
    parts = key_parts("plan", view, BOX, 2400)
    bars = [part for part in parts if isinstance(part, Rect) and part.style]
    words = [part.words for part in parts if isinstance(part, Text)]
    figure, unit = words[-1].split()
    assert sum(bar.width for bar in bars) == pytest.approx(float(figure) * {"mm": 1, "m": 1000}[unit] * scale)
    assert float(words[-2]) * 2 == float(figure)
    assert words[0] == "Plan, most at level 2400 mm"
    ground = key_box(view, BOX)
    assert all(ground.low_x <= bar.x and bar.x + bar.width <= ground.high_x for bar in bars)
    assert sum(bar.width for bar in bars) >= 100 or figure == "5000"


def test_an_elevation_says_its_y():
    words = [part.words for part in key_parts("elevation", VIEW, BOX, -250) if isinstance(part, Text)]
    assert words[0] == "Elevation, most at y −250 mm"


def test_marks_are_drawn_in_their_order(dragged):
    """Words over what is picked, what is held over flags, the key last."""
    picture, held = dragged
    word = Text((100, 100), "HF")
    flag = Flag((300.0, 300.0), (310.0, 276.0), "error", 1)
    parts = shown(picture, words=((word,),), flags=(flag,), picked=frozenset({"l2"}), held=held)
    outline = outlines(parts, "selection")[0]
    octagon = next(part for part in parts if isinstance(part, Polygon) and part.fill == "snag_error")
    chalk = next(part for part in parts if isinstance(part, Polygon) and part.fill == "live_fill")
    places = [parts.index(part) for part in (outline, word, octagon, chalk)]
    assert places == sorted(places)
