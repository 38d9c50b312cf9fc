"""What must be true of the picture of any network."""

from __future__ import annotations

from dataclasses import replace
from types import MappingProxyType

import pytest
from hypothesis import given
from hypothesis import strategies as st
from strategies import DIRECTIONS, networks

from layoutest.book.reader import example_book_folder, read_book
from layoutest.choose import choose
from layoutest.cover.covering import cover
from layoutest.drawing.extent import extent
from layoutest.drawing.pipes import sheet_groups
from layoutest.drawing.primitives import Box, Circle, Polygon, Polyline
from layoutest.editor.hit import hit, in_box
from layoutest.editor.picture import View
from layoutest.layout.document import Node
from layoutest.layout.plane import spot_of
from layoutest.network import derive

BOOK = read_book(example_book_folder())
VIEW = View(0.1, -1000.0, 1000.0)
views = st.sampled_from(["plan", "elevation"])
any_networks = st.builds(lambda layout, view: replace(layout, view=view), networks(directions=tuple(DIRECTIONS)), views)


def covered(layout, before=None):
    network = before.network if before else None
    return cover(derive(choose(layout, BOOK, network.chosen if network else None), network), before)


@st.composite
def edited(draw, layout):
    """The layout after an edit: a node moved, a leg or an item gone, or a leg of another pipe."""
    kind = draw(st.sampled_from(["move", "delete", "drop", "change"]))
    if kind == "move":
        name = draw(st.sampled_from(sorted(layout.nodes)))
        x, y, level = layout.nodes[name]
        by = [draw(st.sampled_from([-700, -50, 0, 50, 700])) for _ in range(3)]
        return replace(
            layout, nodes=MappingProxyType({**layout.nodes, name: Node(x + by[0], y + by[1], level + by[2])})
        )
    if kind == "drop" and layout.items:
        name = draw(st.sampled_from(sorted(layout.items)))
        return replace(layout, items=MappingProxyType({k: v for k, v in layout.items.items() if k != name}))
    name = draw(st.sampled_from(sorted(layout.legs)))
    if kind == "delete" and len(layout.legs) > 1:
        items = {k: v for k, v in layout.items.items() if v.leg != name}
        legs = {k: v for k, v in layout.legs.items() if k != name}
        return replace(layout, legs=MappingProxyType(legs), items=MappingProxyType(items))
    leg = replace(layout.legs[name], pipe=draw(st.sampled_from(["copper 28", "our pipe", "unheard of"])))
    return replace(layout, legs=MappingProxyType({**layout.legs, name: leg}))


def joints_of(covering):
    """A joint in the middle of every other straight."""
    keys = sorted(key for key, laid in covering.laid.items() if laid.runs)[::2]
    return {key: (covering.laid[key].straight.centre_line_mm / 2,) for key in keys}


@given(st.data())
def test_a_picture_kept_up_to_date_is_that_made_at_once(data):
    layout = data.draw(any_networks)
    covering = covered(layout)
    picture = sheet_groups(covering, joints_of(covering))
    for _ in range(data.draw(st.integers(1, 4))):
        layout = data.draw(edited(layout))
        covering = covered(layout, covering)
        picture = sheet_groups(covering, joints_of(covering), picture)
        fresh = sheet_groups(covered(layout), joints_of(covering))
        assert dict(picture.groups) == dict(fresh.groups)
        assert picture.order == fresh.order
        assert picture.box == fresh.box
        assert picture.crossings == fresh.crossings


@given(any_networks)
def test_nothing_is_drawn_outside_its_box(layout):
    covering = covered(layout)
    for group in sheet_groups(covering, joints_of(covering)).groups.values():
        for detail in group.details:
            if detail:
                box = extent(detail)
                assert box.low_x >= group.box.low_x - 1e-6
                assert box.low_y >= group.box.low_y - 1e-6
                assert box.high_x <= group.box.high_x + 1e-6
                assert box.high_y <= group.box.high_y + 1e-6


@given(any_networks)
def test_everything_is_drawn_once_in_the_order_of_height(layout):
    covering = covered(layout)
    picture = sheet_groups(covering, {})
    assert sorted(picture.order) == sorted(picture.groups)
    assert covering.laid.keys() <= picture.groups.keys()
    heights = [picture.boxes.rank(name)[0] for name in picture.order]
    assert heights == sorted(heights)


@given(any_networks)
def test_bodies_are_as_large_as_the_covering_that_lies_in_the_sheet(layout):
    """The area of a straight's bodies is their length times their diameter, but for notches at branches."""
    covering = covered(layout)
    picture = sheet_groups(covering, {})
    for key, laid in covering.laid.items():
        line = picture.groups[key].details[0][0]
        if isinstance(line, Circle) or any(end.cut in ("notch", "saddle") for run in laid.runs for end in run.ends):
            continue
        if len({spot_of(layout.view, layout.nodes[node]).depth_mm for node in laid.straight.nodes}) > 1:
            continue
        if any(
            key in covering.network.junctions[node].straights and node in covering.bends for node in laid.straight.nodes
        ):
            continue
        bodies = [p for p in picture.groups[key].details[3] if isinstance(p, Polygon) and p.fill.startswith("body:")]
        wanted = sum(run.covered_mm for run in laid.runs) * laid.straight.spec.covered_diameter_mm
        assert sum(map(area, bodies)) == pytest.approx(wanted)


def area(body):
    points = body.points
    return abs(sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(points, (*points[1:], points[0]), strict=True))) / 2


@given(any_networks, st.data())
def test_a_hit_on_a_leg_finds_what_is_drawn_there(layout, data):
    picture = sheet_groups(covered(layout), {})
    name = data.draw(st.sampled_from(sorted(layout.legs)))
    start, end = (spot_of(layout.view, layout.nodes[node]) for node in (layout.legs[name].start, layout.legs[name].end))
    share = data.draw(st.floats(0, 1))
    at = start.u_mm + (end.u_mm - start.u_mm) * share, start.v_mm + (end.v_mm - start.v_mm) * share
    found = hit(picture, layout, VIEW, VIEW.to_px(at))
    assert found is not None
    assert found.kind in ("node", "item", "leg")
    if found.kind == "leg":
        key = picture.covering.network.straight_of[found.id]
        order = picture.order
        mine = picture.covering.network.straight_of[name]
        # What is found lies over what was aimed at, or it is just that.
        assert order.index(key) >= order.index(mine)
        if found.id == name and (start.u_mm, start.v_mm) != (end.u_mm, end.v_mm):
            long = sum((b - a) ** 2 for a, b in zip(start, end, strict=True)) ** 0.5
            assert abs(found.at_mm - share * long) <= 1
    elif found.kind == "node":
        spot = spot_of(layout.view, layout.nodes[found.id])
        assert ((spot.u_mm - at[0]) ** 2 + (spot.v_mm - at[1]) ** 2) ** 0.5 * VIEW.scale <= 8 + 1e-6


@given(any_networks)
def test_a_box_round_everything_holds_everything(layout):
    picture = sheet_groups(covered(layout), {})
    assert in_box(picture, layout, picture.box) == layout.legs.keys() | layout.items.keys()
    low_x, low_y, _, _ = picture.box
    assert in_box(picture, layout, Box(low_x - 9000, low_y - 9000, low_x - 8000, low_y - 8000)) == set()


def test_lines_are_flat():
    """A line without width or ticks is as large as its points."""
    assert extent((Polyline(((1, 2), (5, 2)), "edge"),)) == (1, 2, 5, 2)
    assert extent((Polyline(((0, 0), (9, 0)), "centre", ticks=(5,), tick=2),)) == (-2, -2, 11, 2)
    assert extent((Circle((1, 1), 2),)) == (-1, -1, 3, 3)
