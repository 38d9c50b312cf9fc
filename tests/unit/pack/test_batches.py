"""The quick plan by kinds: what it buys, and that its pieces find their runs."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from decimal import Decimal

from hypothesis import given
from hypothesis import strategies as st

from layoutest.pack.audit import audit
from layoutest.pack.batches import batches_of, sections_of
from layoutest.pack.draft import bought_in
from layoutest.pack.pieces import can_be_cut, fixed_parts, kind_of
from layoutest.pack.plan import pack
from layoutest.pack.problem import Offcut, PackRun, Plan, Problem
from layoutest.pack.quick import quick_draft
from layoutest.pack.shape import Shapes


def problem(*runs, **changes):
    named = tuple(PackRun(f"r{at}", *run) for at, run in enumerate(runs))
    asked = Problem("x", 1000, 55.0, named, rule="fewest", section_price=Decimal(10), joint_price=Decimal(1))
    return replace(asked, **changes)


def quick(asked):
    batches = batches_of(asked, Counter(map(kind_of, asked.runs)))
    sections, found = sections_of(asked, batches)
    bought = sum(not section.from_van for section in sections)
    joints = sum(map(len, found)) - len(found)
    van = sum((batch.sections * batch.van_value for batch in batches if batch.van_value is not None), Decimal(0))
    cost = bought * asked.section_price + joints * asked.joint_price + van
    plan = Plan(asked, sections, bought, joints, cost, 0, Decimal(0), bought, cost)
    audit(plan)
    return plan, found


def test_like_sections_are_packed_in_one_step():
    asked = problem(*[(600,)] * 3, *[(400,)] * 3, *[(300,)] * 3)
    batches = batches_of(asked, Counter(map(kind_of, asked.runs)))
    assert [(batch.sections, [piece.length_mm for piece in batch.pieces]) for batch in batches] == [
        (3, [600, 400]),
        (1, [300, 300, 300]),
    ]


def test_pieces_go_to_their_runs_in_order_along_them():
    # Sections of 1000: 2100 is 1000 + 950 + 150, since no piece is shorter than 150.
    plan, found = quick(problem((2100,), (500,)))
    assert [piece.length_mm for piece, _ in found[0]] == [1000, 950, 150]
    assert [(piece.at_start, piece.at_end) for piece, _ in found[0]] == [(True, False), (False, False), (False, True)]
    for run in found:
        for piece, (section, place) in run:
            assert plan.sections[section].pieces[place] is piece


def test_offcuts_from_the_van_are_used_where_they_cost_less():
    plan, _ = quick(problem((400,), (400,), van=(Offcut(450, 1, Decimal(1)), Offcut(400, 1, Decimal(0)))))
    assert (plan.bought, plan.cost) == (0, Decimal(1))
    plan, _ = quick(problem((400,), (400,), van=(Offcut(450, 2, Decimal(9)),)))
    assert (plan.bought, plan.cost) == (1, Decimal(10))


def test_it_takes_little_more_than_the_thorough_plan():
    runs = tuple((150 + 97 * at % 2900, (45.0 * (at % 2), 45.0 * (at % 3 == 0))) for at in range(200))
    asked = problem(*runs, kerf_mm=2)
    plan, _ = quick(asked)
    thorough = pack(asked)
    assert thorough.cost_at_least <= thorough.cost <= plan.cost <= thorough.cost * Decimal("1.01")


lengths = st.integers(1, 60).map(lambda halves: 50 * halves)


@given(st.lists(lengths, min_size=1, max_size=60), st.integers(0, 4))
def test_square_runs_take_as_many_sections_as_packing_them_one_by_one(drawn, kerf_mm):
    asked = problem(*[(length,) for length in drawn], kerf_mm=kerf_mm)
    plan, _ = quick(asked)
    _, draft = quick_draft(asked, Shapes(asked), fixed_parts(asked))
    assert plan.bought == bought_in(draft)


@given(
    st.lists(st.tuples(lengths, st.tuples(*[st.sampled_from([0.0, 11.25, 22.5, 45.0, 30.0])] * 2)), max_size=30),
    st.integers(0, 4),
    st.booleans(),
    st.lists(st.builds(Offcut, lengths, st.integers(1, 3), st.integers(0, 12).map(Decimal)), max_size=3),
)
def test_any_quick_plan_passes_the_audit_and_its_cost_hangs_on_kinds_alone(drawn, kerf_mm, slit_in_line, van):
    asked = problem(*drawn, kerf_mm=kerf_mm, slit_in_line=slit_in_line, van=tuple(van))
    asked = replace(asked, runs=tuple(run for run in asked.runs if can_be_cut(asked, run)))
    plan, _ = quick(asked)
    turned, _ = quick(replace(asked, runs=asked.runs[::-1]))
    assert [section.waste_mm for section in turned.sections] == [section.waste_mm for section in plan.sections]
    assert turned.cost == plan.cost
