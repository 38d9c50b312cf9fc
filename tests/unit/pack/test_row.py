"""Wedges, kerfs and remainders of one section. The values follow from R·tan a and kerf / cos a, worked by hand."""

from __future__ import annotations

import pytest

from layoutest.errors import InternalError
from layoutest.pack.problem import PackRun, Problem
from layoutest.pack.row import Part, both_wedges_mm, cut_section, cuts_in, kerf_at_mm, shared_gap_mm, wedge_mm

MITRED = PackRun("m", 300, (0.0, 45.0))
OTHER = PackRun("o", 300, (22.5, 0.0))
SQUARE_RUN = PackRun("s", 200)
RUNS = (MITRED, OTHER, SQUARE_RUN)
M, N, S = (Part(at, run.length_mm, at_start=True, at_end=True) for at, run in enumerate(RUNS))


def problem(**changes):
    return Problem("x", 1000, 55.0, RUNS, **changes)


def wasted(section):
    return section.wedge_mm, section.kerf_mm, section.offcut_mm, section.scrap_mm


@pytest.mark.parametrize(
    ("radius", "angle", "wedge"), [(55, 45, 55), (55, 22.5, 23), (97.5, 45, 98), (55, 0, 0), (100.005, 45, 100)]
)
def test_a_wedge_is_rounded_up_after_a_hundredth_is_taken_off(radius, angle, wedge):
    assert wedge_mm(radius, angle) == wedge


def test_mitres_of_one_angle_share_and_others_lose_the_difference():
    assert shared_gap_mm(55, 45, 45) == 0
    assert shared_gap_mm(55, 45, 45.01) == 0
    assert shared_gap_mm(5000, 45, 45.02) == 4  # 5000 x (tan 45.02 - 1) = 3.49
    assert shared_gap_mm(55, 45, 22.5) == 33  # 55 x (1 - 0.41421) = 32.22
    assert both_wedges_mm(55, 45, 22.5) == 78  # 55 x 1.41421 = 77.78


@pytest.mark.parametrize(("kerf", "angle", "taken"), [(3, 0, 3), (3, 45, 5), (3, 60, 6), (0, 45, 0)])
def test_a_slanted_cut_takes_more(kerf, angle, taken):
    assert kerf_at_mm(kerf, angle) == taken


def test_two_halves_of_a_mitre_come_from_one_cut():
    section = cut_section(problem(kerf_mm=3), 1000, [(M, False), (M, True)], from_van=False)
    assert [piece.from_mm for piece in section.pieces] == [0, 305]
    assert wasted(section) == (0, 5 + 3, 392, 0)


def test_with_the_slit_in_line_they_cost_both_wedges():
    section = cut_section(problem(slit_in_line=True), 1000, [(M, False), (M, True)], from_van=False)
    assert wasted(section) == (110, 0, 290, 0)


def test_different_mitres_and_a_mitre_at_the_factory_end():
    section = cut_section(problem(), 1000, [(M, True)], from_van=False)
    assert section.pieces[0].from_mm == 55
    assert wasted(section) == (55, 0, 645, 0)
    section = cut_section(problem(kerf_mm=3), 1000, [(M, False), (N, False)], from_van=False)
    assert section.pieces[1].from_mm == 300 + 33 + 5
    assert wasted(section) == (33, 5 + 3, 359, 0)


def test_a_remainder_no_longer_than_the_kerf_is_all_kerf():
    assert wasted(cut_section(problem(kerf_mm=3), 203, [(S, False)], from_van=True)) == (0, 3, 0, 0)
    assert wasted(cut_section(problem(kerf_mm=3), 202, [(S, False)], from_van=True)) == (0, 2, 0, 0)
    assert wasted(cut_section(problem(kerf_mm=3), 357, [(M, False)], from_van=True)) == (55, 2, 0, 0)


def test_an_offcut_is_as_long_as_the_least_piece():
    assert wasted(cut_section(problem(), 350, [(S, False)], from_van=True)) == (0, 0, 150, 0)
    assert wasted(cut_section(problem(), 349, [(S, False)], from_van=True)) == (0, 0, 0, 149)


def test_an_overfull_row_is_refused():
    with pytest.raises(InternalError, match=r"A row of 355 mm was laid into a section of 354 mm for 'x'\."):
        cut_section(problem(), 354, [(M, False)], from_van=False)


def test_cuts_are_counted():
    def count(row, length=1000):
        return cuts_in(problem(), cut_section(problem(), length, row, from_van=False))

    assert count([(S, False)], 200) == 0
    assert count([(S, False)]) == 1
    assert count([(M, False), (M, True)]) == 2
    assert count([(M, True), (M, False)], 710) == 3
    assert count([(S, False), (M, True), (S, False)]) == 4
