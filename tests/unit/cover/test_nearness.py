"""Branches, bends and items so near that their cuts meet."""

from __future__ import annotations

import pytest

from layoutest.layout.document import FittingChoice, Item


def header(draw, *places, items=None, far=5000, **more):
    """A header of D 110 mm along x with branches of the same, each from `x` to `x, y, level` at its far end."""
    nodes = {"n1": (0, 0), "n2": (far, 0)}
    legs, start = {}, "n1"
    for number, (at_mm, *ends) in enumerate(places, start=1):
        node = f"t{number}"
        nodes[node] = (at_mm, 0)
        legs[f"l{2 * number - 1}"] = f"{start} {node} tight"
        for side, end in enumerate(ends):
            nodes[f"e{number}{side}"] = end
            legs[f"b{number}{side}"] = f"{node} e{number}{side} tight"
        start = node
    legs["l99"] = f"{start} n2 tight"
    return draw(nodes, legs, items=items, **more)


def near(drawn):
    return [snag[1:] for snag in drawn.snags() if snag[0] == "fittings-too-near"]


def test_equal_branches_on_opposite_sides_of_a_cross_do_not_meet(draw):
    # Longer along the header, so that the header runs through.
    assert near(header(draw, (2000, (2000, 900), (2000, -900)))) == []


def test_branches_on_two_neighbouring_sides_of_one_node_meet(draw):
    assert near(header(draw, (2000, (2000, 900), (2000, 0, 900)))) == [("l99", "t1")]


@pytest.mark.parametrize(("apart_mm", "told"), [(109, [("l3", "t1", "t2")]), (110, [])])
def test_branches_on_the_same_side(draw, apart_mm, told):
    drawn = header(draw, (2000, (2000, 900)), (2000 + apart_mm, (2000 + apart_mm, 900)))
    assert near(drawn) == told


def test_branches_near_each_other_on_opposite_sides(draw):
    assert near(header(draw, (2000, (2000, 900)), (2060, (2060, -900)))) == []


@pytest.mark.parametrize(("at_mm", "told"), [(109, [("l2", "t1", "n1")]), (110, [])])
def test_a_branch_near_a_mitre(draw, at_mm, told):
    # The mitre of 45° reaches 55 mm into the header, the notch 55 mm towards it.
    drawn = draw(
        {"n0": (0, -900), "n1": (0, 0), "t1": (at_mm, 0), "n2": (3000, 0), "e1": (at_mm, 900)},
        {"l0": "n0 n1 tight", "l1": "n1 t1 tight", "l2": "t1 n2 tight", "b1": "t1 e1 tight"},
    )
    assert near(drawn) == told


@pytest.mark.parametrize(
    ("choice", "reaches_mm"),
    [
        (None, 162),  # three mitres: 146.41 taken, 55·tan 15° = 14.74 on top
        (FittingChoice(cover="preformed"), 200),
    ],
)
def test_a_branch_on_or_near_the_cover_of_an_elbow_counts_and_is_told(draw, choice, reaches_mm):
    for at_mm, told in ((60, True), (reaches_mm + 54, True), (reaches_mm + 55, False)):
        drawn = draw(
            {"n0": (0, -900), "n1": (0, 0), "t1": (at_mm, 0), "n2": (3000, 0), "e1": (at_mm, 900)},
            {"l0": "n0 n1 long", "l1": "n1 t1 long", "l2": "t1 n2 long", "b1": "t1 e1 long"},
            fittings={"n1": choice} if choice else {},
        )
        assert near(drawn) == ([("l1" if at_mm < 55 else "l2", "t1", "n1")] if told else [])
        assert ("t1", "tee") in drawn.fittings()
        assert ("t1", "notch", 1, 420.2) in drawn.joints()


@pytest.mark.parametrize(
    ("at_mm", "leg", "told"), [(1846, "l99", True), (1845, "l99", False), (2154, "l1", True), (2155, "l1", False)]
)
def test_a_branch_near_an_item(draw, at_mm, leg, told):
    # The valve takes from 1900 to 2100 mm; the branch stands on the leg before it or after it.
    item = Item(leg, 2000 - at_mm if leg == "l99" else 2000, length_mm=200)
    drawn = header(draw, (at_mm, (at_mm, 900)), items={"v1": item})
    assert near(drawn) == ([("l99", "t1", "v1")] if told else [])


def test_an_item_that_is_through_cuts_nothing(draw):
    drawn = header(draw, (2000, (2000, 900)), items={"v1": Item("l99", 60, "support", 100, "through")})
    assert near(drawn) == []


@pytest.mark.parametrize(("length_mm", "told"), [(55, [("b10", "t1", "v1")]), (56, [])])
def test_a_short_run_between_a_notch_and_an_item(draw, length_mm, told):
    items = {"v1": Item("b10", length_mm + 100, length_mm=200)}
    assert near(header(draw, (2000, (2000, 900)), items=items)) == told


@pytest.mark.parametrize(("apart_mm", "told"), [(110, [("b1", "t1", "t2")]), (111, [])])
def test_a_short_run_between_two_notches(draw, apart_mm, told):
    drawn = draw(
        {
            "n1": (0, 0),
            "t1": (1000, 0),
            "n2": (2000, 0),
            "n3": (0, apart_mm),
            "t2": (1000, apart_mm),
            "n4": (2000, apart_mm),
        },
        {"l1": "n1 t1 tight", "l2": "t1 n2 tight", "l3": "n3 t2 tight", "l4": "t2 n4 tight", "b1": "t1 t2 tight"},
    )
    assert near(drawn) == told


def test_a_branch_near_the_notched_root_of_its_own_main(draw):
    def stub(at_mm):
        main = {"n1": (0, 0), "t1": (1000, 0), "n2": (2000, 0)}
        return draw(
            {**main, "t2": (1000, at_mm), "n3": (1000, 900), "e": (1900, at_mm)},
            {"l1": "n1 t1 tight", "l2": "t1 n2 tight", "b1": "t1 t2 tight", "b2": "t2 n3 tight", "c1": "t2 e tight"},
        )

    assert near(stub(109)) == [("b1", "t2", "t1")]
    assert near(stub(110)) == []


def test_the_branches_of_a_reducing_tee_do_not_meet_the_step(draw):
    nodes = {"n1": (0, 0), "n2": (2000, 0), "n3": (5000, 0), "n4": (2000, 1500)}
    drawn = draw(nodes, {"l1": "n1 n2 tight", "l2": "n2 n3 slim", "l3": "n2 n4 tight"})
    assert near(drawn) == []


def slanting(draw, item=None, *, other=None):
    """A slim branch, D 72 mm, that leaves a header of D 110 at 45° towards its far end."""
    nodes = {"n1": (0, 0), "t1": (2000, 0), "n2": (5000, 0), "e1": (3000, 1000)}
    legs = {"l1": "n1 t1 tight", "l2": "t1 n2 tight", "b1": "t1 e1 slim"}
    if other:
        nodes["e2"], legs["b2"] = other, "t1 e2 slim"
    return draw(nodes, legs, items={"v1": item} if item else {})


@pytest.mark.parametrize(
    ("leg", "at_mm", "told"),
    [
        # The hole reaches from 55 − 36/sin 45° = 4 mm to 55 + 36/sin 45° = 106 mm beyond the node.
        ("l2", 155, True),
        ("l2", 156, False),
        ("l1", 1950, False),
    ],
)
def test_the_hole_of_a_slanting_branch_near_an_item(draw, leg, at_mm, told):
    drawn = slanting(draw, Item(leg, at_mm, length_mm=100))
    assert near(drawn) == ([("l2", "t1", "v1")] if told else [])


def test_two_branches_of_one_node_that_lean_apart_do_not_meet_but_those_that_lean_alike_do(draw):
    # On the same side of the header, 55 mm of R·cot β each way: more than the 51 mm that half a hole takes.
    assert near(slanting(draw, other=(1000, 1000))) == []
    # Both towards the far end, 45° apart round the header: each takes asin(36/55) = 41° to both sides.
    assert near(slanting(draw, other=(3000, 700, 700))) == [("l2", "t1")]
    assert near(slanting(draw, other=(3000, 0, 1000))) == []


@pytest.mark.parametrize(("from_mm", "told"), [(97, True), (98, False)])
def test_a_short_run_between_a_saddle_and_an_item(draw, make_leg, from_mm, told):
    # D 72 on D 194: the branch's shortest wall starts 97 mm from the main's centre line.
    nodes = {"n1": (0, 0), "t1": (2000, 0), "n2": (4000, 0), "e1": (2000, 900)}
    wide = {name: make_leg(f"{text} wide", thickness_mm=40) for name, text in (("l1", "n1 t1"), ("l2", "t1 n2"))}
    items = {"v1": Item("b1", from_mm + 50, length_mm=100)}
    drawn = draw(nodes, {**wide, "b1": "t1 e1 slim"}, items=items)
    assert near(drawn) == ([("b1", "t1", "v1")] if told else [])


@pytest.mark.parametrize(("corner", "places"), [("e1", ("e1", "t1")), ("z1", ("t1", "z1"))])
def test_a_shaped_end_does_not_make_a_short_run_one_piece(draw, corner, places):
    # The mitre of 45° takes 55 mm and the notch as much, but a shaped end counts as square for the packer.
    nodes = {"n1": (0, 0), "t1": (2000, 0), "n2": (4000, 0), corner: (2000, 100), "n3": (2900, 100)}
    legs = {"l1": "n1 t1 tight", "l2": "t1 n2 tight", "b1": f"t1 {corner} tight", "b2": f"{corner} n3 tight"}
    drawn = draw(nodes, legs)
    assert drawn.run("b1").one_piece is False
    assert near(drawn) == [("b1", *places)]
