"""Runs between two bends: their twist, and when they are too short."""

from __future__ import annotations

from math import cos, radians, sqrt, tan

import pytest

from layoutest.layout.document import FittingChoice

# A straight along x from n2 to n3, for an eye at n2 with the sky above; the next pipe at either end leaves this way.
UP, DOWN, LEFT, RIGHT = (0, 0, 1), (0, 0, -1), (0, 1, 0), (0, -1, 0)


def between(draw, first, last, middle_mm=1000, **more):
    """A run between two bends of tight pipe, R 55 mm, whose neighbours leave in two directions."""
    nodes = {
        "n1": tuple(1000 * a for a in first),
        "n2": (0, 0, 0),
        "n3": (middle_mm, 0, 0),
        "n4": tuple(a + 1000 * b for a, b in zip((middle_mm, 0, 0), last, strict=True)),
    }
    return draw(nodes, {"l1": "n1 n2 tight", "l2": "n2 n3 tight", "l3": "n3 n4 tight"}, **more)


@pytest.mark.parametrize(
    ("first", "last", "twist_deg"),
    [
        (UP, UP, 0),  # a U
        (LEFT, LEFT, 0),
        (UP, DOWN, 180),  # a Z
        (RIGHT, LEFT, 180),
        (UP, RIGHT, 90),
        (RIGHT, DOWN, 90),
        (UP, LEFT, -90),
        (LEFT, UP, 90),
        ((0, 1, 1), (0, -1, 1), 90),
        (UP, (0, -1, 1), 45),
        (UP, (0, 1, -1), -135),
    ],
)
def test_twist_is_clockwise_seen_from_the_left_end(draw, first, last, twist_deg):
    run = between(draw, first, last).run("l2")
    assert run.ends[0].node == "n2"
    assert run.twist_deg == pytest.approx(twist_deg, abs=1e-9)


def test_the_same_run_seen_from_its_other_end_has_the_same_twist(draw):
    nodes = {"n9": (0, 0, 1000), "n8": (0, 0, 0), "n3": (1000, 0, 0), "n4": (1000, -1000, 0)}
    drawn = draw(nodes, {"l1": "n9 n8 tight", "l2": "n8 n3 tight", "l3": "n3 n4 tight"})
    assert drawn.run("l2").ends[0].node == "n3"
    assert drawn.run("l2").twist_deg == pytest.approx(90)


def test_twist_of_bends_that_are_not_square(draw):
    # Both turn by 45°, one upwards and one to the right: only the part across the straight counts.
    nodes = {"n1": (-1000, 0, 1000), "n2": (0, 0, 0), "n3": (1000, 0, 0), "n4": (2000, -1000, 0)}
    drawn = draw(nodes, {"l1": "n1 n2 tight", "l2": "n2 n3 tight", "l3": "n3 n4 tight"})
    assert drawn.run("l2").twist_deg == pytest.approx(90)


@pytest.mark.parametrize("swap", [(1, -1, 1), (1, 1, -1), (-1, 1, 1)])
def test_a_mirror_changes_the_hand_of_a_twist(draw, swap):
    nodes = {"n1": (0, 0, 1000), "n2": (0, 0, 0), "n3": (1000, 0, 0), "n4": (1000, -1000, 0)}
    mirrored = {name: tuple(a * b for a, b in zip(place, swap, strict=True)) for name, place in nodes.items()}
    legs = {"l1": "n1 n2 tight", "l2": "n2 n3 tight", "l3": "n3 n4 tight"}
    assert draw(nodes, legs).run("l2").twist_deg == pytest.approx(90)
    assert draw(mirrored, legs).run("l2").twist_deg == pytest.approx(-90)


def test_only_a_run_with_two_mitred_ends_has_a_twist(draw):
    assert between(draw, UP, DOWN).run("l1").twist_deg is None
    covered = between(draw, UP, DOWN, fittings={"n2": FittingChoice(cover="preformed", elbow_radius_mm=50)})
    assert covered.run("l2").twist_deg is None


@pytest.mark.parametrize(
    ("last", "needs_mm"),
    [
        # R·√(tan²a + tan²b + 2·tan a·tan b·cos twist) with R 55 mm and two mitres of 45°.
        (UP, 110),
        (RIGHT, 55 * sqrt(2)),
        (DOWN, 0),
        ((0, -1, 1), 55 * sqrt(2 + 2 * cos(radians(45)))),
    ],
)
def test_bends_too_near(draw, last, needs_mm):
    for middle_mm in (int(needs_mm), int(needs_mm) + 1):
        if middle_mm:
            drawn = between(draw, UP, last, middle_mm)
            told = [snag for snag in drawn.snags() if snag[0] == "bends-too-near"]
            assert told == ([("bends-too-near", "l2", "n2", "n3")] if middle_mm <= needs_mm else [])
            assert drawn.run("l2").covered_mm == middle_mm


@pytest.mark.parametrize(("middle_mm", "one_piece"), [(60, True), (110, True), (111, False)])
def test_a_run_up_to_its_two_wedges_is_one_piece(draw, middle_mm, one_piece):
    assert between(draw, UP, DOWN, middle_mm).run("l2").one_piece is one_piece


def test_one_mitre_alone_needs_its_own_wedge(draw):
    for length_mm, told in ((55, [("bends-too-near", "l1", "n2")]), (56, [])):
        drawn = draw(
            {"n1": (0, 0), "n2": (length_mm, 0), "n3": (length_mm, 900)}, {"l1": "n1 n2 tight", "l2": "n2 n3 tight"}
        )
        assert drawn.snags() == told


def test_a_run_that_its_elbows_take_up_is_left_out_with_its_joints(draw):
    # Two elbows of Rc 200 in three mitres take 200 − 200·tan 15° = 146.41 mm each.
    take_mm = 200 - 200 * tan(radians(15))
    nodes = {"n1": (0, 900), "n2": (0, 0), "n3": (292, 0), "n4": (292, 900)}
    legs = {"l1": "n1 n2 long", "l2": "n2 n3 long", "l3": "n3 n4 long"}
    drawn = draw(nodes, legs)
    assert 2 * take_mm > 292
    assert drawn.snags() == [("run-too-short", "l2", "n2", "n3")]
    assert drawn.runs("l2") == []
    assert drawn.run("l1").covered_mm == pytest.approx(900 - take_mm)
    # Both bends count with their pieces, each without the joint to the run that is left out.
    assert [joint[:3] for joint in drawn.joints()] == [("n2", "mitre", 2), ("n3", "mitre", 2)]
    assert [node for node, kind in drawn.fittings() if kind == "bend"] == ["n2", "n3"]
    assert len(drawn.runs("n2")) == len(drawn.runs("n3")) == 2
    assert drawn.seals() == ["n1", "n4"]


@pytest.mark.parametrize(("middle_mm", "codes"), [(400, ["run-too-short"]), (401, [])])
def test_nothing_left_between_two_pre_formed_covers(draw, middle_mm, codes):
    nodes = {"n1": (0, 900), "n2": (0, 0), "n3": (middle_mm, 0), "n4": (middle_mm, 900)}
    legs = {"l1": "n1 n2 long", "l2": "n2 n3 long", "l3": "n3 n4 long"}
    choice = FittingChoice(cover="preformed")
    drawn = draw(nodes, legs, fittings={"n2": choice, "n3": choice})
    assert [snag[0] for snag in drawn.snags()] == codes
    assert len(drawn.runs("l2")) == (0 if codes else 1)


def test_a_branch_on_a_run_left_out_still_counts(draw):
    nodes = {"n1": (0, 900), "n2": (0, 0), "n3": (200, 0), "n4": (200, 900), "n5": (100, 0), "n6": (100, 0, 900)}
    legs = {"l1": "n1 n2 long", "l2": "n2 n5 long", "l3": "n5 n3 long", "l4": "n3 n4 long", "l5": "n5 n6 tight"}
    drawn = draw({**nodes, "n6": (100, 0, 900)}, legs)
    assert ("n5", "tee") in drawn.fittings()
    assert [joint for joint in drawn.joints() if joint[0] == "n5"] == []


def test_bend_pieces_are_exempt_from_the_least_length(draw):
    # 2·60·tan 7.5° = 15.8 mm each, far under the least piece of 150 mm.
    drawn = draw(
        {"n1": (0, 0), "n2": (2000, 0), "n3": (2000, 1500)},
        {"l1": "n1 n2 tight", "l2": "n2 n3 tight"},
        fittings={"n2": FittingChoice(mitres=6, elbow_radius_mm=60)},
    )
    assert [(round(piece.covered_mm, 1), piece.one_piece) for piece in drawn.runs("n2")] == [(15.8, True)] * 5
    assert drawn.snags() == []


def test_a_corner_between_two_runs_that_are_too_short(draw):
    # Three elbows at 100 mm from each other: the outer two in covers that take 200 mm, the middle one in one mitre.
    nodes = {"n1": (0, 900), "n2": (0, 0), "n3": (100, 0), "n4": (100, 0, 100), "n5": (100, 900, 100)}
    legs = {"l1": "n1 n2 long", "l2": "n2 n3 long", "l3": "n3 n4 long", "l4": "n4 n5 long"}
    cover = FittingChoice(cover="preformed")
    drawn = draw(nodes, legs, fittings={"n2": cover, "n3": FittingChoice(mitres=1), "n4": cover})
    assert [snag[:2] for snag in drawn.snags() if snag[0] == "run-too-short"] == [
        ("run-too-short", "l2"),
        ("run-too-short", "l3"),
    ]
    assert [joint[:3] for joint in drawn.joints()] == [("n2", "square", 1), ("n4", "square", 1)]
    assert [node for node, kind in drawn.fittings() if kind == "bend"] == ["n2", "n3", "n4"]
