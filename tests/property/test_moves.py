"""Where a drawing lies on its sheet and how it is turned changes no quantity."""

from __future__ import annotations

from collections import Counter
from functools import cache

import pytest
import strategies
from hypothesis import given, settings
from hypothesis import strategies as st

from layoutest.book.reader import example_book_folder, read_book
from layoutest.edit.move import move_selection
from layoutest.edit.shape import mirror, rotate
from layoutest.job import Source, estimate_job


@cache
def book():
    return read_book(example_book_folder())


def counted(layout):
    """All that is counted, and all that is paid but for sections, which depend on the order of cutting."""
    estimate = estimate_job([Source("made", "made", layout)], book())
    joints = Counter()
    for joint in estimate.quantities.joints:
        joints[joint.kind, joint.cause, joint.leg.id] += joint.count
    runs = Counter((name, run.packed_mm) for name, run in _runs(estimate))
    return runs, joints, estimate.quantities.covered_um, Counter(snag.code for snag in estimate.snags)


def _runs(estimate):
    for copy in estimate.copies:
        for laid in copy.covering.laid.values():
            for run in laid.runs:
                yield laid.straight.legs[0].id, run


@pytest.mark.parametrize("how", ["moved", "mirrored left to right", "mirrored top to bottom", "turned", "turned back"])
@given(strategies.networks(directions=strategies.DIRECTIONS), st.integers(-40, 40), st.integers(-40, 40))
@settings(max_examples=15)
def test_everything_moved_mirrored_or_turned_is_counted_the_same(how, layout, across, up):
    everything = {*layout.legs, *layout.items}
    made = {
        "moved": lambda: move_selection(layout, everything, (137 * across, 211 * up, 50 * up)),
        "mirrored left to right": lambda: mirror(layout, everything, "upright"),
        "mirrored top to bottom": lambda: mirror(layout, everything, "level"),
        "turned": lambda: rotate(layout, everything, 1),
        "turned back": lambda: rotate(layout, everything, 3),
    }[how]()
    assert counted(made) == counted(layout)
