"""What stands at a node of three legs or more, row by row as the derivation is laid down."""

from __future__ import annotations

from dataclasses import replace
from types import MappingProxyType

import pytest

from layoutest.layout.document import Settings

EAST, WEST, NORTH, SOUTH, UP = (2000, 0, 0), (-2000, 0, 0), (0, 2000, 0), (0, -2000, 0), (0, 0, 2000)
HR = {"service": "HR"}
BARE = {"covered": False}


def branches(junction):
    return [(branch.leg.id, branch.straight, round(branch.angle_deg, 3)) for branch in junction.branches]


def test_a_tee(star):
    made = star((EAST,), (NORTH,), (WEST,))
    junction = made.at("n0")
    assert (junction.kind, junction.straights) == ("tee", ("l1",))
    assert branches(junction) == [("l2", "l2", 90)]
    assert made.straights() == {"s1": "l1 l3", "s2": "l2"}
    assert made.codes() == []


@pytest.mark.parametrize("side", [1, -1])
@pytest.mark.parametrize(("across", "angle"), [(0, 90), (17, 90), (2000, 45), (1155, 60), (3464, 30)])
def test_a_branch_makes_its_own_angle_of_at_most_90(star, side, across, angle):
    # 17 mm on 2000 mm are 0.487°: within the tolerance of a right angle.
    made = star((EAST,), (WEST,), ((side * across, 2000, 0),))
    (branch,) = made.at("n0").branches
    assert (branch.leg.id, branch.angle_deg) == ("l3", pytest.approx(angle, abs=0.01))


def test_the_branches_of_four_legs_have_an_angle_each(star):
    made = star((EAST,), (WEST,), ((2000, 2000, 0),), (UP,))
    assert made.at("n0").kind == "tee"
    assert branches(made.at("n0")) == [("l3", "l3", 45), ("l4", "l4", 90)]


def test_branches_in_line_that_are_not_alike_are_branches(star):
    made = star((EAST, "small"), (WEST, "small"), (NORTH, "mid"), (SOUTH, "big"))
    assert made.at("n0").kind == "tee"
    assert made.at("n0").straights == ("l1",)
    assert branches(made.at("n0")) == [("l3", "l3", 90), ("l4", "l4", 90)]


def test_the_only_alike_pair_runs_through_though_another_is_straighter(star):
    # l1 and l2 are alike and off by 0.4°; l3, of another service, is off by 0.2° on the other side.
    made = star(((20_000, 0, 0),), ((-20_000, 140, 0),), ((-20_000, -70, 0), "mid", HR))
    assert made.at("n0").kind == "tee"
    assert [branch[0] for branch in branches(made.at("n0"))] == ["l3"]


@pytest.mark.parametrize(
    ("across", "codes"),
    [(5494, [("odd-angle", "l3", "n0")]), (-5494, [("odd-angle", "l3", "n0")]), (3464, []), (3470, [])],
)
def test_a_branch_under_30_degrees(star, across, codes):
    # 2000 mm up and 5494 mm across are 20°; 3464 and 3470 mm are 30° to the nearest tenth.
    made = star(((9000, 0, 0),), ((-9000, 0, 0),), ((across, 2000, 0),))
    assert made.codes() == codes


def test_the_words_for_a_branch_under_30_degrees(star):
    snag = star((EAST,), (WEST,), ((5494, 2000, 0),)).only("odd-angle")
    assert (snag.severity, snag.says) == ("note", "A branch at 20° to its main has no stock tee.")
    assert snag.do == "Check the drawing, or shape it on site."


def test_services_that_meet_at_a_tee(star):
    made = star((EAST,), (WEST,), (NORTH, "mid", HR))
    assert made.codes() == [("services-meet", "l1", "l2", "l3", "n0")]


class TestCross:
    def test_the_larger_covered_diameter_runs_through(self, star):
        made = star((EAST, "small"), (WEST, "small"), (NORTH, "mid"), (SOUTH, "mid"))
        assert made.at("n0").kind == "tee"
        assert made.at("n0").straights == ("l3",)
        assert branches(made.at("n0")) == [("l1", "l1", 90), ("l2", "l2", 90)]
        assert made.straights() == {"s1": "l1", "s2": "l2", "s3": "l3 l4"}

    def test_it_goes_by_the_covered_not_the_outside_diameter(self, star):
        # 28 mm with 80 mm is 188 mm over all, 60 mm with 40 mm is 140 mm.
        thick = {"thickness_mm": 80}
        made = star((EAST, "mid"), (WEST, "mid"), (NORTH, "small", thick), (SOUTH, "small", thick))
        assert made.at("n0").straights == ("l3",)

    def test_covered_before_bare(self, star):
        made = star((EAST, "big", BARE), (WEST, "big", BARE), (NORTH, "small"), (SOUTH, "small"))
        assert made.at("n0").straights == ("l3",)

    def test_then_the_longer_chain(self, star):
        made = star((EAST,), (WEST,), (NORTH,), ((0, -2001, 0),))
        assert made.at("n0").straights == ("l3",)

    def test_the_chain_goes_by_measured_lengths(self, star):
        made = star((EAST,), (WEST, "mid", {"measured_mm": 2002}), (NORTH,), ((0, -2001, 0),))
        assert made.at("n0").straights == ("l1",)

    def test_the_chain_runs_through_every_node_on_it(self, sketch):
        # East of the cross stands another, where the far longer l9–l10 runs through; the chain of l1 goes on all the
        # same, over 5500 mm, against 5000 mm of l3 and l4. North and south of n5, l9 and l10 are 20 m.
        nodes = {
            "n0": (0, 0), "n1": (1000, 0), "n2": (-1000, 0), "n3": (0, 2500), "n4": (0, -2500),
            "n5": (4500, 0), "n6": (1000, 10_000), "n7": (1000, -10_000),
        }  # fmt: skip
        legs = {"l1": "n0 n1", "l2": "n0 n2", "l3": "n0 n3", "l4": "n0 n4"}
        made = sketch(nodes, {**legs, "l8": "n1 n5", "l9": "n1 n6", "l10": "n1 n7"})
        assert made.at("n1").straights == ("l9",)
        assert made.at("n0").straights == ("l1",)
        assert made.straights()["s1"] == "l1 l2"

    def test_the_chain_runs_through_nodes_that_make_no_sense(self, sketch):
        # Five legs meet at n1, so that nothing runs through there.
        nodes = {
            "n0": (0, 0), "n1": (1000, 0), "n2": (-1000, 0), "n3": (0, 2500), "n4": (0, -2500),
            "n5": (5500, 0), "n6": (1000, 900), "n7": (1000, 0, 900), "n8": (1700, 0, -700),
        }  # fmt: skip
        legs = {"l1": "n0 n1", "l2": "n0 n2", "l3": "n0 n3", "l4": "n0 n4", "l5": "n1 n5", "l6": "n1 n6", "l7": "n1 n7"}
        made = sketch(nodes, {**legs, "l8": "n1 n8"})
        assert made.at("n1").kind == "unresolved"
        assert made.at("n0").straights == ("l1",)

    def test_the_chain_ends_where_legs_are_no_longer_alike(self, sketch):
        nodes = {"n0": (0, 0), "n1": (1000, 0), "n2": (-1000, 0), "n3": (0, 1500), "n4": (0, -1500), "n5": (9000, 0)}
        legs = {"l1": "n0 n1", "l2": "n0 n2", "l3": "n0 n3", "l4": "n0 n4", "l5": "n1 n5 big"}
        assert sketch(nodes, legs).at("n0").straights == ("l3",)

    def test_then_the_smaller_leg_id(self, sketch):
        nodes = {"n0": (0, 0), "n1": (1000, 0), "n2": (-1000, 0), "n3": (0, 1000), "n4": (0, -1000)}
        legs = {"l10": "n0 n1", "l3": "n2 n0", "l4": "n0 n3", "l5": "n4 n0"}
        assert sketch(nodes, legs).at("n0").straights == ("l3",)

    def test_the_smaller_leg_id_is_that_of_the_whole_chain(self, sketch):
        # l1 is far along the chain of l5: cutting a leg in two must not turn the decision.
        nodes = {"n0": (0, 0), "n1": (400, 0), "n2": (-1000, 0), "n3": (0, 1000), "n4": (0, -1000), "n5": (1000, 0)}
        legs = {"l5": "n0 n1", "l6": "n2 n0", "l2": "n0 n3", "l3": "n4 n0", "l1": "n1 n5"}
        assert sketch(nodes, legs).at("n0").straights == ("l1",)

    def test_slanting_chains_of_one_length_are_equal_however_they_are_split(self, sketch):
        # Five pieces of √100,000 mm sum up to more than √2,500,000 mm, in the thirteenth digit.
        ends = {"n0": (0, 0), "n2": (-2100, -700), "n3": (-500, 1500), "n4": (700, -2100)}
        parts = {f"m{k}": (300 * k, 100 * k) for k in range(1, 6)}
        legs = {"l5": "n0 m1", "l6": "n0 n2", "l3": "n0 n3", "l9": "n0 n4"}
        legs |= {f"l{20 + k}": f"m{k} m{k + 1}" for k in range(1, 5)}
        assert sketch({**ends, **parts}, legs).at("n0").straights == ("l3",)

    def test_it_makes_two_tees_in_space_too(self, star):
        made = star((UP,), ((0, 0, -9000),), (EAST,), (WEST,))
        assert made.at("n0").straights == ("l1",)
        assert branches(made.at("n0")) == [("l3", "l3", 90), ("l4", "l4", 90)]
        assert made.codes() == []


class TestCrossAfterAnEdit:
    """What happens far along a chain decides at a cross that was not touched."""

    NODES = MappingProxyType(
        {"n0": (0, 0), "n1": (1000, 0), "n2": (-1000, 0), "n3": (0, 1500), "n4": (0, -1500), "n5": (2500, 0)}
    )
    LEGS = MappingProxyType({"l1": "n0 n1", "l2": "n0 n2", "l3": "n0 n3", "l4": "n0 n4", "l8": "n1 n5"})

    @pytest.mark.parametrize(
        "far",
        [
            pytest.param({}, id="deleted"),
            pytest.param({"l8": ("n1 n5", {"measured_mm": 500})}, id="measured"),
            pytest.param({"l8": "n1 n5 big"}, id="of another size"),
        ],
    )
    def test_there_and_back(self, sketch, far):
        near = {name: ends for name, ends in self.LEGS.items() if name != "l8"}
        first = sketch(self.NODES, self.LEGS)
        second = self.edited(first, sketch(self.NODES, near | far))
        third = self.edited(second, first)
        assert [made.at("n0").straights for made in (first, second, third)] == [("l1",), ("l3",), ("l1",)]

    def edited(self, before, after):
        """The second derived from the first, of which it shares the legs that are equal."""
        legs = before.layout.legs
        shared = {name: legs[name] if legs.get(name) == leg else leg for name, leg in after.layout.legs.items()}
        return type(before)(replace(before.layout, legs=shared), before.chosen.book, before)


class TestReducingTee:
    def test_branches_make_their_angle_with_the_larger(self, star):
        # The pair is off by 0.4°: the branch, at 45° to the smaller, is at 44.6° to the larger.
        made = star(((10_000, 0, 0), "small"), ((-10_000, -70, 0), "mid"), ((-2000, 2000, 0), "small"))
        assert made.at("n0").straights == ("l2", "l1")
        assert made.at("n0").branches[0].angle_deg == pytest.approx(45.401, abs=0.001)

    def test_the_larger_of_the_pair_is_the_main(self, star):
        made = star((EAST, "small"), (WEST, "mid"), (NORTH, "small"))
        junction = made.at("n0")
        assert (junction.kind, junction.straights) == ("reducer", ("l2", "l1"))
        assert branches(junction) == [("l3", "l3", 90)]
        assert made.straights() == {"s1": "l1", "s2": "l2", "s3": "l3"}
        assert made.codes() == []

    def test_it_counts_as_a_change_where_the_pipe_is_the_same(self, star):
        made = star((EAST,), (WEST, "mid", {"thickness_mm": 50}), (NORTH,))
        assert (made.at("n0").kind, made.at("n0").straights) == ("change", ("l2", "l1"))

    def test_the_angle_is_that_to_the_main(self, star):
        made = star((EAST, "small"), (WEST, "mid"), ((2000, 2000, 0), "small"), (UP, "small"))
        assert branches(made.at("n0")) == [("l3", "l3", 45), ("l4", "l4", 90)]

    def test_of_two_pairs_the_one_that_holds_the_larger_leg(self, star):
        made = star((EAST, "mid"), (WEST, "small"), (NORTH, "big"), (SOUTH, "small"))
        assert made.at("n0").straights == ("l3", "l4")
        assert branches(made.at("n0")) == [("l1", "l1", 90), ("l2", "l2", 90)]

    def test_of_two_pairs_that_hold_equals_the_one_of_the_smaller_straight(self, star):
        made = star((EAST, "small"), (NORTH, "mid", HR), (WEST, "mid"), (SOUTH, "small", HR))
        assert made.at("n0").straights == ("l2", "l4")

    def test_a_covered_pair_before_a_larger_bare_leg(self, star):
        made = star((EAST, "big", BARE), (WEST, "mid", BARE), (NORTH, "small"), (SOUTH, "small", HR))
        assert made.at("n0").straights == ("l3", "l4")


@pytest.mark.parametrize(
    "arms",
    [
        pytest.param((EAST, NORTH, UP), id="three ways"),
        pytest.param((EAST, (-2000, 2000, 0), (-2000, -2000, 0)), id="a Y"),
        pytest.param((EAST, NORTH, UP, (-1000, -1000, 0)), id="four ways"),
        pytest.param((EAST, WEST, NORTH, SOUTH, UP), id="five, two pairs in line"),
        pytest.param((EAST, WEST, NORTH, SOUTH, UP, (0, 0, -2000)), id="six"),
    ],
)
def test_pipes_that_meet_with_no_through_pipe(star, arms):
    made = star(*((arm,) for arm in arms))
    legs = tuple(f"l{number}" for number in range(1, len(arms) + 1))
    assert made.at("n0").kind == "unresolved"
    assert set(made.straights().values()) == set(legs)
    assert made.codes() == [("no-through-pipe", *legs, "n0")]
    snag = made.only("no-through-pipe")
    assert (snag.severity, snag.says) == ("error", f"{len(arms)} pipes meet at node n0 and none of them runs through.")
    assert snag.do == "Move the node so that two legs are in one line, or make it two tees."


def test_legs_within_a_wide_tolerance_make_no_branch_of_no_angle(star):
    # Three legs in line within 5°, two of them 6° apart: whatever is meant, its angle is not 0.
    arms = (((9000, 0, 0),), ((-9000, 470, 0), "mid", HR), ((-9000, -470, 0), "mid", HR))
    made = star(*arms, settings=Settings(angle_tolerance_deg=5))
    assert made.at("n0").kind == "change"
    assert made.at("n0").branches[0].angle_deg > 2.5
