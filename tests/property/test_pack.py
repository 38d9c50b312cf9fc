"""The packer against brute force, and what must hold of every plan.

The row rule is compared with all orders and turnings of small sets, the bound and the word "proven" with the best of
all plans of tiny problems. The reference arithmetic here is written from the rule and shares nothing with the packer.
"""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from functools import lru_cache
from itertools import permutations, product
from math import ceil, cos, inf, radians, tan

from hypothesis import assume, given, settings
from hypothesis import strategies as st

from layoutest.pack.audit import audit
from layoutest.pack.bound import bound_of
from layoutest.pack.pieces import fixed_parts
from layoutest.pack.plan import pack, unpackable
from layoutest.pack.problem import Offcut, PackRun, Problem
from layoutest.pack.row import cut_section
from layoutest.pack.shape import Shapes

PRICES = st.decimals(0, 20, places=2)
ANGLES = (0.0, 45.0, 22.5, 60.0)


def whole(length):
    return max(0, ceil(length - 0.01))


def row_length(ends_and_lengths, radius, kerf, slit_in_line):
    """Length of a row of (left, length, right) as it lies, with square factory ends and no kerf at them."""
    blade = {angle: ceil(round(kerf / cos(radians(angle)), 9)) for angle in ANGLES}
    total, before = 0, None
    for left, length, right in ends_and_lengths:
        if before is None:
            total += whole(radius * tan(radians(left)))
        else:
            one, other = radius * tan(radians(before)), radius * tan(radians(left))
            both = slit_in_line and before and left
            total += whole(one + other if both else abs(one - other)) + max(blade[before], blade[left])
        total, before = total + length, right
    return total + whole(radius * tan(radians(before)))


@lru_cache(maxsize=100_000)
def shortest_row(pieces, radius, kerf, slit_in_line):
    """The shortest row of pieces (left, length, right) over all orders and turnings."""
    best = inf
    for order in set(permutations(pieces)):
        for turns in product((1, -1), repeat=len(order)):
            best = min(
                best,
                row_length(
                    [piece[::turn] for piece, turn in zip(order, turns, strict=True)], radius, kerf, slit_in_line
                ),
            )
    return best


def fewest_sections(pieces, section, radius, kerf, slit_in_line):
    """Least number of sections for fixed pieces, by subsets."""
    count = len(pieces)
    fits = [
        mask
        for mask in range(1, 1 << count)
        if shortest_row(
            tuple(sorted(pieces[bit] for bit in range(count) if mask >> bit & 1)), radius, kerf, slit_in_line
        )
        <= section
    ]
    best = [0] + [inf] * ((1 << count) - 1)
    for mask in range(1, 1 << count):
        lowest = mask & -mask
        best[mask] = min((1 + best[mask ^ sub] for sub in fits if sub & lowest and sub & mask == sub), default=inf)
    return best[-1]


@st.composite
def piece_sets(draw, angles, most=5):
    radius = draw(st.integers(5, 60))
    ends = st.sampled_from(angles)
    pieces = []
    for _ in range(draw(st.integers(1, most))):
        left, right = draw(ends), draw(ends)
        least = max(1, whole(radius * (tan(radians(left)) + tan(radians(right)))))
        pieces.append((left, least + draw(st.integers(0, 80)), right))
    return radius, pieces


def problem_of(radius, pieces, section, kerf, slit_in_line):
    runs = tuple(
        PackRun(f"r{at}", length, (left, right), one_piece=True) for at, (left, length, right) in enumerate(pieces)
    )
    return Problem("x", section, radius, runs, kerf, 1, slit_in_line, "fewest")


@given(piece_sets((0.0, 45.0)), st.integers(0, 4))
@settings(max_examples=150)
def test_with_one_mitre_angle_the_closed_form_is_the_shortest_of_all_rows(drawn, kerf):
    radius, pieces = drawn
    shortest = shortest_row(tuple(sorted(pieces)), radius, kerf, False)
    problem = problem_of(radius, pieces, shortest, kerf, False)
    shapes, parts = Shapes(problem), fixed_parts(problem)
    state, weight2 = shapes.state_of(parts)
    assert weight2 - shapes.slack2[state] <= 2 * shortest < weight2 - shapes.slack2[state] + 2
    laid = cut_section(problem, shortest, shapes.lay(parts), from_van=False)
    assert laid.offcut_mm + laid.scrap_mm + laid.kerf_mm + laid.wedge_mm == shortest - sum(piece[1] for piece in pieces)


@given(piece_sets(ANGLES), st.integers(0, 4), st.booleans())
@settings(max_examples=150)
def test_with_several_angles_the_closed_form_is_safe_and_its_row_fits(drawn, kerf, slit_in_line):
    radius, pieces = drawn
    problem = problem_of(radius, pieces, 1000, kerf, slit_in_line)
    shapes, parts = Shapes(problem), fixed_parts(problem)
    state, weight2 = shapes.state_of(parts)
    room = -(-(weight2 - shapes.slack2[state]) // 2)
    assert room >= shortest_row(tuple(sorted(pieces)), radius, kerf, slit_in_line)
    assert cut_section(problem, room, shapes.lay(parts), from_van=False).length_mm == room


@given(piece_sets(ANGLES, most=4))
@settings(max_examples=60)
def test_with_several_angles_and_a_knife_the_row_is_the_shortest_but_for_rounding(drawn):
    radius, pieces = drawn
    problem = problem_of(radius, pieces, 1000, 0, False)
    shapes, parts = Shapes(problem), fixed_parts(problem)
    state, weight2 = shapes.state_of(parts)
    shortest = shortest_row(tuple(sorted(pieces)), radius, 0, False)
    # Wedges are rounded up one by one: a sum of steps may be a millimetre a step above one long step.
    assert weight2 - shapes.slack2[state] <= 2 * (shortest + 2 * len(ANGLES))


@st.composite
def problems(draw, most_runs=12):
    section = draw(st.sampled_from((300, 1000, 1200)))
    angles = draw(st.sampled_from(((0.0,), (0.0, 45.0), ANGLES)))
    runs = []
    for at in range(draw(st.integers(1, most_runs))):
        ends = (draw(st.sampled_from(angles)), draw(st.sampled_from(angles)))
        runs.append(PackRun(f"r{at}", draw(st.integers(1, 4 * section)), ends, draw(st.integers(0, 5)) == 0))
    van = [
        Offcut(draw(st.integers(20, section + 200)), draw(st.integers(0, 3)), draw(PRICES))
        for _ in range(draw(st.integers(0, 2)))
    ]
    problem = Problem(
        stock="drawn",
        section_mm=section,
        radius_mm=draw(st.sampled_from((0.0, 20.0, 55.0, 97.5))),
        runs=tuple(runs),
        kerf_mm=draw(st.integers(0, 4)),
        least_mm=draw(st.sampled_from((0, 100, 150))),
        slit_in_line=draw(st.booleans()),
        rule=draw(st.sampled_from(("priced", "fewest"))),
        section_price=draw(PRICES),
        joint_price=draw(PRICES),
        van=tuple(van),
    )
    left_out = set(unpackable(problem))
    return replace(problem, runs=tuple(run for run in runs if run.name not in left_out))


@given(problems())
@settings(max_examples=200)
def test_every_plan_passes_its_audit_and_lies_between_its_bound_and_the_hand(problem):
    plan = pack(problem)
    audit(plan)
    assert plan.cost_at_least <= plan.cost <= plan.by_hand_cost
    assert plan.at_least <= plan.bought
    assert pack(problem) == plan


@given(problems())
@settings(max_examples=100)
def test_moving_joints_never_costs_more_than_leaving_them(problem):
    fewest = pack(replace(problem, rule="fewest"))
    priced = pack(replace(problem, rule="priced"))
    assert priced.cost <= fewest.cost
    assert priced.joints >= fewest.joints or problem.van
    assert priced.cost_at_least <= fewest.cost


def what_it_takes(plan):
    """A plan without the names of its runs: cost, joints, and each section with its pieces as they lie."""
    runs = plan.problem.runs
    sections = [
        (
            section.length_mm,
            section.from_van,
            [(runs[piece.run].length_mm, runs[piece.run].ends_deg, replace(piece, run=0)) for piece in section.pieces],
        )
        for section in plan.sections
    ]
    return plan.cost, plan.joints, plan.cost_at_least, sorted(sections, key=repr)


@given(problems(), st.randoms(use_true_random=False))
@settings(max_examples=150)
def test_a_plan_does_not_depend_on_the_order_and_the_names_of_the_runs(problem, chance):
    shuffled = list(problem.runs)
    chance.shuffle(shuffled)
    renamed = tuple(replace(run, name=f"other {at}") for at, run in enumerate(shuffled))
    one, other = pack(problem), pack(replace(problem, runs=renamed))
    assert bound_of(one.problem) == bound_of(other.problem)
    if what_it_takes(one) != what_it_takes(other):
        # Cutting by hand follows the drawing: only where that beats the search may the order tell.
        best, worse = sorted((one, other), key=lambda plan: plan.cost)
        assert best.cost == best.by_hand_cost < worse.cost


@given(
    piece_sets((0.0, 45.0), most=5) | piece_sets(ANGLES, most=5), st.integers(0, 3), st.booleans(), st.integers(0, 60)
)
@settings(max_examples=100)
def test_fixed_pieces_the_least_number_of_sections_is_never_below_the_bound(drawn, kerf, slit_in_line, more):
    radius, pieces = drawn
    section = more + max(shortest_row((piece,), radius, 0, slit_in_line) for piece in pieces)
    least = fewest_sections(pieces, section, radius, kerf, slit_in_line)
    plan = pack(problem_of(radius, pieces, section, kerf, slit_in_line))
    assert plan.at_least <= least <= plan.bought
    if plan.proven:
        assert plan.bought == least


@given(st.lists(st.integers(1, 35), min_size=1, max_size=6), st.integers(0, 2), st.integers(0, 9), st.integers(0, 9))
@settings(max_examples=150)
def test_square_runs_the_best_of_all_groupings_is_never_below_the_bound(lengths, kerf, section_price, joint_price):
    """Runs that share m sections cost m sections and m − 1 joints and fit when their lengths and kerfs do."""
    section = 10
    runs = tuple(PackRun(f"r{at}", length) for at, length in enumerate(lengths))
    problem = Problem(
        "x", section, 0.0, runs, kerf, 0, section_price=Decimal(section_price), joint_price=Decimal(joint_price)
    )
    best = best_grouping(tuple(lengths), section, kerf, section_price, joint_price)
    plan = pack(problem)
    assert plan.cost_at_least <= best <= plan.cost
    if plan.proven:
        assert plan.cost == best


def best_grouping(lengths, section, kerf, section_price, joint_price):
    count = len(lengths)
    cost = [0] * (1 << count)
    for mask in range(1, 1 << count):
        group = [lengths[bit] for bit in range(count) if mask >> bit & 1]
        # m sections hold runs split m − 1 times where sections end: every piece but the last of a section has a kerf.
        needed = max(1, ceil((sum(group) + kerf * (len(group) - 1)) / section))
        alone = needed * section_price + (needed - 1) * joint_price
        parts, sub = [alone], (mask - 1) & mask
        while sub:
            parts.append(cost[sub] + cost[mask ^ sub])
            sub = (sub - 1) & mask
        cost[mask] = min(parts)
    return cost[-1]


def all_cuts(length, most):
    """All ways to cut a length into at most so many pieces of at least 1."""
    if length > 0:
        yield (length,)
    if most > 1:
        for first in range(1, length):
            for rest in all_cuts(length - first, most - 1):
                yield (first, *rest)


@given(
    st.lists(
        st.tuples(st.integers(3, 8), st.sampled_from((0.0, 45.0)), st.sampled_from((0.0, 45.0))), min_size=1, max_size=2
    ),
    st.integers(0, 1),
    st.booleans(),
    st.integers(0, 6),
    st.integers(0, 6),
)
@settings(max_examples=25)
def test_mitred_runs_the_best_of_all_cuts_is_never_below_the_bound(
    drawn, kerf, slit_in_line, section_price, joint_price
):
    section, radius, least = 6, 1.0, 1
    runs = tuple(PackRun(f"r{at}", length, (left, right)) for at, (length, left, right) in enumerate(drawn))
    problem = Problem(
        "x", section, radius, runs, kerf, least, slit_in_line, "priced", Decimal(section_price), Decimal(joint_price)
    )
    assume(not unpackable(problem))
    best = inf
    for cuts in product(*(all_cuts(run.length_mm, 3) for run in runs)):
        pieces = [piece for run, cut in zip(runs, cuts, strict=True) for piece in pieces_of(run, cut)]
        cheapest = ceil(sum(piece[1] for piece in pieces) / section) * section_price
        if cheapest + (len(pieces) - len(runs)) * joint_price >= best:
            continue
        if all(length >= whole(radius * (tan(radians(left)) + tan(radians(right)))) for left, length, right in pieces):
            sections = fewest_sections(pieces, section, radius, kerf, slit_in_line)
            best = min(best, sections * section_price + (len(pieces) - len(runs)) * joint_price)
    plan = pack(problem)
    assert plan.cost_at_least <= best
    if plan.proven:
        assert plan.cost <= best


def pieces_of(run, cut):
    ends = [0.0] * (len(cut) + 1)
    ends[0], ends[-1] = run.ends_deg
    return [(ends[at], length, ends[at + 1]) for at, length in enumerate(cut)]
