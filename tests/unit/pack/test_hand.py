"""What careful cutting by hand takes: drawing order, whole sections first, the first offcut that fits."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from layoutest.pack.hand import by_hand
from layoutest.pack.pieces import fixed_parts
from layoutest.pack.problem import Offcut, PackRun, Problem
from layoutest.pack.quick import van_of
from layoutest.pack.row import cut_section
from layoutest.pack.shape import Shapes

ELBOW = 0.0, 45.0


def cut(*runs, **changes):
    """Lengths in each section, in the order in which they were cut; every section is laid, so that it fits."""
    named = tuple(PackRun(f"r{at}", *run) for at, run in enumerate(runs))
    asked = replace(Problem("x", 1000, 55.0, named, rule="fewest", section_price=Decimal(10)), **changes)
    draft = by_hand(asked, Shapes(asked), fixed_parts(asked), van_of(asked))
    laid = [cut_section(asked, share.length_mm, share.row, from_van=share.van_value is not None) for share in draft]
    return [[section.length_mm, *(piece.length_mm for piece in section.pieces)] for section in laid]


def test_runs_in_drawing_order_and_the_first_offcut_that_fits():
    """350 fits behind 600 as well, but the offcut behind 400 + 200 came first."""
    assert cut((400,), (600,), (200,), (350,), (400,)) == [[1000, 400, 600], [1000, 200, 350, 400]]
    assert cut((400,), (700,), (200,), (350,), (250,)) == [[1000, 400, 200, 350], [1000, 700, 250]]


def test_whole_sections_first_and_the_rest_from_an_offcut():
    assert cut((700,), (2250,)) == [[1000, 700, 250], [1000, 1000], [1000, 1000]]


def test_both_halves_of_a_bend_come_from_one_cut():
    """The mitre opens to the right, and the next piece begins with the same slanted cut: 500 + 500 fill a section."""
    assert cut((500, ELBOW), (500, (45.0, 0.0))) == [[1000, 500, 500]]
    assert cut((500, ELBOW), (500, (45.0, 0.0)), slit_in_line=True) == [[1000, 500], [1000, 500]]


def test_a_piece_that_is_square_behind_a_mitre_loses_the_wedge():
    assert cut((500, ELBOW), (445,)) == [[1000, 500, 445]]
    assert cut((500, ELBOW), (446,)) == [[1000, 500], [1000, 446]]


def test_different_mitres_lose_the_difference():
    """55 x (1 - tan 22.5) = 32.2, so 33 mm: 500 + 33 + 467 is a section."""
    assert cut((500, ELBOW), (467, (22.5, 0.0))) == [[1000, 500, 467]]
    assert cut((500, ELBOW), (468, (22.5, 0.0))) == [[1000, 500], [1000, 468]]


def test_every_cut_takes_its_kerf():
    assert cut((500,), (498,), kerf_mm=2) == [[1000, 500, 498]]
    assert cut((500,), (499,), kerf_mm=2) == [[1000, 500], [1000, 499]]
    assert cut((500, ELBOW), (497, (45.0, 0.0)), kerf_mm=2) == [[1000, 500, 497]]
    assert cut((500, ELBOW), (498, (45.0, 0.0)), kerf_mm=2) == [[1000, 500], [1000, 498]]


def test_the_van_is_used_before_all():
    van = (Offcut(640, 2, Decimal(1)),)
    assert cut((600,), (700,), (640,), van=van) == [[640, 600], [640, 640], [1000, 700]]
    assert cut((600,), van=(Offcut(640, 2, Decimal(10)),)) == [[1000, 600]]


def test_mitres_beyond_the_three_commonest_lose_their_wedges():
    """10 degrees is the rarest of four: its wedge is 55 x 0.176 = 9.7, so 10 mm, on either side of the cut."""
    common = [(150, (angle, angle)) for angle in (45.0, 30.0, 20.0) for _ in range(2)]
    rows = cut(*common, (300, (0.0, 10.0)), (300, (10.0, 0.0)), radius_mm=55.0)
    assert sum(len(row) - 1 for row in rows) == 8
