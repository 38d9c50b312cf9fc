"""How a bend is covered: number of mitres, what they take, how deep the throat is hollowed."""

from __future__ import annotations

from math import cos, radians, tan

import pytest

from layoutest.choose import Spec
from layoutest.cover.bend import bend_cover
from layoutest.layout.document import FittingChoice, Settings

DEFAULTS = Settings()


def spec(elbow_radius_mm, outside_mm=60, thickness_mm=25):
    diameter_mm = outside_mm + 2 * thickness_mm
    return Spec("p", "S", outside_mm, elbow_radius_mm, True, "c", outside_mm, thickness_mm, diameter_mm, 1000)


def cover(elbow_radius_mm, turn_deg=90, choice=None, settings=DEFAULTS, **more):
    return bend_cover("n1", spec(elbow_radius_mm, **more), turn_deg, choice, settings)


def codes(bend):
    return [snag.code for snag in bend.snags]


@pytest.mark.parametrize(
    ("elbow_mm", "turn_deg", "mitres"),
    [
        # Rc·(1/cos a − 1) in mm with one mitre less (where over 10) and so many, worked by hand.
        (76, 45, 1),  # 6.3
        (57, 90, 2),  # 23.6, 4.7
        (76, 90, 2),  # 31.5, 6.3
        (114, 90, 2),  # 47.2, 9.4
        (190, 90, 3),  # 15.6, 6.7
        (457, 90, 4),  # 16.1, 9.0
        (457, 45, 2),  # 37.7, 9.0
        (457, 120, 6),  # 10.2, 7.1
    ],
)
def test_the_least_number_that_stays_within_the_gap(elbow_mm, turn_deg, mitres):
    bend = cover(elbow_mm, turn_deg, outside_mm=40, thickness_mm=30)
    assert (bend.mitres, codes(bend)) == (mitres, [])
    assert bend.angle_deg == turn_deg / (2 * mitres)


def test_a_gap_of_just_what_one_mitre_leaves_needs_no_second():
    stands_off_mm = 100 * (1 / cos(radians(45)) - 1)
    assert cover(100, settings=Settings(bend_gap_mm=stands_off_mm)).mitres == 1
    assert cover(100, settings=Settings(bend_gap_mm=stands_off_mm - 0.001)).mitres == 2


def test_what_two_mitres_take_and_the_piece_between_them():
    bend = cover(76)
    half_mm = 76 * tan(radians(22.5))
    assert bend.take_mm == pytest.approx(76 - half_mm)
    assert bend.piece_mm == pytest.approx(62.96, abs=0.005)  # the piece of the contract's example
    assert (bend.angle_deg, bend.preformed) == (22.5, False)


def test_one_mitre_takes_nothing():
    bend = cover(0)
    assert (bend.mitres, bend.angle_deg, bend.take_mm, bend.piece_mm, bend.hollow_mm) == (1, 45, 0, 0, 0)
    assert cover(None).mitres == 1


def test_six_and_a_warning_where_none_stays_within_the_gap():
    bend = cover(457, settings=Settings(bend_gap_mm=3.9))  # six mitres: 457·(1/cos 7.5° − 1) = 3.94 mm
    assert (bend.mitres, codes(bend)) == (6, ["too-many-mitres"])
    assert bend.snags[0].says == "Even 6 mitres stand 4 mm off the bend, over the 3.9 mm allowed."
    assert codes(cover(457, settings=Settings(bend_gap_mm=4))) == []


@pytest.mark.parametrize("elbow_mm", [55, 48])
def test_a_closed_throat_takes_one_mitre_and_a_warning(elbow_mm):
    bend = cover(elbow_mm)
    assert (bend.mitres, bend.angle_deg, bend.take_mm) == (1, 45, 0)
    assert codes(bend) == ["throat-closed"]
    assert "radius of 55 mm" in bend.snags[0].says


def test_a_throat_just_open_takes_its_mitres():
    assert cover(55.01).mitres == 2


def test_a_throat_that_would_close_matters_not_where_one_mitre_is_enough():
    bend = cover(38, turn_deg=45)
    assert (bend.mitres, codes(bend)) == (1, [])


@pytest.mark.parametrize(
    ("elbow_mm", "choice", "why"),
    [
        (0, FittingChoice(mitres=2), "2 mitres need an elbow radius, and this elbow is tight"),
        (None, FittingChoice(mitres=3), "3 mitres need an elbow radius, and this elbow is tight"),
        (55, FittingChoice(mitres=2), "2 mitres cannot close: the covering's radius of 55 mm reaches the elbow's"),
        (200, FittingChoice(mitres=2, elbow_radius_mm=50), "2 mitres cannot close: the covering's radius of 55 mm"),
        (200, FittingChoice(mitres=2, elbow_radius_mm=0), "2 mitres need an elbow radius, and this elbow is tight"),
        (0, FittingChoice(cover="preformed"), "a pre-formed cover needs an elbow radius, and this elbow is tight"),
        (76, FittingChoice(cover="preformed", elbow_radius_mm=0), "a pre-formed cover needs an elbow radius"),
    ],
)
def test_what_cannot_be_made_as_asked_takes_one_mitre(elbow_mm, choice, why):
    bend = cover(elbow_mm, choice=choice)
    assert (bend.mitres, bend.angle_deg, bend.take_mm) == (1, 45, 0)
    assert codes(bend) == ["mitres-impossible"]
    assert bend.snags[0].says.startswith(f"At bend n1 {why}")
    assert bend.snags[0].severity == "error"


@pytest.mark.parametrize(
    ("choice", "mitres", "angle_deg"),
    [
        (FittingChoice(mitres=1), 1, 45),
        (FittingChoice(mitres=4), 4, 11.25),
        (FittingChoice(mitres=9), 9, 5),
        (FittingChoice(elbow_radius_mm=0), 1, 45),
        (FittingChoice(elbow_radius_mm=457), 4, 11.25),
    ],
)
def test_the_choice_for_a_bend_wins(choice, mitres, angle_deg):
    bend = cover(76, choice=choice)
    assert (bend.mitres, bend.angle_deg) == (mitres, angle_deg)


def test_a_pre_formed_cover():
    bend = cover(76, turn_deg=60, choice=FittingChoice(cover="preformed"))
    assert (bend.preformed, bend.mitres, bend.angle_deg, bend.piece_mm, bend.hollow_mm) == (True, 0, 0, 0, 0)
    assert bend.take_mm == pytest.approx(76 * tan(radians(30)))
    own = cover(0, choice=FittingChoice(cover="preformed", elbow_radius_mm=100))
    assert own.take_mm == pytest.approx(100)


def test_how_deep_the_throat_is_hollowed():
    # (76 − 30.15)·(1/cos 22.5° − 1) = 3.78 mm, the depth of the contract's example.
    bend = bend_cover("n1", spec(76, 60.3, 40), 90, FittingChoice(mitres=2), DEFAULTS)
    assert bend.hollow_mm == pytest.approx(3.78, abs=0.005)


def test_a_hollow_over_a_third_of_the_thickness_is_a_warning():
    # One mitre of 45°: (Rc − 30)·0.41421; a third of 25 mm is 8.33 mm, reached at Rc 50.12 mm.
    one = FittingChoice(mitres=1)
    assert codes(cover(50.1, choice=one)) == []
    deep = cover(50.2, choice=one)
    assert codes(deep) == ["deep-hollow"]
    assert deep.snags[0].says == "The covering has to be hollowed by 8 mm at the throat, over a third of its thickness."


def test_a_deep_hollow_is_told_beside_too_many_mitres_but_not_twice_with_a_closed_throat():
    assert codes(cover(1500, settings=Settings(bend_gap_mm=3))) == ["too-many-mitres", "deep-hollow"]
    assert cover(55).hollow_mm > 25 / 3
    assert codes(cover(55)) == ["throat-closed"]
