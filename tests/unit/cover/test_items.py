"""Items: where they stand, the gaps they leave, and those that cannot stand."""

from __future__ import annotations

from dataclasses import replace
from math import pi, radians, sqrt, tan

import pytest

from layoutest.choose import choose
from layoutest.cover.covering import cover
from layoutest.layout.document import FittingChoice, Item
from layoutest.network import derive

LINE = {"n1": (0, 0), "n2": (2000, 0)}
LONG = {"n1": (0, 0), "n2": (2000, 0), "n3": (2000, 1500)}  # its bend has three mitres: 146.41 mm taken on each side
TAKE_MM = 200 - 200 * tan(radians(15))


def spans(drawn, of="l1"):
    """From where to where each run goes along its straight."""
    return [(round(run.from_mm, 3), round(run.from_mm + run.covered_mm, 3)) for run in drawn.runs(of)]


def on_line(draw, *items, legs=None, nodes=LINE, **more):
    named = {f"v{number}": item for number, item in enumerate(items, start=1)}
    return draw(nodes, legs or {"l1": "n1 n2 tight"}, items=named, **more)


def codes(drawn):
    return [snag[0] for snag in drawn.snags()]


def test_an_item_splits_the_straight_with_square_ends(draw):
    drawn = on_line(draw, Item("l1", 800, length_mm=200))
    assert spans(drawn) == [(0, 700), (900, 2000)]
    first, second = drawn.runs("l1")
    assert (first.ends[1].cut, first.ends[1].item, first.ends[1].node) == ("square", "v1", None)
    assert (second.ends[0].cut, second.ends[0].item, second.number) == ("square", "v1", 2)
    assert drawn.seals() == ["n1", "n2", "v1", "v1"]
    assert codes(drawn) == []


@pytest.mark.parametrize(("covered", "seals", "faces"), [("jacket", 2, 0), ("bare", 2, 0), ("insert", 0, 2)])
def test_seals_at_a_gap_and_joints_at_an_insert(draw, covered, seals, faces):
    drawn = on_line(draw, Item("l1", 800, length_mm=200, covered=covered))
    assert drawn.seals().count("v1") == seals
    assert drawn.joints() == [("v1", "square", 1, round(110 * pi, 1))] * faces


def test_the_covering_runs_over_an_item_that_is_through(draw):
    drawn = on_line(draw, Item("l1", 800, "support", 200, "through"))
    assert spans(drawn) == [(0, 2000)]
    assert [placed.id for placed in drawn.covering.laid["l1"].items] == ["v1"]


def test_what_is_left_clear_on_both_sides(draw):
    assert spans(on_line(draw, Item("l1", 800, length_mm=200, clear_mm=50))) == [(0, 650), (950, 2000)]


def test_what_is_left_clear_is_clipped_at_the_next_item_and_at_the_end(draw):
    drawn = on_line(
        draw,
        Item("l1", 150, length_mm=200, clear_mm=400),
        Item("l1", 500, length_mm=300, clear_mm=100),
    )
    assert spans(drawn) == [(750, 2000)]
    placed = drawn.covering.laid["l1"].items
    assert [(item.from_mm, item.to_mm) for item in placed] == [(50, 250), (350, 650)]
    assert drawn.seals() == ["n2", "v2"]
    assert codes(drawn) == []


def test_items_that_touch_leave_no_run_and_no_snag(draw):
    drawn = on_line(draw, Item("l1", 500, length_mm=200), Item("l1", 700, length_mm=200))
    assert spans(drawn) == [(0, 400), (800, 2000)]
    assert drawn.seals() == ["n1", "n2", "v1", "v2"]
    assert codes(drawn) == []


def test_an_item_that_reaches_an_end_leaves_no_run_and_no_seal_there(draw):
    drawn = on_line(draw, Item("l1", 100, length_mm=200))
    assert spans(drawn) == [(200, 2000)]
    assert drawn.seals() == ["n2", "v1"]
    assert codes(drawn) == []


def test_items_over_the_whole_straight(draw):
    drawn = on_line(draw, Item("l1", 1000, length_mm=2000))
    assert (drawn.runs(), drawn.seals(), codes(drawn)) == ([], [], [])


def test_an_item_past_the_end_is_left_out_and_the_covering_runs_through(draw):
    drawn = on_line(draw, Item("l1", 1950, length_mm=200), Item("l1", 20, length_mm=41))
    assert spans(drawn) == [(0, 2000)]
    assert drawn.snags() == [("item-past-end", "l1", "v1"), ("item-past-end", "l1", "v2")]
    first, _ = drawn.covering.snags()
    assert first.says == "Item v1 stands 50 mm past the end of its straight and is left out."
    assert drawn.covering.laid["l1"].items == ()


@pytest.mark.parametrize(
    ("covered", "other"), [("jacket", "jacket"), ("through", "jacket"), ("jacket", "through"), ("through", "through")]
)
def test_the_later_of_two_items_in_one_place_goes(draw, covered, other):
    drawn = draw(
        LINE,
        {"l1": "n1 n2 tight"},
        items={
            "v10": Item("l1", 800, length_mm=200, covered=covered),
            "v9": Item("l1", 999, length_mm=200, covered=other),
        },
    )
    assert [placed.id for placed in drawn.covering.laid["l1"].items] == ["v9"]
    assert drawn.snags() == [("items-overlap", "l1", "v10", "v9")]


def test_an_item_left_out_does_not_push_out_another(draw):
    drawn = on_line(
        draw,
        Item("l1", 500, length_mm=200),
        Item("l1", 650, length_mm=200),
        Item("l1", 800, length_mm=200),
    )
    assert [placed.id for placed in drawn.covering.laid["l1"].items] == ["v1", "v3"]


def test_an_item_within_another_and_one_around_it(draw):
    assert codes(on_line(draw, Item("l1", 800, length_mm=600), Item("l1", 900, length_mm=50))) == ["items-overlap"]
    assert codes(on_line(draw, Item("l1", 900, length_mm=50), Item("l1", 800, length_mm=600))) == ["items-overlap"]


def test_an_item_over_a_node_in_the_straight(draw):
    nodes = {"n1": (0, 0), "n2": (1000, 0), "n3": (3000, 0)}
    drawn = on_line(draw, Item("l1", 950, length_mm=400), nodes=nodes, legs={"l1": "n1 n2 tight", "l2": "n2 n3 tight"})
    assert spans(drawn) == [(0, 750), (1150, 3000)]
    assert codes(drawn) == []


def test_a_measured_leg_moves_the_item_but_not_its_length(draw, make_leg):
    legs = {"l1": make_leg("n1 n2 tight", measured_mm=3000)}
    drawn = on_line(draw, Item("l1", 500, length_mm=200, clear_mm=10), legs=legs)
    assert spans(drawn) == [(0, 640), (860, 3000)]


def test_a_leg_drawn_against_the_straight(draw):
    nodes = {"n1": (0, 0), "n2": (1000, 0), "n3": (3000, 0)}
    drawn = on_line(draw, Item("l2", 300, length_mm=200), nodes=nodes, legs={"l1": "n1 n2 tight", "l2": "n3 n2 tight"})
    assert spans(drawn) == [(0, 2600), (2800, 3000)]


def test_a_measured_leg_drawn_against_the_straight(draw, make_leg):
    nodes = {"n1": (0, 0), "n2": (1000, 0), "n3": (3000, 0)}
    legs = {"l1": "n1 n2 tight", "l2": make_leg("n3 n2 tight", measured_mm=1000)}
    drawn = on_line(draw, Item("l2", 600, length_mm=200), nodes=nodes, legs=legs)
    assert spans(drawn) == [(0, 1600), (1800, 2000)]


@pytest.mark.parametrize(
    ("kind", "length_mm"), [("valve", 230), ("flange", 50), ("strainer", 230), ("pump", 280), ("support", 50)]
)
def test_without_a_length_the_book_gives_one(draw, kind, length_mm):
    # The rows of the example book for an outside diameter of 60 mm.
    drawn = on_line(draw, Item("l1", 1000, kind))
    assert spans(drawn) == [(0, 1000 - length_mm / 2), (1000 + length_mm / 2, 2000)]


def test_a_length_that_nobody_gives_is_told(draw, book):
    drawn = on_line(draw, Item("l1", 1000, "pump"))
    poor = replace(book, items=())
    covering = cover(derive(choose(drawn.layout, poor)))
    (snag,) = covering.snags()
    assert (snag.code, snag.where) == ("missing-price", ("l1", "v1"))
    assert snag.says == "Item v1 has no length, and the price book none for a pump on 60 mm."
    assert [run.covered_mm for run in covering.runs()] == [2000]


def test_items_of_a_bare_leg_stand_but_leave_no_runs(draw, make_leg):
    legs = {"l1": make_leg("n1 n2 tight", covered=False)}
    drawn = on_line(draw, Item("l1", 800, length_mm=200), Item("l1", 850, length_mm=20), legs=legs)
    assert [placed.id for placed in drawn.covering.laid["l1"].items] == ["v1"]
    assert codes(drawn) == ["items-overlap"]
    assert (drawn.runs(), drawn.seals(), drawn.joints(), drawn.fittings()) == ([], [], [], [])


def at_elbow(draw, at_mm, length_mm, **more):
    """An item near the end of the straight that turns into an elbow with three mitres."""
    item = Item("l1", 2000 - at_mm, length_mm=length_mm, **more)
    return on_line(draw, item, nodes=LONG, legs={"l1": "n1 n2 long", "l2": "n2 n3 long"})


def test_a_gap_that_starts_inside_what_an_elbow_takes(draw):
    drawn = at_elbow(draw, 150, 100)
    assert spans(drawn) == [(0, 1800)]
    (run,) = drawn.runs("l1")
    assert (run.ends[1].cut, run.ends[1].item) == ("square", "v1")
    # Two of the bend's three joints are made: the elbow keeps its pieces, with an end seal towards the item.
    (bend,) = drawn.made("n2").fittings
    assert (bend.kind, bend.mitres) == ("bend", 3)
    assert [(place, kind, count) for place, kind, count, _ in drawn.joints()] == [("n2", "mitre", 2)]
    assert len(drawn.runs("n2")) == 2
    assert drawn.run("l2").covered_mm == pytest.approx(1500 - TAKE_MM)
    assert drawn.run("l2").ends[0].cut == "mitre"
    assert drawn.seals() == ["n1", "n2", "n3", "v1"]
    assert codes(drawn) == []


def test_a_gap_wholly_inside_what_an_elbow_takes_changes_nothing(draw):
    drawn = at_elbow(draw, 80, 100)
    plain = on_line(draw, nodes=LONG, legs={"l1": "n1 n2 long", "l2": "n2 n3 long"})
    assert drawn.runs() == plain.runs()
    assert drawn.covering.joined == plain.covering.joined
    assert [placed.id for placed in drawn.covering.laid["l1"].items] == ["v1"]
    assert codes(drawn) == []


def test_what_is_left_clear_can_reach_out_of_what_an_elbow_takes(draw):
    drawn = at_elbow(draw, 80, 100, clear_mm=100)
    assert spans(drawn) == [(0, 2000 - 230)]


def test_a_gap_on_both_sides_of_an_elbow_of_two_mitres_leaves_nothing_of_it(draw):
    drawn = on_line(
        draw,
        Item("l1", 1900, length_mm=100),
        Item("l2", 100, length_mm=100),
        nodes=LONG,
        legs={"l1": "n1 n2 long", "l2": "n2 n3 long"},
        fittings={"n2": FittingChoice(mitres=2)},
    )
    assert drawn.runs("n2") == []
    assert ("n2", "bend") not in drawn.fittings()
    assert drawn.joints() == []
    assert drawn.seals() == ["n1", "n3", "v1", "v2"]


def test_a_gap_on_both_sides_of_an_elbow_of_three_leaves_its_middle_joint(draw):
    drawn = on_line(
        draw,
        Item("l1", 1900, length_mm=120),
        Item("l2", 100, length_mm=120),
        nodes=LONG,
        legs={"l1": "n1 n2 long", "l2": "n2 n3 long"},
    )
    assert [(place, kind, count) for place, kind, count, _ in drawn.joints()] == [("n2", "mitre", 1)]
    assert len(drawn.runs("n2")) == 2
    assert ("n2", "bend") in drawn.fittings()
    assert drawn.seals() == ["n1", "n2", "n2", "n3", "v1", "v2"]


def test_a_gap_at_a_pre_formed_cover(draw):
    drawn = on_line(
        draw,
        Item("l1", 1800, length_mm=100),
        nodes=LONG,
        legs={"l1": "n1 n2 long", "l2": "n2 n3 long"},
        fittings={"n2": FittingChoice(cover="preformed")},
    )
    assert spans(drawn) == [(0, 1750)]
    assert drawn.joints() == [("n2", "square", 1, round(110 * pi, 1))]
    assert ("n2", "bend") in drawn.fittings()
    assert drawn.seals() == ["n1", "n2", "n3", "v1"]


def test_a_valve_at_the_corner_of_a_bend_with_one_mitre(draw):
    drawn = on_line(draw, Item("l1", 1900, length_mm=200), nodes=LONG, legs={"l1": "n1 n2 tight", "l2": "n2 n3 tight"})
    assert spans(drawn) == [(0, 1800)]
    # The other side keeps its mitre, closed with a seal; no joint is made, so there is no bend.
    end = drawn.run("l2").ends[0]
    assert (end.cut, end.angle_deg, end.node) == ("mitre", 45, "n2")
    assert drawn.run("l2").covered_mm == 1500
    assert drawn.joints() == []
    assert ("n2", "bend") not in drawn.fittings()
    assert drawn.seals() == ["n1", "n2", "n3", "v1"]


TEE = {"n1": (0, 0), "n2": (2000, 0), "n3": (5000, 0), "n4": (2000, 1500)}


def on_branch(draw, make_leg, item):
    """An item on a branch of D 72 mm that leaves a main of D 194: a saddle, which takes 90.07 mm."""
    wide = {name: make_leg(f"{text} wide", thickness_mm=40) for name, text in (("l1", "n1 n2"), ("l2", "n2 n3"))}
    return draw(TEE, {**wide, "l3": "n2 n4 slim"}, items={"v1": item})


def test_a_gap_that_starts_inside_what_a_saddle_takes(draw, make_leg):
    drawn = on_branch(draw, make_leg, Item("l3", 100, length_mm=100))
    assert spans(drawn, "l3") == [(150, 1500)]
    assert drawn.run("l3").ends[0].cut == "square"
    assert drawn.joints() == []
    assert ("n2", "tee") not in drawn.fittings()
    assert drawn.covering.holes() == {}
    assert drawn.seals() == ["n1", "n3", "n4", "v1"]


def test_a_gap_wholly_inside_what_a_saddle_takes_changes_nothing(draw, make_leg):
    drawn = on_branch(draw, make_leg, Item("l3", 50, length_mm=60))
    assert spans(drawn, "l3") == [(round(sqrt(97**2 - 36**2), 3), 1500)]
    assert ("n2", "tee") in drawn.fittings()


def test_a_gap_of_the_main_over_its_branch(draw, make_leg):
    drawn = draw(
        TEE,
        {"l1": "n1 n2 tight", "l2": "n2 n3 tight", "l3": "n2 n4 tight"},
        items={"v1": Item("l1", 1950, length_mm=200)},
    )
    assert spans(drawn) == [(0, 1850), (2050, 5000)]
    # The branch keeps its end and is sealed.
    assert drawn.run("l3").ends[0].cut == "notch"
    assert drawn.joints() == []
    assert ("n2", "tee") not in drawn.fittings()
    assert drawn.seals() == ["n1", "n2", "n3", "n4", "v1", "v1"]


def test_an_item_at_a_reducer_unmakes_it(draw):
    nodes = {"n1": (0, 0), "n2": (2000, 0), "n3": (5000, 0)}
    drawn = on_line(draw, Item("l1", 1900, length_mm=200), nodes=nodes, legs={"l1": "n1 n2 tight", "l2": "n2 n3 slim"})
    assert spans(drawn) == [(0, 1800)]
    assert drawn.joints() == []
    assert ("n2", "reducer") not in drawn.fittings()
    assert drawn.seals() == ["n1", "n2", "n3", "v1"]
    assert codes(drawn) == []


def test_the_seal_on_what_is_left_of_an_elbow_is_as_large_as_the_elbow(draw):
    # A bend of two sizes in two mitres, with a gap on the side of the larger pipe.
    drawn = on_line(
        draw,
        Item("l1", 1900, length_mm=100),
        nodes=LONG,
        legs={"l1": "n1 n2 long", "l2": "n2 n3 slim"},
        fittings={"n2": FittingChoice(mitres=2)},
    )
    (seal,) = drawn.made("n2").seals
    assert seal.leg.spec.covered_diameter_mm == 110
    assert [joint[:3] for joint in drawn.joints()] == [("n2", "mitre", 1)]
