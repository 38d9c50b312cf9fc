"""What lies under the pointer, against a plain look at every leg, node, item and outline."""

from __future__ import annotations

import random
import sys
from dataclasses import replace
from math import dist, hypot
from pathlib import Path
from types import MappingProxyType

import pytest

sys.path.insert(0, str(Path(__file__).parent))
from desk import NAMES, Desk, demo

from layoutest.edit.items import add_item
from layoutest.editor.hit import Hit, hit, in_box
from layoutest.layout.document import Outline
from layoutest.layout.plane import spot_of

RANK = {"node": 0, "item": 1, "leg": 2, "outline": 3}


def ends(layout, name):
    leg = layout.legs[name]
    return [spot_of(layout.view, layout.nodes[node]) for node in (leg.start, leg.end)]


def away(point, low, high):
    """How far a point is from a line between two, and how far along it that is, from 0 to 1."""
    du, dv = high[0] - low[0], high[1] - low[1]
    square = du * du + dv * dv
    share = min(max(((point[0] - low[0]) * du + (point[1] - low[1]) * dv) / square, 0), 1) if square else 0.0
    return hypot(point[0] - low[0] - share * du, point[1] - low[1] - share * dv), share


def plainly(state, point):
    """The kinds and ids of all that could be hit at a place, the nearest nodes first."""
    layout, scale = state.layout, state.view.scale
    nodes, legs = {}, set()
    for name, leg in layout.legs.items():
        low, high = ends(layout, name)
        chosen = state.live.covering.network.chosen.legs.get(name)
        half = chosen.spec.covered_diameter_mm / 2 if chosen else 0
        for node, spot in ((leg.start, low), (leg.end, high)):
            off = dist(point, spot[:2])
            if off <= 8 / scale:
                nodes[node] = off
        if away(point, low[:2], high[:2])[0] <= max(half, 6 / scale):
            legs.add(name)
    return nodes, legs


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("factor", [0.3, 1, 4])
def test_what_is_hit_is_what_a_look_at_everything_finds(name, factor):
    desk = Desk(name)
    sheet = desk.state.regions.sheet
    middle = (sheet.low_x + sheet.high_x) / 2, (sheet.low_y + sheet.high_y) / 2
    left, top = desk.state.view.to_mm(middle)
    scale = desk.state.view.scale * factor
    desk.state = replace(
        desk.state, view=desk.state.view.__class__(scale, left - middle[0] / scale, top + middle[1] / scale)
    )
    pick, layout = random.Random(f"{name} {factor}"), desk.document
    kinds = set()
    for _ in range(400):
        leg = pick.choice(sorted(layout.legs))
        low, high = ends(layout, leg)
        share = pick.choice([0, 1, pick.random(), pick.random()])
        point = [a + (b - a) * share + pick.gauss(0, 12 / scale) for a, b in zip(low[:2], high[:2], strict=True)]
        found = hit(desk.state.picture, layout, desk.state.view, desk.state.view.to_px(point))
        nodes, legs = plainly(desk.state, point)
        kinds.add(found.kind if found else "")
        if nodes:
            assert found.kind == "node"
            assert nodes[found.id] == pytest.approx(min(nodes.values()), abs=1e-6)
        elif found is None or found.kind == "outline":
            assert not legs
        elif found.kind == "leg":
            assert found.id in legs
            low, high = ends(layout, found.id)
            assert found.at_mm == pytest.approx(away(point, low[:2], high[:2])[1] * dist(low, high), abs=1)
        else:
            item = layout.items[found.id]
            low, high = ends(layout, item.leg)
            assert item.leg in legs or dist(point, low[:2]) < 1000
    assert {"node", "leg", ""} <= kinds


def test_what_is_unknown_or_left_out_can_still_be_hit():
    layout = replace(
        demo("first-five-minutes"),
        legs=MappingProxyType(
            {**demo("first-five-minutes").legs, "l1": replace(demo("first-five-minutes").legs["l1"], pipe="?")}
        ),
    )
    desk = Desk(layout)
    assert hit(desk.state.picture, layout, desk.state.view, desk.px(800, 0)) == Hit("leg", "l1", 800)


def test_an_item_lies_over_its_leg_as_wide_as_it_is_long():
    layout, item = add_item(demo("first-five-minutes"), "l2", 1100, "pump")
    desk = Desk(
        replace(layout, items=MappingProxyType({**layout.items, item: replace(layout.items[item], length_mm=600)}))
    )
    found = [hit(desk.state.picture, desk.document, desk.state.view, desk.px(3400, v)) for v in (700, 850, 1350, 1500)]
    assert [one.kind for one in found] == ["leg", "item", "item", "leg"]
    assert found[1] == Hit("item", item, 1100)


def test_outlines_are_hit_inside_their_corners_under_everything_else_and_slabs_are_not():
    corner = ((-500, -500), (2000, -500), (2000, 500), (1000, 500), (1000, 1500), (-500, 1500))
    outlines = {"w1": Outline("plant", corner), "w2": Outline("slab", ((3000, 3000), (4000, 3000), (4000, 4000)))}
    desk = Desk(replace(demo("first-five-minutes"), structure=MappingProxyType(outlines)))

    def at(u, v):
        found = hit(desk.state.picture, desk.document, desk.state.view, desk.px(u, v))
        return found and found[:2]

    assert at(500, 1200) == ("outline", "w1")
    assert at(1500, 1000) is None, "in the corner that is cut out"
    assert at(700, 0) == ("leg", "l1")
    assert at(3700, 3300) is None


@pytest.mark.parametrize("name", NAMES)
def test_a_box_holds_what_lies_wholly_in_it(name):
    desk, pick = Desk(name), random.Random(name)
    layout, picture = desk.document, desk.state.picture
    spots = [spot_of(layout.view, node) for node in layout.nodes.values()]
    for _ in range(60):
        (u0, v0, _), (u1, v1, _) = pick.choice(spots), pick.choice(spots)
        grow = pick.choice([-200, 0, 300])
        box = (min(u0, u1) - grow, min(v0, v1) - grow, max(u0, u1) + grow, max(v0, v1) + grow)

        def holds(spot, box=box):
            return box[0] <= spot[0] <= box[2] and box[1] <= spot[1] <= box[3]

        legs = {leg for leg in layout.legs if all(map(holds, ends(layout, leg)))}
        items = {item for item in layout.items if layout.items[item].leg in legs}
        found = in_box(picture, layout, box)
        assert found - layout.structure.keys() == legs | items
    assert in_box(picture, layout, (-1e6, -1e6, 1e6, 1e6)) == {*layout.legs, *layout.items, *layout.structure}
