"""The covering does not depend on how a layout is stored, placed or split; an edit gives what a fresh start gives."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from itertools import pairwise
from math import fsum
from types import MappingProxyType

import pytest
from hypothesis import given
from hypothesis import strategies as st
from strategies import DIRECTIONS, networks

from layoutest.book.reader import example_book_folder, read_book
from layoutest.choose import choose
from layoutest.cover.covering import cover
from layoutest.layout.document import FittingChoice, Item, Node
from layoutest.layout.geometry import minus
from layoutest.network import derive

CHANGES = ({"covered": False}, {"thickness_mm": 60}, {"measured_mm": 1234})
BOOK = read_book(example_book_folder())
CHOICES = st.builds(
    FittingChoice,
    st.none() | st.integers(1, 4),
    st.none() | st.sampled_from([0, 60, 150]),
    st.sampled_from([None, "preformed"]),
)


@st.composite
def drawings(draw):
    """Networks with slants, bends covered as the user wants, legs bare, thicker or measured, items anywhere."""
    layout = draw(networks(directions=tuple(DIRECTIONS)))
    fittings = draw(st.dictionaries(st.sampled_from(sorted(layout.nodes)), CHOICES, max_size=3))
    legs = dict(layout.legs)
    for name in draw(st.lists(st.sampled_from(sorted(legs)), max_size=3, unique=True)):
        legs[name] = replace(legs[name], **draw(st.sampled_from(CHANGES)))
    items = dict(layout.items)
    for number in range(draw(st.integers(0, 3))):
        leg, place_mm = draw(st.sampled_from(sorted(legs))), draw(st.integers(0, 1000))
        length_mm, clear_mm = draw(st.integers(1, 400)), draw(st.sampled_from([0, 30]))
        items[f"w{number}"] = Item(leg, place_mm, "valve", length_mm, "jacket", clear_mm)
    parts = {"fittings": fittings, "legs": legs, "items": items}
    return replace(layout, **{part: MappingProxyType(held) for part, held in parts.items()})


def covered(layout, before=None):
    chosen = choose(layout, BOOK, before and before.network.chosen)
    return cover(derive(chosen, before and before.network), before)


def told(run, hand=1):
    """A run without its names, as it looks from both of its ends."""
    ends = [(end.cut, round(end.angle_deg, 6)) for end in run.ends]
    # A half turn has no hand.
    twist = run.twist_deg if run.twist_deg is None or abs(run.twist_deg) > 180 - 1e-6 else hand * run.twist_deg
    twist = None if twist is None else round(twist, 6) + 0.0
    spec = run.spec.stock, run.spec.pipe, run.spec.service
    return spec, run.is_bend_piece, round(run.covered_mm, 6), tuple(sorted(ends)), twist, run.one_piece


def quantities(covering, hand=1):
    """Everything that must not change, as counts of like things."""
    made = [*covering.joined.values(), *covering.faces.values()]
    return {
        "runs": Counter(told(run, hand) for run in covering.runs()),
        "joints": Counter(
            (joint.kind, joint.cause, round(joint.length_mm, 6), joint.count, joint.leg.spec)
            for part in made
            for joint in part.joints
        ),
        "seals": Counter((seal.cause, seal.leg.spec) for part in made for seal in part.seals),
        "fittings": Counter(
            (fitting.kind, round(fitting.angle_deg, 6), fitting.mitres, round(fitting.hollow_mm, 6), fitting.cut)
            for part in made
            for fitting in part.fittings
        ),
        "holes": Counter((round(hole.half_mm, 6), hole.cut) for part in made for hole in part.holes),
        "items": Counter(placed.item.kind for laid in covering.laid.values() for placed in laid.items),
        "snags": Counter(snag.code for snag in covering.snags()),
    }


def placed(layout, place):
    return replace(layout, nodes=MappingProxyType({name: Node(*place(*node)) for name, node in layout.nodes.items()}))


def turned_round(layout, names):
    """The same layout with some legs drawn from their other end, and their items measured from there."""
    legs, items = dict(layout.legs), dict(layout.items)
    for name in names:
        leg = legs[name]
        legs[name] = replace(leg, start=leg.end, end=leg.start)
    for item_id, item in items.items():
        if item.leg in names:
            leg = layout.legs[item.leg]
            offset = minus(layout.nodes[leg.end], layout.nodes[leg.start])
            # On the grid a slant of 45° is not a whole number of mm long: only straight legs carry exact places.
            items[item_id] = replace(item, at_mm=sum(map(abs, offset)) - item.at_mm)
    return replace(layout, legs=MappingProxyType(legs), items=MappingProxyType(items))


def is_slanting(layout, name):
    leg = layout.legs[name]
    return sum(1 for part in minus(layout.nodes[leg.end], layout.nodes[leg.start]) if part) > 1


def unmeasured(layout, name):
    """The same layout with a leg that is as long as it is drawn."""
    leg = replace(layout.legs[name], measured_mm=None)
    return replace(layout, legs=MappingProxyType({**layout.legs, name: leg}))


def split(layout, name):
    """The same layout with a leg cut in two at its middle; a leg that carries items keeps them where they were."""
    leg = layout.legs[name]
    start, end = layout.nodes[leg.start], layout.nodes[leg.end]
    middle = Node(*((a + b) // 2 for a, b in zip(start, end, strict=True)))
    halves = {name: replace(leg, end="n900"), "l900": replace(leg, start="n900")}
    return replace(
        layout,
        nodes=MappingProxyType({**layout.nodes, "n900": middle}),
        legs=MappingProxyType({**layout.legs, **halves}),
    )


@given(drawings(), st.randoms(use_true_random=False))
def test_the_order_and_the_direction_of_legs_change_nothing(layout, chance):
    before = quantities(covered(layout))
    parts = {}
    for part in ("nodes", "legs", "items", "fittings"):
        entries = list(getattr(layout, part).items())
        chance.shuffle(entries)
        parts[part] = MappingProxyType(dict(entries))
    shuffled = replace(layout, **parts)
    assert quantities(covered(shuffled)) == before
    busy = {item.leg for item in layout.items.values()}
    names = [name for name in layout.legs if not (name in busy and is_slanting(layout, name)) and chance.random() < 0.5]
    assert quantities(covered(turned_round(shuffled, names))) == before


@given(drawings(), st.tuples(*[st.integers(-100_000, 100_000)] * 3))
def test_moving_and_turning_by_quarters_change_nothing(layout, by):
    before = quantities(covered(layout))
    moved = placed(layout, lambda x, y, z: (x + by[0], y + by[1], z + by[2]))
    assert quantities(covered(moved)) == before
    assert quantities(covered(placed(layout, lambda x, y, z: (-y, x, z)))) == before
    assert quantities(covered(placed(layout, lambda x, y, z: (-x, -y, z)))) == before
    assert quantities(covered(placed(layout, lambda x, y, z: (x, -z, y)))) == before


@given(drawings())
def test_a_mirror_changes_only_the_hand_of_twists(layout):
    before = covered(layout)
    for mirror in (lambda x, y, z: (-x, y, z), lambda x, y, z: (x, -y, z), lambda x, y, z: (x, y, -z)):
        assert quantities(covered(placed(layout, mirror)), hand=-1) == quantities(before)


@given(drawings(), st.data())
def test_splitting_a_leg_changes_nothing(layout, data):
    name = data.draw(st.sampled_from(sorted(layout.legs)))
    # An item stays on the half that keeps the id only if it stands there; its middle is the leg's.
    items = {key: item for key, item in layout.items.items() if item.leg != name}
    layout = replace(unmeasured(layout, name), items=MappingProxyType(items))
    assert quantities(covered(split(layout, name))) == quantities(covered(layout))


@given(drawings(), st.data())
def test_an_item_on_a_split_leg_stands_where_it_stood(layout, data):
    name = data.draw(st.sampled_from(sorted(layout.legs)))
    item = Item(name, data.draw(st.integers(0, 600)), length_mm=data.draw(st.integers(1, 300)), clear_mm=20)
    layout = replace(unmeasured(layout, name), items=MappingProxyType({"v1": item}))
    drawn_mm = choose(layout, BOOK).legs[name].drawn_mm
    if item.at_mm < drawn_mm / 2:  # beyond it the item belongs to the other half
        assert quantities(covered(split(layout, name))) == quantities(covered(layout))


@given(drawings())
def test_runs_gaps_and_what_fittings_take_add_up_to_the_centre_line(layout):
    covering = covered(layout)
    for laid in covering.laid.values():
        straight = laid.straight
        if not straight.spec.covered or "too-short" in laid.reach:
            assert laid.runs == ()
            continue
        places = [(run.from_mm, run.from_mm + run.covered_mm) for run in laid.runs]
        assert places == sorted(places)
        between = [(laid.low_mm, laid.low_mm), *places, (laid.high_mm, laid.high_mm)]
        gaps_mm = [after[0] - before[1] for before, after in pairwise(between)]
        assert all(gap_mm > -1e-9 for gap_mm in gaps_mm)
        taken_mm = laid.low_mm + straight.centre_line_mm - laid.high_mm
        total_mm = fsum([*(run.covered_mm for run in laid.runs), *gaps_mm, taken_mm])
        assert total_mm == pytest.approx(straight.centre_line_mm, rel=0, abs=1e-6)
        breaking = [placed for placed in laid.items if placed.item.covered != "through"]
        if not breaking:
            assert len(laid.runs) == 1
            assert fsum(gaps_mm) == pytest.approx(0, abs=1e-9)
        for item in breaking:
            assert not any(low < item.middle_mm < high for low, high in places)


@given(drawings())
def test_every_end_is_closed_by_a_joint_or_a_seal(layout):
    covering = covered(layout)
    made = [*covering.joined.values(), *covering.faces.values()]
    if any("too-short" in laid.reach for laid in covering.laid.values()):
        return
    ends = [end for run in covering.runs() for end in run.ends]
    unresolved = {node for node, junction in covering.network.junctions.items() if junction.kind == "unresolved"}
    open_ends = sum(end.node in unresolved for end in ends)
    joints = Counter()
    for joint in (joint for part in made for joint in part.joints):
        joints[joint.kind, joint.cause] += joint.count
    steps = sum(fitting.kind in ("reducer", "change") for part in made for fitting in part.fittings)
    stepped = sum(
        abs(one.spec.covered_diameter_mm - two.spec.covered_diameter_mm) > 10
        for node, part in covering.joined.items()
        if any(fitting.kind in ("reducer", "change") for fitting in part.fittings)
        for one, two in [covering.network.junctions[node].legs]
    )
    seals = sum(len(part.seals) for part in made) - stepped
    covers = sum(fitting.kind == "bend" and not fitting.mitres for part in made for fitting in part.fittings)
    tees = joints["notch", "tee"] + joints["saddle", "tee"]
    # A joint of a bend or a step closes two ends of covering, that of a tee or an insert one; an elbow cover has two
    # ends of its own. Where no pipe runs through, the ends stay open: that is an error.
    joined = 2 * (joints["mitre", "bend"] + joints["square", "bend"] + steps) + tees + joints["square", "item"]
    assert len(ends) + 2 * covers == joined + seals + open_ends


@given(drawings(), st.data())
def test_an_edit_gives_what_a_fresh_start_gives(layout, data):
    covering = covered(layout)
    for _ in range(4):
        layout = data.draw(edits(layout))
        later, fresh = covered(layout, covering), covered(layout)
        for part in ("laid", "joined", "faces", "bends", "items"):
            new, old = getattr(later, part), getattr(covering, part)
            assert new == getattr(fresh, part)
            if part != "items":
                assert all(new[key] is old[key] for key in new if key in old and new[key] == old[key])
        assert later.snags() == fresh.snags()
        covering = later


@st.composite
def edits(draw, layout):
    """The layout after one edit."""
    kind = draw(st.sampled_from(["node", "item", "no item", "leg", "bare", "fitting"]))
    if kind == "node":
        name = draw(st.sampled_from(sorted(layout.nodes)))
        by = draw(st.tuples(*[st.sampled_from([-500, 0, 250])] * 3))
        moved = Node(*(a + b for a, b in zip(layout.nodes[name], by, strict=True)))
        return replace(layout, nodes=MappingProxyType({**layout.nodes, name: moved}))
    leg = draw(st.sampled_from(sorted(layout.legs)))
    if kind == "item":
        item = Item(leg, draw(st.integers(0, 1500)), length_mm=draw(st.integers(1, 400)))
        name = draw(st.sampled_from(["v1", "v2", "v77"]))
        return replace(layout, items=MappingProxyType({**layout.items, name: item}))
    if kind == "no item" or (kind == "leg" and len(layout.legs) == 1):
        return replace(layout, items=MappingProxyType(dict(list(layout.items.items())[1:])))
    if kind == "fitting":
        fittings = {**layout.fittings, draw(st.sampled_from(sorted(layout.nodes))): draw(CHOICES)}
        return replace(layout, fittings=MappingProxyType(fittings))
    if kind == "bare":
        bare = replace(layout.legs[leg], covered=not layout.legs[leg].covered)
        return replace(layout, legs=MappingProxyType({**layout.legs, leg: bare}))
    items = {name: item for name, item in layout.items.items() if item.leg != leg}
    legs = {name: kept for name, kept in layout.legs.items() if name != leg}
    return replace(layout, legs=MappingProxyType(legs), items=MappingProxyType(items))
