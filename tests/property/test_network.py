"""Straights and junctions of random networks: the same however they are drawn, and the same after an edit as afresh."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from itertools import combinations
from math import gcd
from types import MappingProxyType

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import CELL_MM, DIRECTIONS, PIPES, SERVICES, STRAIGHT_DIRECTIONS, networks

from layoutest.book.reader import example_book_folder, read_book
from layoutest.choose import choose
from layoutest.layout.contacts import Line, find_contacts
from layoutest.layout.document import Layout, Leg, Node
from layoutest.layout.geometry import length, minus
from layoutest.network import derive

BOOK = read_book(example_book_folder())
MEASURED = st.none() | st.integers(100, 5000)


def table(records):
    return MappingProxyType(dict(records))


@st.composite
def trees(draw, most_legs=12):
    """Trees with turns of 45°, of many sizes or of few."""
    pipes = PIPES[: draw(st.sampled_from((1, 2, 4)))]
    services = table(list(SERVICES.items())[: draw(st.integers(1, 2))])
    directions = tuple(draw(st.sampled_from((DIRECTIONS, STRAIGHT_DIRECTIONS))))
    return draw(networks(most_legs=most_legs, pipes=pipes, services=services, directions=directions, items=False))


@st.composite
def lattices(draw):
    """Part of a lattice of four by four nodes, nearly all legs alike: many crosses on chains that cross."""
    steps = st.lists(st.sampled_from((1000, 1000, 2000)), min_size=3, max_size=3)
    across, up = draw(steps), draw(steps)
    places = {(x, y): f"n{4 * y + x}" for x in range(4) for y in range(4)}
    nodes = {name: Node(sum(across[:x]), sum(up[:y]), 0) for (x, y), name in places.items()}
    ends = [(at, (at[0] + dx, at[1] + dy)) for at in places for dx, dy in ((1, 0), (0, 1))]
    joined = draw(st.permutations([pair for pair in ends if pair[1] in places]))
    kept = joined[: draw(st.integers(1, len(joined)))]
    pipes = st.sampled_from((PIPES[0],) * 9 + (PIPES[1],))
    legs = {f"l{k}": Leg(places[one], places[two], "HF", draw(pipes)) for k, (one, two) in enumerate(kept, 1)}
    return Layout(nodes=table(nodes), legs=table(legs), services=SERVICES)


@st.composite
def drawings(draw):
    """Networks as they may be drawn, some of them with legs that are bare or measured."""
    layout = draw(trees() | lattices())
    if draw(st.booleans()):
        return layout
    chance = st.integers(0, 4)
    legs = {
        name: replace(leg, covered=draw(chance) > 0, measured_mm=draw(MEASURED) if draw(chance) == 0 else None)
        for name, leg in layout.legs.items()
    }
    return replace(layout, legs=table(legs))


def derived(layout):
    return derive(choose(layout, BOOK))


def straights(network):
    """What is to be covered, whatever it is called."""
    return Counter((made.spec, round(made.centre_line_mm, 6)) for made in network.straights.values())


def junctions(network):
    """What stands at all nodes where something does, whatever it is called."""
    return Counter(
        (
            junction.kind,
            tuple(leg.spec for leg in junction.legs) if junction.kind != "unresolved" else len(junction.legs),
            round(junction.turn_deg, 6),
            tuple(sorted((round(branch.angle_deg, 6), branch.leg.spec.text) for branch in junction.branches)),
        )
        for junction in network.junctions.values()
        if junction.kind != "on"
    )


def turned(layout, turn):
    return replace(layout, nodes=table((name, Node(*turn(*node))) for name, node in layout.nodes.items()))


def same_work(layout, other):
    one, two = derived(layout), derived(other)
    assert straights(one) == straights(two)
    assert junctions(one) == junctions(two)
    return one, two


@given(drawings())
def test_every_leg_is_in_exactly_one_straight(layout):
    network = derived(layout)
    assert not network.chosen.refused
    held = Counter(leg.id for made in network.straights.values() for leg in made.legs)
    assert held == Counter(layout.legs.keys())
    assert {leg.id: key for key, made in network.straights.items() for leg in made.legs} == network.straight_of
    for key, made in network.straights.items():
        assert key in {leg.id for leg in made.legs}
        assert len({leg.spec for leg in made.legs}) == 1
        assert len(made.nodes) == len(made.offsets_mm) == len(made.legs) + 1


@given(drawings(), st.randoms(use_true_random=False))
def test_the_order_in_a_file_changes_nothing(layout, chance):
    def shuffled(records):
        pairs = list(records.items())
        chance.shuffle(pairs)
        return table(pairs)

    parts = {name: shuffled(getattr(layout, name)) for name in ("nodes", "legs", "services", "pipes")}
    one, two = same_work(layout, replace(layout, **parts))
    assert one.names == two.names
    assert one.straights == two.straights
    assert one.junctions == two.junctions


@given(drawings(), st.data())
def test_the_end_a_leg_was_drawn_from_changes_nothing(layout, data):
    legs = {
        name: replace(leg, start=leg.end, end=leg.start) if data.draw(st.booleans()) else leg
        for name, leg in layout.legs.items()
    }
    one, two = same_work(layout, replace(layout, legs=table(legs)))
    assert {key: made.nodes for key, made in one.straights.items()} == {
        key: made.nodes for key, made in two.straights.items()
    }


@given(drawings(), st.tuples(*[st.integers(-900_000, 900_000)] * 3))
def test_moving_changes_nothing(layout, by):
    same_work(layout, turned(layout, lambda *at: (a + b for a, b in zip(at, by, strict=True))))


@pytest.mark.parametrize(
    "turn",
    [
        pytest.param(lambda x, y, level: (-y, x, level), id="a quarter"),
        pytest.param(lambda x, y, level: (-x, -y, level), id="a half"),
        pytest.param(lambda x, y, level: (y, -x, level), id="three quarters"),
        pytest.param(lambda x, y, level: (-x, y, level), id="mirrored in x"),
        pytest.param(lambda x, y, level: (x, -y, level), id="mirrored in y"),
        pytest.param(lambda x, y, level: (x, y, -level), id="upside down"),
    ],
)
@given(layout=drawings())
def test_turning_and_mirroring_change_nothing(turn, layout):
    same_work(layout, turned(layout, turn))


@given(drawings(), st.data())
def test_splitting_changes_nothing_but_ids(layout, data):
    names = [name for name, leg in layout.legs.items() if leg.measured_mm is None]
    nodes, legs = dict(layout.nodes), dict(layout.legs)
    for name in data.draw(st.lists(st.sampled_from(names), unique=True)) if names else ():
        leg = legs[name]
        start, end = nodes[leg.start], nodes[leg.end]
        steps = gcd(*minus(end, start))
        step = data.draw(st.integers(1, steps - 1))
        middle = f"m{name}"
        nodes[middle] = Node(*(a + (b - a) * step // steps for a, b in zip(start, end, strict=True)))
        legs[name] = replace(leg, end=middle)
        # Larger than every id there is: an id decides only where nothing else does.
        legs[f"x{name}"] = replace(leg, start=middle)
    one, two = same_work(layout, replace(layout, nodes=table(nodes), legs=table(legs)))
    assert one.names == two.names


def edits(layout):
    """One thing changed in a layout: a node moved, or a leg drawn, deleted or changed."""
    places = st.tuples(*[st.integers(-4, 4).map(lambda step: step * CELL_MM)] * 3)
    names = st.sampled_from(sorted(layout.nodes))
    changes = [
        st.builds(lambda name, at: replace(layout, nodes=table({**layout.nodes, name: Node(*at)})), names, places),
        st.builds(
            lambda number, start, end, pipe: replace(
                layout, legs=table({**layout.legs, f"l{number}": Leg(start, end, "HF", pipe)})
            ),
            st.integers(0, 40),
            names,
            names,
            st.sampled_from((*PIPES, "lead")),
        ),
    ]
    if layout.legs:
        held = st.sampled_from(sorted(layout.legs))
        fields = (
            st.fixed_dictionaries({"pipe": st.sampled_from((*PIPES, "lead"))})
            | st.fixed_dictionaries({"service": st.sampled_from((*SERVICES, "X"))})
            | st.fixed_dictionaries({"covered": st.booleans()})
            | st.fixed_dictionaries({"thickness_mm": st.sampled_from((None, 40, 50, 55))})
            | st.fixed_dictionaries({"measured_mm": MEASURED})
        )
        changes += [
            st.builds(
                lambda gone: replace(layout, legs=table(pair for pair in layout.legs.items() if pair[0] != gone)),
                held,
            ),
            st.builds(
                lambda name, change: replace(
                    layout, legs=table({**layout.legs, name: replace(layout.legs[name], **change)})
                ),
                held,
                fields,
            ),
        ]
    return st.one_of(changes)


def assert_same(network, afresh):
    chosen, scratch = network.chosen, afresh.chosen
    for part in ("candidates", "legs", "refused"):
        assert getattr(chosen, part) == getattr(scratch, part), part
    assert chosen.contacts.found == scratch.contacts.found
    for part in ("meetings", "through", "straights", "straight_of", "junctions"):
        assert getattr(network, part) == getattr(afresh, part), part
    assert network.names == afresh.names


def assert_kept(network, before):
    """What is equal to what was there before is the same object."""
    old, new = before.chosen, network.chosen
    for name, leg in new.candidates.items():
        ends = leg.start, leg.end
        if old.layout.legs.get(name) is leg.leg and all(old.layout.nodes[n] is new.layout.nodes[n] for n in ends):
            assert leg is old.candidates[name]
    for part in ("straights", "junctions"):
        was = getattr(before, part)
        for name, record in getattr(network, part).items():
            assert record != was.get(name) or record is was[name]


@settings(max_examples=300)
@given(drawings(), st.data())
def test_after_edits_everything_is_as_if_derived_afresh(layout, data):
    network = derived(layout)
    for _ in range(data.draw(st.integers(1, 5))):
        layout = data.draw(edits(layout))
        before, network = network, derive(choose(layout, BOOK, network.chosen), network)
        assert_same(network, derived(layout))
        assert_kept(network, before)


@st.composite
def tangles(draw):
    """Lines between few places, near and far apart, so that many of them touch."""
    spread = draw(st.sampled_from((2, 4, 30)))
    places = st.tuples(*[st.integers(-spread, spread).map(lambda step: 250 * step)] * 3)
    nodes = draw(st.lists(places, min_size=2, max_size=12))
    lines = {}
    for number in range(draw(st.integers(1, 14))):
        start, end = draw(st.integers(0, len(nodes) - 1)), draw(st.integers(0, len(nodes) - 1))
        between = minus(nodes[end], nodes[start])
        if between != (0, 0, 0):
            long_mm = length(between)
            heading = tuple(part / long_mm for part in between)
            lines[f"l{number}"] = Line(f"n{start}", f"n{end}", nodes[start], heading, long_mm)
    return lines


@settings(max_examples=300)
@given(tangles())
def test_the_grid_finds_what_comparing_every_pair_finds(lines):
    pairs = [find_contacts({one: lines[one], two: lines[two]}, 0.5).found for one, two in combinations(lines, 2)]
    assert find_contacts(lines, 0.5).found == {pair: contact for found in pairs for pair, contact in found.items()}


@given(tangles(), st.data())
def test_the_grid_after_lines_came_and_went(lines, data):
    few = {name: line for name, line in lines.items() if data.draw(st.booleans())}
    contacts = find_contacts(few, 0.5)
    assert find_contacts(lines, 0.5, contacts).found == find_contacts(lines, 0.5).found
    assert find_contacts(few, 0.5, find_contacts(lines, 0.5)).found == contacts.found
