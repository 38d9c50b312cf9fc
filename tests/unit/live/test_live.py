"""What is kept and what is made again when a layout is edited."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from pathlib import Path
from types import MappingProxyType

import pytest

import layoutest
from layoutest.files.estimate_record import waste_percent
from layoutest.job import Source, estimate_job
from layoutest.layout.document import FittingChoice, Item, Node
from layoutest.live.live import live_of, with_plan, with_plans
from layoutest.pack.plan import pack
from layoutest.pack.problem import PackRun

DEMOS = sorted((Path(__file__).parents[3] / "demo_layouts").glob("*.layout.json"))
MID, SMALL = ("stone-wool-foil", 60.0, 40.0), ("stone-wool-foil", 28.0, 40.0)


def packed(live):
    return with_plans(live, [pack(problem) for problem in live.problems_to_pack()])


def moved(layout, **nodes):
    return replace(
        layout, nodes=MappingProxyType({**layout.nodes, **{name: Node(*at, 0) for name, at in nodes.items()}})
    )


def with_leg(layout, name, leg):
    return replace(layout, legs=MappingProxyType({**layout.legs, name: leg}))


@pytest.fixture(name="pair")
def two_apart(sketch):
    """A straight of 2500 mm of each of two pipes, far from one another; sections are 1000 mm long."""
    nodes = {"n1": (0, 0), "n2": (2500, 0), "n3": (0, 9000), "n4": (2500, 9000)}
    return sketch(nodes, {"l1": "n1 n2", "l2": "n3 n4 small"}).layout


@pytest.mark.parametrize("path", DEMOS, ids=lambda path: path.name)
def test_the_tally_with_exact_plans_says_what_the_estimate_says(path, book):
    layout = layoutest.load(path)
    live = packed(live_of(layout, book))
    tally, estimate = live.tally, estimate_job([Source("layout.layout.json", "", layout)], book)
    assert tally.sections == sum(stock.plan.bought for stock in estimate.stocks)
    assert tally.joints == sum(joints.count for joints in estimate.quantities.joints)
    assert tally.tape_mm == round(estimate.quantities.tape_um(book.tape_the_seam) / 1000)
    assert tally.waste_percent == Decimal(f"{waste_percent(estimate):.1f}")
    assert (tally.hours, tally.net, tally.known) == (estimate.cost.hours, estimate.cost.net, estimate.cost.known)
    assert (live.snags, live.complete, live.left_out) == (estimate.snags, estimate.complete, estimate.left_out)
    assert tally.proven == all(stock.plan.proven for stock in estimate.stocks)
    assert not tally.quick


@pytest.mark.parametrize("path", DEMOS, ids=lambda path: path.name)
def test_a_quick_tally_comes_near_the_exact_one(path, book):
    live = live_of(layoutest.load(path), book)
    exact = packed(live)
    assert live.tally.quick
    for key, stock in live.stocks.items():
        assert exact.stocks[key].plan.cost_at_least <= stock.plan.cost
        assert stock.plan.cost <= exact.stocks[key].plan.cost * Decimal("1.15")


def test_the_same_layout_is_the_same_object(pair, book):
    live = live_of(pair, book)
    assert live_of(pair, book, live) is live


def test_a_stock_that_nothing_touched_is_the_same_object(pair, book):
    live = packed(live_of(pair, book))
    after = live_of(moved(pair, n2=(2450, 0)), book, live)
    assert after.stocks[SMALL] is live.stocks[SMALL]
    assert after.joints["l2"] is live.joints["l2"]
    assert [stock.state for stock in after.stocks.values()] == ["proven", "quick"]
    assert [problem.stock for problem in after.problems_to_pack()] == ["stone-wool-foil 60x40"]


def test_a_stock_whose_problem_is_the_same_keeps_its_plan(pair, book):
    live = packed(live_of(pair, book))
    after = live_of(moved(pair, n1=(0, 50), n2=(2500, 50)), book, live)
    assert after.stocks[MID] is not live.stocks[MID]
    assert after.stocks[MID].plan is live.stocks[MID].plan
    assert after.stocks[MID].placed[0].named.straight.legs[0].line.at[1] == 50
    assert after.joints["l1"] is live.joints["l1"]
    assert after.problems_to_pack() == ()


def test_a_run_that_is_called_otherwise_keeps_its_plan(pair, book):
    live = packed(live_of(pair, book))
    nodes = MappingProxyType({**pair.nodes, "n5": Node(0, 5000, 0), "n6": Node(800, 5000, 0)})
    before_all = replace(pair.legs["l1"], start="n5", end="n6", pipe="big")
    after = live_of(with_leg(replace(pair, nodes=nodes), "l0", before_all), book, live)
    assert after.stocks[MID].state == "proven"
    assert [piece.label for piece in after.stocks[MID].placed[0].pieces] == ["s2.1-1", "s2.1-2", "s2.1-3"]
    assert after.stocks[MID].plan.problem == after.stocks[MID].task.problem
    assert after.stocks[MID].task.problem.runs == (PackRun("s2.1", 2500),)


def test_a_plan_goes_where_its_problem_is_asked_and_a_stale_one_nowhere(pair, book):
    live = live_of(pair, book)
    (stale,) = (pack(problem) for problem in live.problems_to_pack() if problem.stock == "stone-wool-foil 60x40")
    shorter = live_of(moved(pair, n2=(2450, 0)), book, live)
    assert with_plan(shorter, stale) is shorter
    back = with_plan(live_of(pair, book, shorter), stale)
    assert back.stocks[MID].plan is stale
    assert back.stocks[MID].state == "proven"
    assert with_plan(back, stale) is back


def test_joints_between_pieces_lie_along_their_straight(pair, book):
    live = live_of(pair, book)
    assert live.joints == {"l1": (1000.0, 2000.0), "l2": (1000.0, 2000.0)}
    assert packed(live).joints == live.joints


def test_a_hole_follows_its_branch_though_the_main_is_the_same(sketch, book):
    nodes = {"n1": (0, 0), "n2": (600, 0), "n3": (900, 0), "n4": (600, 800)}
    layout = sketch(nodes, {"l1": "n1 n2 big", "l2": "n2 n3 big", "l3": "n2 n4 small"}).layout
    live = live_of(layout, book)
    after = live_of(with_leg(layout, "l3", replace(layout.legs["l3"], pipe="mid")), book, live)
    assert after.covering.laid["l1"] is live.covering.laid["l1"]
    (run,) = after.stocks["stone-wool-foil", 114.0, 40.0].placed
    assert [hole.half_mm for hole in run.named.holes] == [70.0]
    assert [hole.node for hole in run.pieces[0].holes] == ["n2"]


def test_what_a_leg_is_made_of_is_told_again(sketch, book):
    layout = sketch({"n1": (0, 0), "n2": (2500, 0)}, {"l1": "n1 n2"}).layout
    layout = replace(
        layout, pipes=MappingProxyType({**layout.pipes, "odd": replace(layout.pipes["mid"], elbow_radius_mm=None)})
    )
    live = live_of(layout, book)
    assert live.snags == ()
    after = live_of(with_leg(layout, "l1", replace(layout.legs["l1"], pipe="odd")), book, live)
    assert [(snag.code, snag.where) for snag in after.snags] == [("elbow-unknown", ("l1",))]
    assert live_of(layout, book, after).snags == ()


def test_runs_that_no_section_can_hold_are_left_out_with_a_snag(sketch, book):
    """A bend of 90° in three mitres with elbows of 4 m has pieces longer than any section."""
    nodes = {"n1": (0, 0), "n2": (9000, 0), "n3": (9000, 9000)}
    fittings = {"n2": FittingChoice(mitres=3, elbow_radius_mm=4000)}
    layout = sketch(nodes, {"l1": "n1 n2", "l2": "n2 n3"}, fittings=fittings).layout
    live = live_of(layout, book)
    estimate = estimate_job([Source("layout.layout.json", "", layout)], book)
    assert "run-too-short" in [snag.code for snag in live.snags]
    assert live.snags == estimate.snags
    assert [run.name for run in live.stocks[MID].task.problem.runs] == ["s1.1", "s2.1"]
    assert packed(live).tally.known == estimate.cost.known
    assert not live.complete


def test_a_stock_of_which_nothing_can_be_made_is_none(sketch, book):
    """The same bend where items take up both straights: only its pieces would have to be covered."""
    nodes = {"n1": (0, 0), "n2": (9000, 0), "n3": (9000, 9000)}
    fittings = {"n2": FittingChoice(mitres=3, elbow_radius_mm=4000)}
    items = {f"v{leg}": Item(f"l{leg}", 4500, "other", 9000, "none") for leg in (1, 2)}
    layout = sketch(nodes, {"l1": "n1 n2", "l2": "n2 n3"}, fittings=fittings, items=items).layout
    live = live_of(layout, book)
    estimate = estimate_job([Source("layout.layout.json", "", layout)], book)
    assert (live.stocks, estimate.stocks) == ({}, ())
    assert live.snags == estimate.snags
    assert live.tally.known == estimate.cost.known


def test_a_layout_built_three_times_counts_three_times_and_is_told_once(pair, book):
    once, thrice = live_of(pair, book), live_of(replace(pair, times=3), book)
    assert thrice.tally.joints == 3 * once.tally.joints
    assert [run.name for run in thrice.stocks[MID].task.problem.runs] == [
        "layout:s1.1",
        "layout#2:s1.1",
        "layout#3:s1.1",
    ]
    # 2500 mm leave half a section over: two of the three share one.
    assert (once.stocks[MID].bought, thrice.stocks[MID].bought) == (3, 8)
    assert thrice.joints == once.joints
    estimate = estimate_job([Source("layout.layout.json", "", replace(pair, times=3))], book)
    assert packed(thrice).tally.net == estimate.cost.net


def test_nothing_drawn_is_an_empty_tally(sketch, book):
    live = live_of(sketch({}, {}).layout, book)
    assert (live.tally.sections, live.tally.joints, live.tally.waste_percent) == (0, 0, Decimal("0.0"))
    assert live.tally.proven
    assert not live.stocks
