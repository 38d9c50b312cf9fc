"""Strategies for layouts: networks as somebody would draw them, and documents with all that a file may hold.

`networks()` grows trees on a grid, with rises, drops and turns of 45°, in which legs meet only at nodes.
`layouts()` fills every key of the document with anything that the reader accepts, drawn to sense or not.
"""

from __future__ import annotations

import json
from itertools import product
from types import MappingProxyType
from typing import get_args

from hypothesis import strategies as st

from layoutest.files import layout_shape as shapes
from layoutest.files.record import known_keys
from layoutest.layout import document
from layoutest.layout.document import (
    Criterion,
    FittingChoice,
    Item,
    Layout,
    Leg,
    Node,
    Outline,
    PipeSize,
    Service,
    Settings,
)

CELL_MM = 500
DIRECTIONS = [step for step in product((-1, 0, 1), repeat=3) if 1 <= sum(map(abs, step)) <= 2]
STRAIGHT_DIRECTIONS = [step for step in DIRECTIONS if sum(map(abs, step)) == 1]
PIPES = ("steel DN50", "steel DN25", "copper 28", "our pipe")
OUR_PIPE = PipeSize(outside_diameter_mm=76.1, elbow_radius_mm=114)
SERVICES = MappingProxyType(
    {
        "HF": Service("Heating flow", "water", 80, 20, 0.5, covering="stone-wool-foil", thickness_mm=40),
        "CW": Service("Chilled water", "water", 6, 25, 0.6, covering="stone-wool-foil", thickness_mm=25),
    }
)


@st.composite
def networks(draw, *, most_legs=12, pipes=PIPES, services=SERVICES, directions=tuple(STRAIGHT_DIRECTIONS), items=True):
    """Trees of legs on a grid of 500 mm; no two legs touch but at a shared node. At least one leg."""
    taken = {(0, 0, 0)}
    places = [(0, 0, 0)]
    legs = {}
    for _ in range(draw(st.integers(1, most_legs))):
        start = draw(st.integers(0, len(places) - 1))
        step = draw(st.sampled_from(directions))
        length = draw(st.integers(1, 8))
        # In halves of a cell, where two slanting legs could cross.
        passed = {
            tuple(2 * a + half * b for a, b in zip(places[start], step, strict=True))
            for half in range(1, 2 * length + 1)
        }
        if passed & taken:
            continue
        taken |= passed
        places.append(tuple(a + length * b for a, b in zip(places[start], step, strict=True)))
        ends = (f"n{start + 1}", f"n{len(places)}")
        start_id, end_id = ends if draw(st.booleans()) else ends[::-1]
        service = draw(st.sampled_from(sorted(services)))
        legs[f"l{len(legs) + 1}"] = Leg(start_id, end_id, service, draw(st.sampled_from(pipes)))
    if not legs:  # the first leg of all never meets another
        raise AssertionError("a network without legs")
    nodes = {f"n{place}": Node(*(CELL_MM * a for a in cell)) for place, cell in enumerate(places, 1)}
    return Layout(
        pipes=MappingProxyType({"our pipe": OUR_PIPE} if "our pipe" in pipes else {}),
        services=MappingProxyType(dict(services)),
        nodes=MappingProxyType(nodes),
        legs=MappingProxyType(legs),
        items=MappingProxyType(draw(_items_of(nodes, legs)) if items else {}),
    )


@st.composite
def _items_of(draw, nodes, legs):
    """At most one item a leg, in its middle and well inside it."""
    made = {}
    for leg_id, leg in legs.items():
        length = round(sum((a - b) ** 2 for a, b in zip(nodes[leg.start], nodes[leg.end], strict=True)) ** 0.5)
        if length >= 1500 and draw(st.integers(0, 3)) == 3:
            made[f"v{len(made) + 1}"] = Item(
                leg_id,
                length // 2,
                draw(st.sampled_from(get_args(document.ItemKind))),
                draw(st.integers(50, 400)),
                draw(st.sampled_from(get_args(document.ItemCover))),
            )
    return made


texts = st.text(max_size=12)
names = st.text(st.characters(exclude_categories=("Cc", "Cs")), min_size=1, max_size=60)
ids = st.text(st.characters(exclude_categories=("Cc", "Cs"), exclude_characters=":"), min_size=1, max_size=60)
coordinates = st.integers(-1_000_000, 1_000_000)
temperatures = st.floats(-273, 1000)
thicknesses = st.floats(0, 500, exclude_min=True) | st.just("auto")
json_values = st.recursive(
    st.none()
    | st.booleans()
    | st.integers(-(10**40), 10**40)
    | st.floats(allow_nan=False, allow_infinity=False)
    | texts,
    lambda below: st.lists(below, max_size=3) | st.dictionaries(texts, below, max_size=3),
    max_leaves=6,
)


def chosen(choices):
    return st.sampled_from(get_args(choices))


def given_or_not(values):
    return st.none() | values


def extras(shape):
    """Unknown keys of one record, as the document keeps them."""
    keys = texts.filter(lambda key: key not in known_keys(shape))
    return st.dictionaries(keys, json_values, max_size=2).map(
        lambda values: tuple(
            (key, json.dumps(value, ensure_ascii=False, separators=(",", ":"))) for key, value in values.items()
        )
    )


def tables(keys, values):
    return st.dictionaries(keys, values, max_size=3).map(MappingProxyType)


all_settings = st.builds(
    Settings,
    bend_gap_mm=st.floats(0, 100, exclude_min=True),
    least_piece_mm=st.integers(0, 500),
    kerf_mm=st.integers(0, 20),
    slit=chosen(document.Slit),
    joints=chosen(document.Joints),
    joint_overlap_mm=st.floats(0, 500),
    angle_tolerance_deg=st.floats(0, 5),
    extra=extras(shapes.SettingsShape),
)
elbow_radii = given_or_not(st.floats(0, 5000))
pipe_sizes = st.builds(PipeSize, given_or_not(st.floats(1, 2000)), elbow_radii, extras(shapes.PipeShape))
criteria = st.builds(
    Criterion,
    texts,
    given_or_not(st.floats(allow_nan=False, allow_infinity=False)),
    extras(shapes.CriterionShape),
)
all_services = st.builds(
    Service,
    texts,
    texts,
    given_or_not(temperatures),
    given_or_not(temperatures),
    given_or_not(st.floats(0, 1)),
    texts,
    given_or_not(texts),
    given_or_not(thicknesses),
    st.lists(criteria, max_size=2).map(tuple),
    extras(shapes.ServiceShape),
)
fitting_choices = st.builds(
    FittingChoice,
    given_or_not(st.integers(1, 12)),
    elbow_radii,
    given_or_not(st.just("preformed")),
    extras(shapes.FittingShape),
)
levels = st.lists(coordinates, min_size=2, max_size=2, unique=True).map(lambda pair: tuple(sorted(pair)))
outlines = st.builds(
    Outline,
    chosen(document.OutlineKind),
    st.lists(st.tuples(coordinates, coordinates), min_size=3, max_size=5).map(tuple),
    given_or_not(levels),
    extras(shapes.OutlineShape),
)


def legs_between(node_ids):
    return st.builds(
        Leg,
        st.sampled_from(node_ids),
        st.sampled_from(node_ids),
        texts,
        texts,
        given_or_not(st.integers(1, 1_000_000)),
        st.booleans(),
        given_or_not(texts),
        given_or_not(thicknesses),
        texts,
        texts,
        extras(shapes.LegShape),
    )


def items_in(leg_ids):
    return st.builds(
        Item,
        st.sampled_from(leg_ids),
        coordinates,
        chosen(document.ItemKind),
        given_or_not(st.integers(1, 1_000_000)),
        chosen(document.ItemCover),
        st.integers(0, 1_000_000),
        extras(shapes.ItemShape),
    )


@st.composite
def layouts(draw):
    """Any document that the reader accepts."""
    every_id = draw(st.lists(ids, min_size=1, max_size=8, unique=True))
    cuts = sorted(draw(st.lists(st.integers(1, len(every_id)), min_size=3, max_size=3)))
    node_ids, leg_ids, item_ids, outline_ids = (
        every_id[first:last] for first, last in zip([0, *cuts], [*cuts, len(every_id)], strict=True)
    )

    def table(keys, values):
        return MappingProxyType({key: draw(values) for key in keys})

    return Layout(
        title=draw(texts),
        revision=draw(texts),
        view=draw(chosen(document.View)),
        grid_mm=draw(st.integers(1, 10_000)),
        times=draw(st.integers(1, 1000)),
        settings=draw(all_settings),
        pipes=draw(tables(names, pipe_sizes)),
        services=draw(tables(names, all_services)),
        nodes=table(node_ids, st.builds(Node, coordinates, coordinates, coordinates)),
        legs=table(leg_ids, legs_between(node_ids)),
        fittings=draw(tables(st.sampled_from(node_ids), fitting_choices)),
        items=table(item_ids, items_in(leg_ids)) if leg_ids else MappingProxyType({}),
        structure=table(outline_ids, outlines),
        extra=draw(extras(shapes.LayoutShape)),
    )
