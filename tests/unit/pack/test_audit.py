"""The second pair of eyes sees every fault made by hand in a sound plan, and says where."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from layoutest.errors import InternalError
from layoutest.pack.audit import audit
from layoutest.pack.plan import pack
from layoutest.pack.problem import CutSection, Offcut, PackRun, Piece, Plan, Problem

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


# A plan worked by hand: sections of 1000 mm, R 55 mm, kerf 2 mm (3 mm at 45 and at 22.5 degrees), wedges 55 and 23 mm.
# The first mitres of b and a share a cut; behind b come a wedge of 23, a kerf of 3 and the uncut run d; 21 mm are left,
# 2 of them kerf.
ASKED = Problem(
    "wool", 1000, 55.0, (*RUNS, PackRun("d", 300, one_piece=True)), 2, rule="fewest",
    section_price=Decimal(10), joint_price=Decimal(1), van=(Offcut(640, 1, Decimal(1)),),
)  # fmt: skip
A_FIRST = Piece(0, True, False, 1000, False, 0)
A_MIDDLE = Piece(0, False, False, 810, False, 0)
A_LAST = Piece(0, False, True, 150, False, 0)
B = Piece(1, True, True, 500, False, 153)
C = Piece(2, True, True, 600, False, 0)
D = Piece(3, True, True, 300, False, 679)
FULL = CutSection(1000, False, (A_FIRST,), 0, 0, 0, 0)
MIXED = CutSection(1000, False, (A_LAST, B, D), 23, 3 + 3 + 2, 0, 19)
REST = CutSection(1000, False, (A_MIDDLE,), 0, 2, 188, 0)
VAN = CutSection(640, True, (C,), 0, 2, 0, 38)
SOUND = Plan(ASKED, (FULL, MIXED, REST, VAN), 3, 2, Decimal(33), 2, Decimal(33), 3, Decimal(33), "proven")


def cut(*sections, **changes):
    return replace(SOUND, sections=sections, **changes)


def asked(plan, **changes):
    return replace(plan, problem=replace(plan.problem, **changes))


CORRUPT = {
    "a piece is missing": (
        cut(
            FULL,
            replace(MIXED, pieces=(A_LAST, replace(D, from_mm=208)), wedge_mm=55, kerf_mm=5, offcut_mm=490, scrap_mm=0),
            REST,
            VAN,
        ),
        "run 'b' is 500 mm long and its pieces 0 mm",
    ),
    "a piece is cut twice": (
        cut(FULL, MIXED, REST, replace(VAN, length_mm=1000, from_van=False, offcut_mm=398, scrap_mm=0), VAN),
        "run 'c' is 600 mm long and its pieces 1200 mm",
    ),
    "a length is off by one": (
        cut(FULL, MIXED, REST, replace(VAN, pieces=(replace(C, length_mm=601),), scrap_mm=37)),
        "run 'c' is 600 mm long and its pieces 601 mm",
    ),
    "a turned flag is flipped": (
        cut(FULL, replace(MIXED, pieces=(replace(A_LAST, turned=True), B, D)), REST, VAN),
        "section 2 has a piece at 0 mm that should begin at 55 mm",
    ),
    "a mitre is on the wrong side": (
        cut(FULL, replace(MIXED, pieces=(replace(A_LAST, at_start=True, at_end=False), B, D)), REST, VAN),
        "section 2 has a piece at 153 mm that should begin at 208 mm",
    ),
    "a section is overfull": (
        cut(FULL, MIXED, REST, replace(VAN, length_mm=599, kerf_mm=0, scrap_mm=0)),
        "section 4 is overfull by 1 mm",
    ),
    "the mitre at a factory end makes it overfull": (
        asked(
            cut(FULL, MIXED, REST, replace(VAN, pieces=(C,), scrap_mm=0)),
            runs=(*RUNS[:2], replace(RUNS[2], ends_deg=(0.0, 45.0)), ASKED.runs[3]),
        ),
        "section 4 is overfull by 15 mm",
    ),
    "a kerf is left out": (
        cut(
            FULL,
            replace(MIXED, pieces=(A_LAST, replace(B, from_mm=150), replace(D, from_mm=676)), kerf_mm=5),
            REST,
            VAN,
        ),
        "section 2 has a piece at 150 mm that should begin at 153 mm",
    ),
    "the kerf of a slanted cut is taken for that of a square one": (
        cut(
            FULL,
            replace(MIXED, pieces=(A_LAST, replace(B, from_mm=152), replace(D, from_mm=678)), kerf_mm=7),
            REST,
            VAN,
        ),
        "section 2 has a piece at 152 mm that should begin at 153 mm",
    ),
    "a cut is shared by mitres of different angles": (
        cut(FULL, replace(MIXED, pieces=(A_LAST, replace(B, turned=True), D)), REST, VAN),
        "section 2 has a piece at 153 mm that should begin at 186 mm",
    ),
    "a cut is shared where the slit stays in line": (
        asked(SOUND, slit_in_line=True),
        "section 2 has a piece at 153 mm that should begin at 263 mm",
    ),
    "a piece is under the least length": (
        cut(
            FULL,
            replace(MIXED, pieces=(replace(A_LAST, length_mm=149), replace(B, from_mm=152), replace(D, from_mm=678))),
            replace(REST, pieces=(replace(A_MIDDLE, length_mm=811),), offcut_mm=187),
            VAN,
        ),
        "section 2 has a piece of 149 mm for 'a', whose least is 150 mm",
    ),
    "a piece is shorter than its two mitres": (
        asked(
            cut(FULL, replace(MIXED, pieces=(A_LAST, replace(B, length_mm=77), replace(D, from_mm=256)))),
            runs=(RUNS[0], replace(RUNS[1], length_mm=77), *ASKED.runs[2:]),
        ),
        "section 2 has a piece of 77 mm for 'b', whose least is 78 mm",
    ),
    "a piece has no length": (
        cut(replace(FULL, pieces=(replace(A_FIRST, length_mm=0), A_FIRST)), MIXED, REST, VAN),
        "section 1 has a piece of 0 mm",
    ),
    "a joint is not counted": (replace(SOUND, joints=1), "says 3 sections, 1 joints; it has 3 and 2"),
    "a section is not counted": (replace(SOUND, bought=2), "says 2 sections, 2 joints; it has 3 and 2"),
    "the cost is off by a coin": (replace(SOUND, cost=Decimal("33.01")), "it costs 33.01; its parts cost 33"),
    "the van's value is not counted": (
        replace(SOUND, cost=Decimal(32), cost_at_least=Decimal(32)),
        "it costs 32; its parts cost 33",
    ),
    "the bound is above the cost": (
        replace(SOUND, cost_at_least=Decimal("33.01")),
        "is below its bound of 2 sections and 33.01",
    ),
    "the bound is above the sections": (replace(SOUND, at_least=4), "is below its bound of 4 sections and 33"),
    "the van is overdrawn": (
        asked(cut(FULL, MIXED, REST, VAN, replace(VAN, pieces=(replace(C, run=4),))), runs=(*ASKED.runs, RUNS[2])),
        "uses 2 van offcuts of 640 mm; there are 1",
    ),
    "an offcut of a length that is not in the van": (
        cut(FULL, MIXED, REST, replace(VAN, length_mm=641, scrap_mm=39)),
        "uses 1 van offcuts of 641 mm; there are 0",
    ),
    "a section has a wrong length": (
        cut(FULL, MIXED, replace(REST, length_mm=999, offcut_mm=187), VAN),
        "section 3 is 999 mm long, not 1000 mm",
    ),
    "a piece lies a millimetre on": (
        cut(FULL, MIXED, REST, replace(VAN, pieces=(replace(C, from_mm=1),), scrap_mm=37)),
        "section 4 has a piece at 1 mm that should begin at 0 mm",
    ),
    "a wedge between pieces is forgotten": (
        cut(FULL, replace(MIXED, pieces=(A_LAST, B, replace(D, from_mm=656)), wedge_mm=0, scrap_mm=42), REST, VAN),
        "section 2 has a piece at 656 mm that should begin at 679 mm",
    ),
    "a wedge is called scrap": (
        cut(FULL, replace(MIXED, wedge_mm=0, scrap_mm=42), REST, VAN),
        "add up to 23, 8, 0, 19 mm",
    ),
    "scrap is called an offcut": (
        cut(FULL, MIXED, REST, replace(VAN, offcut_mm=38, scrap_mm=0)),
        "add up to 0, 2, 0, 38 mm",
    ),
    "an offcut is called scrap": (
        cut(FULL, MIXED, replace(REST, offcut_mm=0, scrap_mm=188), VAN),
        "add up to 0, 2, 188, 0 mm",
    ),
    "the kerf before the remainder is left out": (
        cut(FULL, MIXED, replace(REST, kerf_mm=0, offcut_mm=190), VAN),
        "add up to 0, 2, 188, 0 mm",
    ),
    "a run of one piece is cut": (
        cut(
            FULL,
            replace(
                MIXED,
                pieces=(
                    A_LAST,
                    B,
                    replace(D, length_mm=150, at_end=False),
                    replace(D, length_mm=150, at_start=False, from_mm=831),
                ),
                kerf_mm=10,
                scrap_mm=17,
            ),
            REST,
            VAN,
            joints=3,
            cost=Decimal(34),
        ),
        "run 'd' is cut into 2 pieces, more than it may be",
    ),
    "an end of a run is cut twice": (
        cut(FULL, MIXED, replace(REST, pieces=(replace(A_MIDDLE, at_start=True),)), VAN),
        "run 'a' has its first end 2 times and its last end 1 times",
    ),
    "an end of a run is cut nowhere": (
        cut(replace(FULL, pieces=(replace(A_FIRST, at_start=False),)), MIXED, REST, VAN),
        "run 'a' has its first end 0 times and its last end 1 times",
    ),
    "a bought section comes after the van": (cut(FULL, MIXED, VAN, REST), "does not list bought sections first"),
    "`fewest` is cut into more pieces than the fewest": (
        cut(
            FULL,
            MIXED,
            replace(
                REST,
                pieces=(replace(A_MIDDLE, length_mm=400), replace(A_MIDDLE, length_mm=410, from_mm=402)),
                kerf_mm=4,
                offcut_mm=186,
            ),
            VAN,
            joints=3,
            cost=Decimal(34),
        ),
        "run 'a' is cut into 4 pieces, more than it may be",
    ),
    "a section holds nothing": (
        cut(FULL, MIXED, REST, CutSection(1000, False, (), 0, 0, 1000, 0), VAN),
        "section 4 holds no piece",
    ),
}


def test_the_plan_worked_by_hand_is_sound():
    audit(SOUND)


@pytest.mark.parametrize("name", CORRUPT)
def test_each_corruption_of_a_sound_plan_is_named(name):
    plan, says = CORRUPT[name]
    with pytest.raises(InternalError) as raised:
        audit(plan)
    assert says in str(raised.value)


def test_what_is_fewest_for_one_rule_is_free_under_the_other():
    pieces = replace(A_MIDDLE, length_mm=400), replace(A_MIDDLE, length_mm=410, from_mm=402)
    more = cut(FULL, MIXED, replace(REST, pieces=pieces, kerf_mm=4, offcut_mm=186), VAN, joints=3, cost=Decimal(34))
    audit(asked(more, rule="priced"))


def test_a_run_of_one_piece_may_be_shorter_than_the_least_and_a_short_run_too():
    runs = (PackRun("s", 40), PackRun("t", 60, (45.0, 45.0), one_piece=True))
    pieces = Piece(0, True, True, 40, False, 0), Piece(1, True, True, 60, False, 98)
    section = CutSection(1000, False, pieces, 110, 6, 784, 0)
    audit(Plan(replace(ASKED, runs=runs), (section,), 1, 0, Decimal(10), 1, Decimal(10), 1, Decimal(10), "proven"))


def test_angles_within_a_hundredth_share_a_cut_and_others_do_not():
    """R 5000 mm, knife: 5000 x (tan 45.02 - tan 45) = 3.49, so 4 mm; at 45.01 nothing is lost."""
    for angle, lost in ((45.01, 0), (45.02, 4)):
        runs = (PackRun("s", 100, (0.0, 45.0), one_piece=True), PackRun("t", 100, (angle, 0.0), one_piece=True))
        pieces = Piece(0, True, True, 100, False, 0), Piece(1, True, True, 100, False, 100 + lost)
        section = CutSection(1000, False, pieces, lost, 0, 800 - lost, 0)
        asked = replace(ASKED, runs=runs, radius_mm=5000.0, kerf_mm=0)
        audit(Plan(asked, (section,), 1, 0, Decimal(10), 1, Decimal(10), 1, Decimal(10)))


def test_the_cheaper_of_two_kinds_of_offcuts_of_one_length_is_counted_first():
    van = (Offcut(640, 1, Decimal(4)), Offcut(640, 1, Decimal(1)))
    audit(asked(SOUND, van=van))
    with pytest.raises(InternalError, match=r"it costs 36; its parts cost 33"):
        audit(asked(replace(SOUND, cost=Decimal(36)), van=van))
