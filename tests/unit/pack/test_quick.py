"""The quick plan: sound, near the thorough one, and the choice among equals."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from layoutest.pack.draft import cost_of, laid, tidiness
from layoutest.pack.pieces import fixed_parts
from layoutest.pack.plan import pack
from layoutest.pack.problem import Offcut, PackRun, Problem
from layoutest.pack.quick import quick_draft, van_of
from layoutest.pack.shape import Shapes


def problem(*runs, **changes):
    named = tuple(PackRun(f"r{at}", *run) for at, run in enumerate(runs))
    asked = Problem("x", 1000, 55.0, named, rule="fewest", section_price=Decimal(10), joint_price=Decimal(1))
    return replace(asked, **changes)


def quick(asked, **more):
    shapes = Shapes(asked)
    cost, draft = quick_draft(asked, shapes, fixed_parts(asked), **more)
    assert cost == cost_of(asked, draft)
    return cost, laid(asked, shapes, draft, range(len(asked.runs)))


PLANT = tuple((150 + 97 * at % 2900, (45.0 * (at % 2), 45.0 * (at % 3 == 0))) for at in range(200))


def test_two_hundred_runs_take_little_more_than_the_thorough_plan():
    asked = problem(*PLANT, kerf_mm=2)
    cost, sections = quick(asked)
    thorough = pack(asked)
    assert thorough.cost_at_least <= thorough.cost <= cost <= thorough.cost * Decimal("1.01")
    assert sum(piece.length_mm for section in sections for piece in section.pieces) == sum(run[0] for run in PLANT)


def test_it_does_not_move_joints():
    asked = problem((600,), (600,), (600,), (200,), rule="priced")
    assert quick(asked)[0] == Decimal(30)
    assert pack(asked).cost == Decimal(21)


def test_it_takes_from_the_van_what_that_saves():
    van = (Offcut(640, 2, Decimal(1)),)
    assert quick(problem((640,), (640,), van=van))[0] == Decimal(2)
    assert quick(problem((640,), (360,), van=(Offcut(640, 1, Decimal(9)), Offcut(360, 1, Decimal(9)))))[0] == Decimal(
        10
    )


def test_van_offcuts_are_listed_cheapest_for_their_length_and_none_dearer_than_a_section():
    van = (
        Offcut(300, 2, Decimal(3)),
        Offcut(600, 1, Decimal(3)),
        Offcut(900, 5, Decimal(10)),
        Offcut(500, 9, Decimal(0)),
    )
    asked = problem((800,), (700,), van=van)
    assert van_of(asked) == ((500, 0), (500, 0), (600, 3), (300, 3), (300, 3))
    assert van_of(asked, 1) == ((500, 0), (500, 0))


def test_a_part_that_empties_a_section_moves_to_the_van():
    """700 + 300 and 600 + 250 + 150 fill two sections; 400 alone opens a third unless the van gives 400."""
    runs = [(700,), (300,), (600,), (250,), (150,), (400,)]
    plan = pack(problem(*runs, van=(Offcut(400, 3, Decimal(2)),)))
    assert (plan.bought, plan.cost, plan.proven) == (2, Decimal(22), True)


def test_of_van_offcuts_of_one_length_the_cheapest_is_used():
    van = (Offcut(640, 1, Decimal(5)), Offcut(640, 1, Decimal(2)))
    assert pack(problem((640,), van=van)).cost == Decimal(2)


def test_among_plans_of_one_cost_the_fewest_cuts_and_then_the_longest_offcut():
    """600, 400 and 300 in two sections: 600 + 400 needs one cut, and 300 leaves an offcut of 700."""
    plan = pack(problem((600,), (400,), (300,)))
    assert tidiness(plan.problem, plan.sections) == (2, -700)


def test_what_fills_a_section_is_found_where_best_fit_does_not():
    """Best fit puts 500 with 300 and needs three sections; 500 + 250 + 250 and 360 + 340 + 300 need two."""
    runs = [(500,), (360,), (340,), (300,), (250,), (250,)]
    assert len(quick(problem(*runs))[1]) >= pack(problem(*runs)).bought == 2
