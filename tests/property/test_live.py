"""What must be true of everything that is kept up to date while somebody edits any layout."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from types import MappingProxyType
from typing import get_args

from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import CELL_MM, DIRECTIONS, PIPES, layouts, networks

from layoutest.book.reader import example_book_folder, read_book
from layoutest.files.estimate_record import waste_percent
from layoutest.job import Source, estimate_job
from layoutest.layout.document import Item, ItemCover, Leg, Node, Outline
from layoutest.live.live import live_of, with_plans
from layoutest.pack.audit import audit
from layoutest.pack.bound import bound_of
from layoutest.pack.pieces import fixed_parts
from layoutest.pack.plan import pack

BOOK = read_book(example_book_folder())


def bare_book():
    """A book that lacks prices, times and factors, and has offcuts on the van."""
    sections = {key: replace(one, price=None) if key[1] > 50 else one for key, one in BOOK.sections.items()}
    return replace(
        BOOK,
        sections=MappingProxyType(sections),
        labour=tuple(row for row in BOOK.labour if row.work != "tee"),
        sundries=tuple(row for row in BOOK.sundries if row.kind != "end-seal"),
        tape_the_seam=not BOOK.tape_the_seam,
    )


BOOKS = (BOOK, bare_book())


def packed(live):
    """With the packer's plans everywhere."""
    return with_plans(live, [pack(problem) for problem in live.problems_to_pack()])


def check_same(live, other):
    assert live.tally == other.tally
    assert live.snags == other.snags
    assert (live.complete, live.left_out) == (other.complete, other.left_out)
    assert live.joints == other.joints
    assert list(live.stocks) == list(other.stocks)
    for key, stock in live.stocks.items():
        twin = other.stocks[key]
        assert stock.state == twin.state
        assert stock.task.problem == twin.task.problem
        assert stock.plan == twin.plan
        assert stock.placed == twin.placed


def check_as_estimated(live):
    """The tally with exact plans says what the estimate of the same layout says, to the penny."""
    layout, tally = live.layout, live.tally
    estimate = estimate_job([Source("layout.layout.json", "", layout)], live.book)
    assert tally.sections == sum(stock.plan.bought for stock in estimate.stocks)
    assert tally.joints == sum(joints.count for joints in estimate.quantities.joints)
    assert tally.tape_mm == round(estimate.quantities.tape_um(live.book.tape_the_seam) / 1000)
    assert tally.waste_percent == Decimal(str(round(waste_percent(estimate), 1)))
    assert (tally.hours, tally.net, tally.known) == (estimate.cost.hours, estimate.cost.net, estimate.cost.known)
    assert tally.currency == estimate.cost.currency
    assert live.complete == estimate.complete
    assert [stock.placed for stock in live.stocks.values()] == [stock.placed for stock in estimate.stocks]
    if layout.times == 1:
        assert live.left_out == estimate.left_out
        assert live.snags == estimate.snags
    else:
        assert live.snags == live_of(replace(layout, times=1), live.book).snags


def table(values):
    return MappingProxyType(values)


@st.composite
def edits(draw, layout):
    """A layout after one change, of the kinds that somebody makes while drawing."""
    kind = draw(st.sampled_from([moves, slides, other_legs, other_lengths, removals, additions, items, walls, grounds]))
    return draw(kind(layout))


def legs_of(layout):
    return st.sampled_from(sorted(layout.legs))


@st.composite
def moves(draw, layout):
    node = draw(st.sampled_from(sorted(layout.nodes)))
    by = draw(st.tuples(*[st.sampled_from([0, 0, 50, -CELL_MM, CELL_MM])] * 3))
    moved = Node(*(a + b for a, b in zip(layout.nodes[node], by, strict=True)))
    return replace(layout, nodes=table({**layout.nodes, node: moved}))


def slides(layout):
    """Everything goes aside, so that no length changes."""
    nodes = {name: Node(node.x_mm + 50, node.y_mm, node.level_mm) for name, node in layout.nodes.items()}
    return st.just(replace(layout, nodes=table(nodes)))


@st.composite
def other_legs(draw, layout):
    makes = [{"pipe": pipe} for pipe in (*PIPES, "no such pipe")]
    makes += [{"service": "CW"}, {"service": "HF"}, {"thickness_mm": 25}, {"thickness_mm": 26}, {"covered": False}]
    makes += [{"area": "roof"}, {"access": "high"}, {"access": "none such"}]
    leg = draw(legs_of(layout))
    made = replace(layout.legs[leg], **draw(st.sampled_from(makes)))
    return replace(layout, legs=table({**layout.legs, leg: made}))


@st.composite
def other_lengths(draw, layout):
    leg = draw(legs_of(layout))
    made = replace(layout.legs[leg], measured_mm=draw(st.sampled_from([None, 700, 1300, 2017])))
    return replace(layout, legs=table({**layout.legs, leg: made}))


@st.composite
def removals(draw, layout):
    leg = draw(legs_of(layout)) if len(layout.legs) > 1 else None
    legs = {name: one for name, one in layout.legs.items() if name != leg}
    items = {name: item for name, item in layout.items.items() if item.leg != leg}
    return replace(layout, legs=table(legs), items=table(items))


@st.composite
def additions(draw, layout):
    """A branch; its id stands before or behind those of other legs."""
    start, end = layout.legs[draw(legs_of(layout))].start, f"n{100 + len(layout.nodes)}"
    x_mm, y_mm, level_mm = layout.nodes[start]
    nodes = {**layout.nodes, end: Node(x_mm + 700, y_mm + draw(st.sampled_from([0, 700])), level_mm)}
    name = f"l{draw(st.sampled_from([0, 100])) + len(layout.legs)}x"
    return replace(layout, nodes=table(nodes), legs=table({**layout.legs, name: Leg(start, end, "HF", "copper 28")}))


@st.composite
def items(draw, layout):
    kind, cover = draw(st.sampled_from(["valve", "support"])), draw(st.sampled_from(get_args(ItemCover)))
    item = Item(draw(legs_of(layout)), draw(st.integers(0, 2500)), kind, 100, cover)
    return replace(layout, items=table({**layout.items, f"v{len(layout.items) + 50}": item}))


def walls(layout):
    wall = Outline("wall", ((-300, -300), (300, -300), (300, 300), (-300, 300)))
    return st.just(replace(layout, structure=table({**layout.structure, f"w{len(layout.structure)}": wall})))


def grounds(layout):
    """What all legs have in common."""
    warm = replace(layout.services["CW"], fluid_c=60)
    return st.sampled_from(
        [
            replace(layout, times=3 - min(layout.times, 2)),
            replace(layout, settings=replace(layout.settings, kerf_mm=4)),
            replace(layout, settings=replace(layout.settings, joints="fewest")),
            replace(layout, services=table({**layout.services, "CW": warm})),
        ]
    )


drawn = networks(directions=tuple(DIRECTIONS))


@given(drawn, st.sampled_from(BOOKS), st.data())
def test_after_any_edits_all_is_as_if_made_from_scratch(layout, book, data):
    live = live_of(layout, book)
    for _ in range(data.draw(st.integers(1, 5))):
        if data.draw(st.booleans()):
            live = packed(live)
        layout = data.draw(edits(layout))
        live = live_of(layout, book, live)
        check_same(packed(live), packed(live_of(layout, book)))
    check_as_estimated(packed(live))


@given(drawn, st.data())
def test_quick_plans_hang_on_the_layout_alone(layout, data):
    live = live_of(layout, BOOK)
    for _ in range(data.draw(st.integers(1, 4))):
        layout = data.draw(edits(layout))
        live = live_of(layout, BOOK, live)
    check_same(live, live_of(layout, BOOK))


@given(drawn, st.sampled_from([{}, {"kerf_mm": 5}, {"slit": "in-line"}]), st.integers(1, 3))
def test_a_quick_plan_is_a_plan(layout, other, times):
    layout = replace(layout, times=times, settings=replace(layout.settings, **other))
    live = live_of(layout, BOOK)
    for stock in live.stocks.values():
        plan = stock.plan
        audit(plan)
        assert plan.cost >= bound_of(plan.problem, fixed_parts(plan.problem)).cost
        assert stock.bought == plan.bought
        for placed, run in zip(stock.placed, plan.problem.runs, strict=True):
            at_mm = 0
            for piece in placed.pieces:
                section, place = piece.place
                assert piece.run_from_mm == at_mm
                at_mm += plan.sections[section].pieces[place].length_mm
            assert at_mm == run.length_mm


@settings(max_examples=200)
@given(layouts(), st.sampled_from(BOOKS))
def test_whatever_can_be_read_can_be_shown_live(layout, book):
    layout = replace(layout, times=min(layout.times, 3))
    check_as_estimated(packed(live_of(layout, book)))
