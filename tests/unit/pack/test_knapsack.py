"""The dynamic program against all sets of some parts, tried one by one."""

from __future__ import annotations

from itertools import product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from layoutest.pack.knapsack import NOTHING, columns_worth_more, lumps_of, most_worth

WIDTH = 24
SQUARE_ONLY = ((1, 1),)
# Four states that remember which of two mitre angles occur an odd number of times.
TWO_ANGLES = tuple(tuple(state ^ flip for state in range(4)) for flip in range(4))


@st.composite
def kinds_and_worth(draw):
    moves = draw(st.sampled_from((SQUARE_ONLY, TWO_ANGLES)))
    kinds = draw(
        st.lists(st.tuples(st.integers(1, 9), st.integers(1, 5), st.sampled_from(moves)), min_size=1, max_size=4)
    )
    return kinds, [draw(st.integers(0, 12)) for _ in kinds]


def all_sets(kinds, worth):
    """Every set but the empty one: counts, state, weight and worth."""
    for counts in product(*(range(copies + 1) for _, copies, _ in kinds)):
        state = 0
        for (_, _, after), count in zip(kinds, counts, strict=True):
            for _ in range(count):
                state = after[state]
        weight = sum(kind[0] * count for kind, count in zip(kinds, counts, strict=True))
        if any(counts) and weight < WIDTH:
            yield counts, state, weight, sum(one * count for one, count in zip(worth, counts, strict=True))


@given(kinds_and_worth())
@settings(max_examples=150, deadline=None, derandomize=True)
def test_the_greatest_worth_of_every_state_and_weight(drawn):
    kinds, worth = drawn
    states = len(kinds[0][2])
    best = np.full((states, WIDTH), NOTHING)
    best[0, 0] = 0
    for _, state, weight, own in all_sets(kinds, worth):
        best[state, weight] = max(best[state, weight], own)
    table = most_worth(lumps_of(kinds, WIDTH - 1), worth, WIDTH)
    assert (table[best != NOTHING] == best[best != NOTHING]).all()
    assert (table[best == NOTHING] < 0).all()


@given(kinds_and_worth(), st.lists(st.integers(0, 9), min_size=4, max_size=4), st.integers(8, WIDTH - 1))
@settings(max_examples=150, deadline=None, derandomize=True)
def test_the_best_set_and_the_greatest_part_of_a_price(drawn, on_top, limit):
    kinds, worth = drawn
    states = len(kinds[0][2])
    price = np.array([[8.0 + more] * WIDTH for more in on_top[:states]])
    price[:, limit + 1 :] *= 2
    price[-1, limit + 1 :] = np.inf
    found, ratio = columns_worth_more(lumps_of(kinds, WIDTH - 1), [float(one) for one in worth], price, 60)
    sets = {
        counts: (own - price[state, weight], state, weight) for counts, state, weight, own in all_sets(kinds, worth)
    }
    best = max((gain for gain, _, _ in sets.values()), default=-np.inf)
    if any(worth):
        assert found[0].gain == pytest.approx(best)
    for one in found:
        counts = dict(one.column)
        assert sets[tuple(counts.get(kind, 0) for kind in range(len(kinds)))] == (one.gain, one.state, one.weight)
    assert [one.gain for one in found] == sorted((one.gain for one in found), reverse=True)
    parts = [own / price[state, weight] for _, state, weight, own in all_sets(kinds, worth)]
    assert ratio == pytest.approx(max([0.0, *parts]))


def test_what_is_worth_nothing_may_pair_the_mitre_of_another():
    """A lone mitre costs 12 and two of them 10: the first part, worth 11, pays only with the second, worth 0."""
    lumps = lumps_of([(5, 1, TWO_ANGLES[1]), (1, 1, TWO_ANGLES[1])], WIDTH - 1)
    price = np.array([[10.0] * WIDTH, [12.0] * WIDTH, [99.0] * WIDTH, [99.0] * WIDTH])
    found, ratio = columns_worth_more(lumps, [11.0, 0.0], price, 9)
    assert (found[0].gain, found[0].column, found[0].state, found[0].weight) == (1.0, ((0, 1), (1, 1)), 0, 6)
    assert ratio == pytest.approx(1.1)


def test_copies_come_in_lumps_that_make_every_number_and_no_more_than_fit():
    lumps = lumps_of([(3, 10, (0,)), (7, 2, (0,))], 20)
    assert [(lump.kind, lump.copies, lump.weight) for lump in lumps] == [
        (1, 1, 7),
        (1, 1, 7),
        (0, 1, 3),
        (0, 2, 6),
        (0, 3, 9),
    ]


def test_a_worth_above_a_price_of_nothing_is_beyond_all_measure():
    _, ratio = columns_worth_more(lumps_of([(1, 1, (1, 1))], 3), [1.0], np.zeros((2, 4)), 1)
    assert ratio == np.inf


def test_no_more_sets_than_asked_for():
    kinds = [(weight, 1, (1, 1)) for weight in (1, 2, 3)]
    found, _ = columns_worth_more(lumps_of(kinds, 6), [3.0, 2.0, 1.0], np.zeros((2, 7)), 2)
    assert [one.gain for one in found] == [6.0, 3.0]
