"""Words on the sheet: none over another, none over a pipe, and every rise and drop told by its word and level."""

from __future__ import annotations

import sys
from dataclasses import replace
from itertools import combinations
from math import dist, hypot
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))
from desk import NAMES, Desk, demo, measure, words_of

from layoutest.drawing.primitives import Text
from layoutest.edit.assign import set_legs, set_level
from layoutest.editor import events as ev
from layoutest.editor.over import flags_of
from layoutest.editor.scene import scene
from layoutest.layout.plane import spot_of

# Capitals of the smallest size, in px.
HIGH_PX = 8


def box_of(text):
    """Where words stand."""
    wide = measure(text.words, text.size, text.bold)
    x, y = text.at
    if text.turn_deg:
        return x - HIGH_PX / 2, y - wide, x + HIGH_PX / 2, y
    left = x - {"left": 0, "middle": wide / 2, "right": wide}[text.align]
    return left, y - HIGH_PX / 2, left + wide, y + HIGH_PX / 2


def meet(one, other):
    return one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]


def off(box, low, high):
    """How far a box is from a line between two points, to within 1 px."""
    steps = max(int(dist(low, high)), 1)
    points = (
        (low[0] + (high[0] - low[0]) * step / steps, low[1] + (high[1] - low[1]) * step / steps)
        for step in range(steps + 1)
    )
    return min(hypot(max(box[0] - x, 0, x - box[2]), max(box[1] - y, 0, y - box[3])) for x, y in points)


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("size", [(1280, 800), (1600, 1000), (1024, 640)])
@pytest.mark.parametrize("turns", [0, 3, -2])
def test_words_keep_clear_of_pipes_of_flags_and_of_each_other(name, size, turns):
    desk = Desk(name, size=size)
    sheet = desk.state.regions.sheet
    desk.do(ev.WheelTurned((sheet.low_x + sheet.high_x) / 2, (sheet.low_y + sheet.high_y) / 2, turns))
    state, words = desk.state, scene(desk.state).words
    texts = [part for part in words.parts if isinstance(part, Text)]
    boxes = [box_of(text) for text in texts]
    assert not [
        (one.words, other.words)
        for (one, first), (other, second) in combinations(zip(texts, boxes, strict=True), 2)
        if meet(first, second)
    ]
    layout, chosen = state.layout, state.live.covering.network.chosen
    for text, box in zip(texts, boxes, strict=True):
        assert sheet.low_x <= box[0]
        assert box[2] <= sheet.high_x
        assert sheet.low_y <= box[1]
        assert box[3] <= sheet.high_y
        assert not [flag for flag in flags_of(state) if meet(box, flag.box)]
        for leg in chosen.legs.values():
            low, high = (
                state.view.to_px(spot_of(layout.view, layout.nodes[node])[:2]) for node in (leg.start, leg.end)
            )
            # The raster is of 2 px.
            assert off(box, low, high) >= leg.spec.covered_diameter_mm / 2 * state.view.scale - 2, (text.words, leg.id)


def test_every_rise_and_drop_is_told_by_its_word_and_level():
    desk = Desk()
    found = words_of(scene(desk.state).words.parts)
    assert ("DROP" in found, "RISE" in found) == (True, False)
    assert any("1200" in words for words in found)
    desk = Desk(set_level(demo("first-five-minutes"), ("n4",), 3000))
    found = words_of(scene(desk.state).words.parts)
    assert ("DROP" in found, "RISE" in found) == (False, True)
    assert any("3000" in words for words in found)


def test_service_size_and_taped_length_stand_beside_a_straight():
    desk = Desk(set_legs(demo("first-five-minutes"), ("l1",), measured_mm=3512))
    found = words_of(scene(desk.state).words.parts)
    assert "HF" in found
    assert any("copper 35" in words and "3512 taped" in words for words in found)


def test_words_are_kept_while_nothing_changes_and_stay_while_something_is_dragged():
    desk = Desk("plant-room", size=(1600, 1000))
    first = scene(desk.state)
    again = scene(replace(desk.state, message="x"), first)
    assert again.words is first.words
    leg = next(iter(desk.document.legs.values()))
    low, high = (spot_of("plan", desk.document.nodes[node]) for node in (leg.start, leg.end))
    middle = (low.u_mm + high.u_mm) / 2, (low.v_mm + high.v_mm) / 2
    desk.drag(middle, (middle[0] + 200, middle[1] + 200), (middle[0] + 600, middle[1] + 600), release=False)
    held = scene(desk.state, first).words
    assert set(held.placed) <= set(first.words.placed)
    assert all(first.words.placed[key] is parts for key, parts in held.placed.items())
