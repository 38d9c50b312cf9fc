"""The fixed pieces of the habit of the trade. The first case is the worked example of the rule; others by hand."""

from __future__ import annotations

import pytest

from layoutest.pack.pieces import can_be_cut, fixed_lengths_mm
from layoutest.pack.problem import PackRun, Problem


def lengths(length, ends=(0.0, 0.0), *, least=150, one_piece=False, radius=55.0):
    run = PackRun("r", length, ends, one_piece)
    return fixed_lengths_mm(Problem("x", 1000, radius, (run,), least_mm=least), run)


@pytest.mark.parametrize(
    ("length", "ends", "pieces"),
    [
        (1960, (0.0, 45.0), [1000, 810, 150]),
        (1960, (45.0, 0.0), [150, 810, 1000]),
        (3500, (0.0, 0.0), [1000, 1000, 1000, 500]),
        (3000, (0.0, 0.0), [1000, 1000, 1000]),
        (3001, (0.0, 0.0), [1000, 1000, 851, 150]),
        (2500, (45.0, 45.0), [945, 1000, 555]),
        (945, (45.0, 0.0), [945]),
        (946, (45.0, 0.0), [150, 796]),
        (100, (0.0, 0.0), [100]),
        (100, (0.0, 45.0), [100]),
    ],
)
def test_whole_sections_first_and_one_rest(length, ends, pieces):
    assert lengths(length, ends) == pieces


def test_a_mitred_piece_is_at_least_its_wedge():
    assert lengths(1001, (0.0, 45.0), least=10) == [946, 55]


def test_what_no_section_can_make():
    assert lengths(1001, one_piece=True) is None
    assert lengths(900, (45.0, 45.0), one_piece=True) is None
    assert lengths(890, (45.0, 45.0), one_piece=True) == [890]
    assert lengths(1001, least=600) is None
    assert lengths(100, (45.0, 45.0)) is None
    assert lengths(100, (45.0, 45.0), one_piece=True) == [100]
    assert lengths(2000, (0.0, 45.0), radius=600.0) is None


def test_mitres_that_would_meet_cannot_be_cut():
    run = PackRun("r", 50, (0.0, 45.0), one_piece=True)
    assert not can_be_cut(Problem("x", 1000, 55.0, (run,)), run)
