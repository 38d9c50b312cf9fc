"""Covering again after an edit: what changed is made again, the rest stays the same objects."""

from __future__ import annotations

from dataclasses import replace

import pytest

from layoutest.layout.document import FittingChoice, Item, Node, Settings

NODES = {
    "n1": (0, 0),
    "n2": (2000, 0),
    "n3": (2000, 1500),
    "n4": (4000, 1500),
    "n5": (8000, 0),
    "n6": (8000, 1500),
    "n7": (9500, 1500),
}
LEGS = {
    "l1": "n1 n2 long",
    "l2": "n2 n3 long",
    "l3": "n3 n4 long",
    "l5": "n5 n6 long",
    "l6": "n6 n7 long",
}


@pytest.fixture
def first(draw):
    return draw(NODES, LEGS, items={"v1": Item("l3", 1000, length_mm=200)})


def again(first, **changes):
    layout = replace(first.layout, **changes)
    return type(first)(layout, first.chosen.book, first), type(first)(layout, first.chosen.book)


def kept(first, later):
    """The keys of what stayed the same object: straights, nodes."""
    old, new = first.covering, later.covering
    laid = {key for key, laid in new.laid.items() if laid is old.laid.get(key)}
    return laid, {node for node, joined in new.joined.items() if joined is old.joined.get(node)}


def same(later, scratch):
    one, two = later.covering, scratch.covering
    return all(getattr(one, part) == getattr(two, part) for part in ("laid", "joined", "faces", "bends", "items"))


def test_nothing_changed(first):
    later, scratch = again(first, title="same")
    assert same(later, scratch)
    assert kept(first, later) == (set(first.covering.laid), set(first.covering.joined))


def test_a_node_moved(first):
    later, scratch = again(first, nodes={**first.layout.nodes, "n7": Node(9700, 1500, 0)})
    assert same(later, scratch)
    laid, joined = kept(first, later)
    assert laid == {"l1", "l2", "l3", "l5"}
    # The bend at n6 belongs to l5 and is what it was.
    assert joined == {"n1", "n2", "n3", "n4", "n5", "n6"}


def test_an_item_moved_added_and_taken_away(first):
    for items in ({"v1": Item("l3", 900, length_mm=200)}, {"v1": Item("l5", 500, length_mm=100)}, {}):
        later, scratch = again(first, items=items)
        assert same(later, scratch)
        assert {"l1", "l2", "l6"} <= kept(first, later)[0]


def test_the_choice_for_one_bend_changed(first):
    later, scratch = again(first, fittings={"n2": FittingChoice(cover="preformed")})
    assert same(later, scratch)
    assert kept(first, later) == ({"l3", "l5", "l6"}, {"n1", "n3", "n4", "n5", "n6", "n7"})
    back, scratch = again(later, fittings={})
    assert same(back, scratch)
    assert back.covering.joined["n2"] == first.covering.joined["n2"]


def test_a_choice_for_a_node_that_is_no_bend(first):
    later, scratch = again(first, fittings={"n1": FittingChoice(mitres=2), "gone": FittingChoice(mitres=2)})
    assert same(later, scratch)
    assert kept(first, later)[0] == set(first.covering.laid)


def test_a_leg_taken_away_and_put_back(first):
    legs = {name: leg for name, leg in first.layout.legs.items() if name != "l3"}
    later, scratch = again(first, legs=legs, items={})
    assert same(later, scratch)
    assert "n4" not in later.covering.joined
    assert "l3" not in later.covering.laid
    back, scratch = again(later, legs=first.layout.legs, items=first.layout.items)
    assert same(back, scratch)
    assert back.covering.laid == first.covering.laid


def test_settings_changed_make_everything_again(first):
    later, scratch = again(first, settings=Settings(bend_gap_mm=20))
    assert same(later, scratch)
    assert later.covering.bends["n2"].mitres == 2
    assert first.covering.bends["n2"].mitres == 3


def test_an_item_put_at_a_bend_unmakes_its_joints_on_both_sides(first):
    later, scratch = again(first, items={"v9": Item("l2", 1450, length_mm=100)})
    assert same(later, scratch)
    assert first.covering.joined["n3"].joints[0].count == 3
    assert later.covering.joined["n3"].joints[0].count == 3  # wholly inside what the elbow takes: 146.41 mm
    later, scratch = again(first, items={"v9": Item("l2", 1400, length_mm=200)})
    assert same(later, scratch)
    assert later.covering.joined["n3"].joints[0].count == 2
    assert later.covering.laid["l3"] == scratch.covering.laid["l3"]
