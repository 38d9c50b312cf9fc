"""The second pair of eyes sees every fault made by hand in a sound plan, and says where."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from layoutest.errors import InternalError
from layoutest.pack.audit import audit
from layoutest.pack.plan import pack
from layoutest.pack.problem import Offcut, PackRun, Problem

RUNS = (PackRun("a", 1960, (0.0, 45.0)), PackRun("b", 500, (45.0, 22.5)), PackRun("c", 600))
PLAN = pack(
    Problem(
        "wool", 1000, 55.0, RUNS, 2, rule="fewest", section_price=Decimal(10), joint_price=Decimal(1),
        van=(Offcut(640, 1, Decimal(1)),),
    )
)  # fmt: skip


def with_section(number, **changes):
    sections = list(PLAN.sections)
    sections[number] = replace(sections[number], **changes)
    return replace(PLAN, sections=tuple(sections))


def with_piece(number, place, **changes):
    pieces = list(PLAN.sections[number].pieces)
    pieces[place] = replace(pieces[place], **changes)
    return with_section(number, pieces=tuple(pieces))


def find(test):
    return next(
        (number, place)
        for number, section in enumerate(PLAN.sections)
        for place, piece in enumerate(section.pieces)
        if test(section, piece)
    )


def test_a_sound_plan_passes():
    audit(PLAN)


@pytest.mark.parametrize("field", ["wedge_mm", "kerf_mm", "offcut_mm", "scrap_mm"])
@pytest.mark.parametrize("number", range(len(PLAN.sections)))
def test_every_account_of_every_section_is_added_again(field, number):
    wrong = with_section(number, **{field: getattr(PLAN.sections[number], field) + 1})
    with pytest.raises(
        InternalError, match=rf"The plan for 'wool' is wrong and was not used: section {number + 1} says"
    ):
        audit(wrong)


def test_a_piece_that_lies_elsewhere():
    number, place = find(lambda section, piece: len(section.pieces) > 1 and piece.from_mm > 0)
    at = PLAN.sections[number].pieces[place].from_mm
    with pytest.raises(InternalError, match=rf"has a piece at {at - 1} mm that should begin at {at} mm"):
        audit(with_piece(number, place, from_mm=at - 1))


def test_a_mitred_piece_turned_without_its_place():
    number, place = find(lambda section, piece: piece.run == 1)
    turned = PLAN.sections[number].pieces[place].turned
    with pytest.raises(InternalError, match=r"'wool'.*section"):
        audit(with_piece(number, place, turned=not turned))


def test_a_run_that_is_short_or_whose_end_is_lost_or_doubled():
    short = replace(PLAN, problem=replace(PLAN.problem, runs=(*RUNS[:2], PackRun("c", 601))))
    with pytest.raises(InternalError, match=r"run 'c' is 601 mm long and its pieces 600 mm"):
        audit(short)
    number, place = find(lambda section, piece: piece.run == 0 and not piece.at_start and not piece.at_end)
    with pytest.raises(InternalError, match=r"run 'a' has its first end 2 times and its last end 1 times"):
        audit(with_piece(number, place, at_start=True))
    number, place = find(lambda section, piece: piece.run == 2)
    with pytest.raises(InternalError, match=r"run 'c' has its first end 1 times and its last end 0 times"):
        audit(with_piece(number, place, at_end=False))


def test_a_piece_under_its_least():
    strict = replace(PLAN, problem=replace(PLAN.problem, least_mm=151))
    with pytest.raises(InternalError, match=r"has a piece of 150 mm for 'a', whose least is 151 mm"):
        audit(strict)


def test_a_run_cut_though_it_must_not_be():
    runs = (replace(RUNS[0], one_piece=True), *RUNS[1:])
    with pytest.raises(InternalError, match=r"run 'a' is cut into 3 pieces, more than it may be"):
        audit(replace(PLAN, problem=replace(PLAN.problem, runs=runs)))


def test_an_overfull_section_and_one_of_another_length():
    number = next(number for number, section in enumerate(PLAN.sections) if section.from_van)
    with pytest.raises(InternalError, match=r"is overfull by \d+ mm"):
        audit(with_section(number, length_mm=500))
    with pytest.raises(InternalError, match=r"section 1 is 1001 mm long, not 1000 mm"):
        audit(with_section(0, length_mm=1001))
    with pytest.raises(InternalError, match=r"section 1 holds no piece"):
        audit(with_section(0, pieces=()))


def test_van_stock_is_not_overdrawn():
    with pytest.raises(InternalError, match=r"uses 1 van offcuts of 640 mm; there are 0"):
        audit(replace(PLAN, problem=replace(PLAN.problem, van=())))


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"bought": 1}, "says 1 sections, "),
        ({"joints": 1}, "sections, 1 joints"),
        ({"cost": Decimal(1)}, "says that it costs 1; its parts cost"),
        ({"at_least": 99}, "is below its bound of 99 sections"),
        ({"cost_at_least": Decimal(999)}, "is below its bound"),
        ({"sections": PLAN.sections[::-1]}, "does not list bought sections first"),
    ],
)
def test_sections_joints_cost_and_bound_are_counted_again(changes, says):
    with pytest.raises(InternalError, match=says):
        audit(replace(PLAN, **changes))
