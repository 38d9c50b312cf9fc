"""What must hold whatever is edited: nothing raises, every layout can be written and read, nothing is lost unasked."""

from __future__ import annotations

import random
from collections import Counter
from dataclasses import replace
from functools import cache
from math import dist
from types import MappingProxyType

import strategies
from hypothesis import assume, example, given, settings
from hypothesis import strategies as st

from layoutest.book.reader import example_book_folder, read_book
from layoutest.edit import assign, clip, draw, items, join, move, outline, places, remove, shape
from layoutest.edit.history import History
from layoutest.files.layout_read import parse_layout
from layoutest.files.layout_write import layout_text
from layoutest.job import Source, estimate_job
from layoutest.layout.document import Layout, Outline, Service

PEN = draw.Pen("HF", "steel DN50", area="Roof")


class Pick:
    """Picks ids and numbers for one edit, all from one seed."""

    def __init__(self, layout, chance):
        self.layout = layout
        self.chance = chance

    def number(self):
        """Mostly as in a room, on the grid or off it; at times farther than a file can hold."""
        return self.chance.choice(
            (
                strategies.CELL_MM * self.chance.randint(-8, 8),
                self.chance.randint(-2000, 2000),
                self.chance.randint(0, 4000),
                self.chance.randint(0, 4000),
                self.chance.randint(-600_000, 600_000),
            )
        )

    def one(self, table):
        return self.chance.choice(list(table))

    def some(self):
        """A few of all ids, and one that is no longer there."""
        every = [*self.layout.nodes, *self.layout.legs, *self.layout.items, *self.layout.structure]
        return {*self.chance.sample(every, min(len(every), self.chance.choice((1, 1, 2, 5)))), "was deleted"}

    def vector(self):
        return self.number(), self.number(), self.number()

    def place(self):
        kind = self.chance.randrange(3)
        if kind == 0:
            return places.AtNode(self.one(self.layout.nodes))
        if kind == 1:
            return places.OnLeg(self.one(self.layout.legs), self.number())
        return places.Free(*self.vector())


def _pasted(layout, pick):
    return clip.paste(layout, clip.copy(layout, pick.some()), pick.vector())[0]


def _joined_on(layout, pick):
    """Draw a leg that ends over another one, then join it."""
    leg = pick.one(layout.legs)
    ends = (layout.nodes[layout.legs[leg].start], layout.nodes[layout.legs[leg].end])
    middle = places.Free(*((a + b) // 2 for a, b in zip(*ends, strict=True)))
    drawn = draw.draw_leg(layout, places.Free(*pick.vector()), middle, PEN)
    return join.join_on_leg(drawn.layout, drawn.end, leg) if drawn.legs else layout


def _outlined(layout, pick):
    foot = pick.number()
    corners = [pick.vector()[:2] for _ in range(3 + foot % 3)]
    levels = (foot, foot + 1 + abs(pick.number())) if foot % 2 else None
    return outline.add_outline(layout, "plant", corners, levels)[0]


EDITS = {
    "draw": lambda layout, pick: draw.draw_leg(layout, pick.place(), pick.place(), PEN).layout,
    "rise": lambda layout, pick: draw.rise(layout, pick.place(), pick.number(), PEN).layout,
    "split": lambda layout, pick: places.split_leg(layout, pick.one(layout.legs), pick.number())[0],
    "move": lambda layout, pick: move.move_nodes(layout, pick.some(), pick.vector()),
    "stretch": lambda layout, pick: move.stretch(layout, pick.one(layout.legs), pick.vector()[:2]),
    "move picked": lambda layout, pick: move.move_selection(layout, pick.some(), pick.vector()),
    "slide": lambda layout, pick: items.slide_item(layout, pick.one(layout.items), pick.number()),
    "add item": lambda layout, pick: items.add_item(layout, pick.one(layout.legs), pick.number(), "valve")[0],
    "join": lambda layout, pick: join.join_nodes(layout, pick.one(layout.nodes), pick.one(layout.nodes)),
    "join on": _joined_on,
    "join there": lambda layout, pick: join.join_on_leg(layout, pick.one(layout.nodes), pick.one(layout.legs)),
    "turn": lambda layout, pick: shape.rotate(layout, pick.some(), pick.number()),
    "mirror": lambda layout, pick: shape.mirror(layout, pick.some(), ("upright", "level")[pick.number() % 2]),
    "paste": _pasted,
    "delete": lambda layout, pick: remove.delete(layout, pick.some()),
    "outline": _outlined,
    "legs": lambda layout, pick: assign.set_legs(layout, pick.some(), pipe="copper 28", covered=pick.number() > 0),
    "taped": lambda layout, pick: assign.set_legs(layout, pick.some(), measured_mm=1 + abs(pick.number())),
    "item": lambda layout, pick: assign.set_item(layout, pick.one(layout.items), kind="pump", covered="bare"),
    "fitting": lambda layout, pick: assign.set_fitting(
        layout, pick.one(layout.nodes), mitres=(None, 2)[pick.number() % 2]
    ),
    "length": lambda layout, pick: assign.set_length(
        layout, pick.one(layout.legs), pick.number(), ("start", "end")[pick.number() % 2]
    ),
    "level": lambda layout, pick: assign.set_level(layout, pick.some(), pick.number()),
    "sheet": lambda layout, pick: assign.set_sheet(layout, title=f"Sheet {pick.number() % 3}"),
    "view": lambda layout, pick: assign.set_sheet(layout, view=("plan", "elevation")[pick.number() % 2]),
    "service": lambda layout, pick: assign.set_service_record(layout, "HF", Service(f"Heating {pick.number() % 3}")),
}
NEEDS = {"slide": "items", "item": "items"}
TAKES_LEGS = {"delete", "join", "join on", "join there"}

seeds = st.integers(0, 2**32)
plain = strategies.networks(directions=strategies.STRAIGHT_DIRECTIONS)
slanting = strategies.networks(directions=strategies.DIRECTIONS)
views = st.sampled_from(["plan", "elevation"])


def edited(layout, seed, edits):
    """Edit after edit, each with its name, the layout before it and the layout after it."""
    chance = random.Random(seed)
    for name in chance.choices(sorted(EDITS), k=edits):
        if layout.legs and getattr(layout, NEEDS.get(name, "nodes")):
            after = EDITS[name](layout, Pick(layout, chance))
            yield name, layout, after
            layout = after


def read_back(layout):
    return parse_layout(layout_text(layout).encode(), "edited").layout


def all_whole(layout):
    places_mm = [place for node in layout.nodes.values() for place in node]
    places_mm += [place for one in layout.structure.values() for corner in one.outline for place in corner]
    places_mm += [item.at_mm for item in layout.items.values()]
    return all(type(place) is int for place in places_mm)


@given(slanting | strategies.layouts(), views, seeds)
@settings(max_examples=150)
def test_any_edits_keep_a_layout_that_a_file_can_hold(layout, view, seed):
    for name, before, after in edited(replace(layout, view=view), seed, 60):
        assert after is before or after != before, f"{name} made an equal layout anew"
        assert read_back(after) == after
        assert all_whole(after)
        assert name in TAKES_LEGS or before.legs.keys() <= after.legs.keys()


@given(slanting, seeds)
@settings(max_examples=30)
def test_all_is_undone_and_done_again_as_the_same_objects(layout, seed):
    history = History(layout)
    seen = [layout]
    for name, before, after in edited(layout, seed, 60):
        history = history.do(after, name)
        if after is not before:
            seen.append(after)
            assert history.undo_name == name
    for one in reversed(seen[:-1]):
        history = history.undo()
        assert history.now is one
    assert history.undo() is history
    for one in seen[1:]:
        history = history.redo()
        assert history.now is one
    assert history.redo() is history


@given(slanting, seeds)
@settings(max_examples=30)
def test_what_an_edit_leaves_alone_stays_the_same_object(layout, seed):
    for _, before, after in edited(layout, seed, 40):
        for table in ("nodes", "legs", "items", "structure", "fittings", "services"):
            old, new = getattr(before, table), getattr(after, table)
            assert isinstance(new, MappingProxyType)
            assert old is new or old != new
            assert all(new[key] is value or new[key] != value for key, value in old.items() if key in new)


@cache
def book():
    return read_book(example_book_folder())


def estimated(layout):
    return estimate_job([Source("edited", "", layout)], book())


def counted(layout):
    """All that is counted and paid, whichever legs it is on."""
    estimate = estimated(layout)
    quantities = estimate.quantities
    joints = Counter()
    for joint in quantities.joints:
        joints[joint.kind, joint.cause] += joint.count
    tape = quantities.covered_um, quantities.tape_um(seam=False), quantities.bends, quantities.reducers
    return tape, +joints, Counter((one.kind, one.item) for one in quantities.each), estimate.cost.known


@given(plain, st.integers(0, 100), st.integers(1, 3999))
@settings(max_examples=40)
def test_splitting_a_leg_changes_no_quantity(layout, leg, at_mm):
    leg = list(layout.legs)[leg % len(layout.legs)]
    split, node = places.split_leg(layout, leg, at_mm)
    assume(split is not layout)
    assert len(split.legs) == len(layout.legs) + 1
    assert dist(split.nodes[layout.legs[leg].start], split.nodes[node]) == at_mm
    assert counted(split) == counted(layout)


@given(strategies.networks(directions=strategies.DIRECTIONS, items=False), st.integers(0, 100), st.integers(1, 3999))
@settings(max_examples=40)
def test_splitting_a_leg_at_45_degrees_puts_the_node_exactly_on_it(layout, leg, at_mm):
    leg = list(layout.legs)[leg % len(layout.legs)]
    split, node = places.split_leg(layout, leg, at_mm)
    start, end = (layout.nodes[end] for end in (layout.legs[leg].start, layout.legs[leg].end))
    to_node = [b - a for a, b in zip(start, split.nodes[node], strict=True)]
    whole = [b - a for a, b in zip(start, end, strict=True)]
    assert all(a * d == b * c for a, b in zip(to_node, whole, strict=True) for c, d in zip(to_node, whole, strict=True))


@given(plain, st.integers(-3, 3).filter(bool), st.integers(-3, 3))
@settings(max_examples=25)
def test_a_copy_pasted_elsewhere_doubles_the_covering(layout, across, up):
    by = (100_000 * across, 100_000 * up, 0)
    doubled, ids = clip.paste(layout, clip.copy(layout, layout.legs), by)
    assert len(ids) == len(layout.legs)
    assert estimated(doubled).quantities.covered_um == 2 * estimated(layout).quantities.covered_um


picked = st.sets(st.integers(0, 60), min_size=1)


def some_of(layout, places_in_list):
    every = [*layout.legs, *layout.nodes, *layout.structure]
    return {every[place % len(every)] for place in places_in_list}


def outlined(layout, corners, levels):
    return replace(layout, structure=MappingProxyType({"w1": Outline("wall", tuple(corners), levels)}))


corners = st.lists(st.tuples(st.integers(-5000, 5000), st.integers(-5000, 5000)), min_size=3, max_size=5)
levels = st.none() | st.just((0, 2400))


@given(slanting, corners, levels, views, picked, st.sampled_from(["upright", "level"]))
def test_mirrored_twice_is_as_before(layout, corners, levels, view, places_in_list, axis):
    layout = replace(outlined(layout, corners, levels), view=view)
    ids = some_of(layout, places_in_list)
    assert shape.mirror(shape.mirror(layout, ids, axis), ids, axis) == layout


@given(slanting, corners, levels, views, picked, st.sampled_from([1, 7, 50, 100, 333, 500, 1000]), st.integers(-3, 3))
def test_four_quarters_lead_back(layout, corners, levels, view, places_in_list, grid_mm, quarters):
    layout = replace(outlined(layout, corners, levels), view=view, grid_mm=grid_mm)
    ids = some_of(layout, places_in_list)
    turned = layout
    for _ in range(4):
        turned = shape.rotate(turned, ids, quarters)
    assert turned == layout
    assert shape.rotate(layout, ids, 4) is layout
    assert shape.rotate(shape.rotate(layout, ids, 1), ids, 3) == layout


def way(layout, leg):
    start, end = layout.nodes[layout.legs[leg].start], layout.nodes[layout.legs[leg].end]
    return tuple(b - a for a, b in zip(start, end, strict=True))


def is_along_an_axis(vector):
    return sum(map(bool, vector)) <= 1


# Never so far that a neighbour of the drawn lengths, all of whole cells, loses its whole length.
sideways = st.integers(-2000, 2000).filter(lambda by_mm: by_mm % strategies.CELL_MM)


@given(plain, views, st.integers(0, 100), sideways, sideways)
def test_stretching_keeps_every_right_angle_and_leads_back(layout, view, leg, du, dv):
    layout = replace(layout, view=view)
    leg = list(layout.legs)[leg % len(layout.legs)]
    stretched = move.stretch(layout, leg, (du, dv))
    assert stretched is not layout
    assert way(stretched, leg) == way(layout, leg)
    depth = 2 if view == "plan" else 1
    if not way(layout, leg)[depth]:
        assert all(is_along_an_axis(way(stretched, name)) for name in layout.legs)
    assert move.stretch(stretched, leg, (-du, -dv)) == layout


@given(plain, st.integers(0, 100), st.integers(1, 20_000), st.sampled_from(["start", "end"]))
def test_a_typed_length_moves_what_hangs_beyond_and_changes_no_other_leg(layout, leg, length_mm, fixed):
    leg = list(layout.legs)[leg % len(layout.legs)]
    made = assign.set_length(layout, leg, length_mm, fixed)
    assert dist(*(made.nodes[node] for node in (made.legs[leg].start, made.legs[leg].end))) == length_mm
    kept = getattr(layout.legs[leg], fixed)
    assert made.nodes[kept] == layout.nodes[kept]
    assert all(way(made, name) == way(layout, name) for name in layout.legs if name != leg)


@given(slanting, st.integers(0, 100), st.integers(0, 100), st.integers(0, 4000))
@example(Layout(), 0, 0, 0)
def test_a_drawn_branch_is_one_leg_more_and_loses_no_item(layout, leg, start, at_mm):
    assume(layout.legs)
    names = list(layout.legs)
    branch = draw.draw_leg(layout, places.OnLeg(names[leg % len(names)], at_mm), places.Free(7, 7, 90_001), PEN)
    splits = len(branch.layout.legs) - len(layout.legs) - 1
    assert splits in (0, 1)
    assert branch.layout.items.keys() == layout.items.keys()
    assert branch.layout.legs[branch.legs[0]].area == "Roof"
    assert not draw.draw_leg(branch.layout, places.AtNode(branch.end), places.AtNode(branch.start), PEN).legs
