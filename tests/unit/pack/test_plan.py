"""Whole plans of small problems whose answer is known by hand."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from layoutest.errors import UsageError
from layoutest.pack.plan import pack, unpackable
from layoutest.pack.problem import Offcut, PackRun, Problem


def problem(*runs, **changes):
    named = tuple(PackRun(f"r{at}", *run) for at, run in enumerate(runs, start=1))
    return replace(
        Problem("wool 60x40", 1000, 55.0, named, section_price=Decimal(10), joint_price=Decimal(1)), **changes
    )


def lengths(plan):
    return sorted(sorted(piece.length_mm for piece in section.pieces) for section in plan.sections)


def test_two_halves_of_a_bend_come_from_one_section():
    plan = pack(problem((500, (0.0, 45.0)), (500, (45.0, 0.0))))
    assert (plan.bought, plan.joints, plan.cost, plan.proven) == (1, 0, Decimal(10), True)
    assert plan.sections[0].wedge_mm == 0


def test_in_line_they_do_not():
    assert pack(problem((500, (0.0, 45.0)), (500, (45.0, 0.0)), slit_in_line=True, rule="fewest")).bought == 2


def test_a_joint_is_added_where_it_saves_a_section():
    runs = [(600,)] * 3 + [(200,)]
    fewest, priced = (pack(problem(*runs, rule=rule)) for rule in ("fewest", "priced"))
    assert (fewest.bought, fewest.joints, fewest.cost) == (3, 0, Decimal(30))
    assert (priced.bought, priced.joints, priced.cost) == (2, 1, Decimal(21))
    dear = pack(problem(*runs, joint_price=Decimal(11)))
    assert (dear.bought, dear.joints, dear.cost) == (3, 0, Decimal(30))


def test_the_least_piece_forbids_some_joints():
    """1050 and 940 with a least piece of 150: two sections only with two joints (850 + 150, 200 + 790), so 22."""
    plan = pack(problem((1050,), (940,)))
    assert plan.cost_at_least <= 22 <= plan.cost <= plan.by_hand_cost
    assert all(piece.length_mm >= 150 for section in plan.sections for piece in section.pieces)
    assert plan.at_least == 2


def test_the_van_is_used_where_it_costs_less():
    van = (Offcut(640, 2, Decimal(1)),)
    plan = pack(problem((1600,), van=van, rule="fewest"))
    assert [section.length_mm for section in plan.sections] == [1000, 640]
    assert (plan.bought, plan.cost, plan.at_least, plan.proven) == (1, Decimal(12), 1, True)
    dear = pack(problem((1600,), van=(Offcut(640, 2, Decimal(12)),), rule="fewest"))
    assert (dear.bought, dear.cost) == (2, Decimal(21))


def test_the_van_is_left_alone_where_the_slack_will_do():
    plan = pack(problem((600,), (400,), van=(Offcut(400, 1, Decimal(2)),), rule="fewest"))
    assert (plan.bought, plan.cost) == (1, Decimal(10))


def test_the_hand_takes_the_first_offcut_that_fits():
    """Drawing order: 400 and 300 share the first section; 600 opens a second and 350 goes there; 200 to the first."""
    plan = pack(problem((400,), (300,), (600,), (350,), (200,), rule="fewest"))
    assert (plan.by_hand_sections, plan.bought) == (2, 2)
    worse = pack(problem((400,), (300,), (600,), (700,), rule="fewest"))
    assert (worse.by_hand_sections, worse.bought, worse.proven) == (3, 2, True)


def test_the_hand_cuts_both_halves_of_a_mitre_at_once():
    plan = pack(problem((300, (0.0, 45.0)), (680, (45.0, 0.0)), rule="fewest"))
    assert (plan.by_hand_sections, plan.by_hand_cost) == (1, Decimal(10))


def test_runs_that_no_section_can_make_are_named_with_their_lengths():
    asked = problem((1200, (0.0, 0.0), True), (500,), (980, (45.0, 45.0), True))
    assert unpackable(asked) == ("r1", "r3")
    with pytest.raises(UsageError) as raised:
        pack(asked)
    assert str(raised.value) == (
        "wool 60x40: sections of 1000 mm with a least piece of 150 mm cannot make 'r1' (1200 mm), 'r3' (980 mm): "
        "a piece with the wedges of its mitres must fit in one section."
    )


def test_no_runs_are_a_plan_of_nothing():
    plan = pack(problem())
    assert (plan.sections, plan.cost, plan.proven) == ((), Decimal(0), True)


def test_very_many_small_pieces_and_very_long_runs_are_no_trouble():
    small = pack(problem(*[(3,)] * 2997, rule="priced"))
    assert small.bought == small.at_least == 9
    long = pack(problem((2_000_300, (45.0, 45.0)), rule="priced"))
    assert (long.bought, long.proven) == (2001, True)


def test_a_plan_is_never_dearer_than_cutting_by_hand():
    """17 and a wedge of 2 from a section; 6, a kerf of 1, 9 and a wedge of 2 fill an offcut of 18."""
    runs = [(17, (45.0, 0.0)), (6,), (9, (0.0, 45.0))]
    van = (Offcut(18, 2, Decimal(8)),)
    plan = pack(
        problem(*runs, section_mm=20, radius_mm=2.0, kerf_mm=1, least_mm=0, slit_in_line=True, rule="fewest", van=van)
    )
    assert plan.cost == plan.by_hand_cost == Decimal(18)
    assert lengths(plan) == [[6, 9], [17]]


def test_the_order_and_the_names_of_the_runs_do_not_matter():
    runs = [(150 + 97 * at % 2900, (45.0 * (at % 2), 22.5 * (at % 3 == 0))) for at in range(20)]
    one = pack(problem(*runs, kerf_mm=2))
    other = pack(problem(*runs[::2], *runs[1::2][::-1], kerf_mm=2))
    assert (one.cost, one.joints, lengths(one)) == (other.cost, other.joints, lengths(other))
    assert one.cost < one.by_hand_cost
