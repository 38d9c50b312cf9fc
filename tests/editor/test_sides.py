"""A panel painted by what changed is the panel painted at once, pixel for pixel."""

from __future__ import annotations

import pygame
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from layoutest.drawing.look import load_look
from layoutest.drawing.primitives import Box, Circle, Hatch, Polygon, Polyline, Rect, Text
from layoutest.editor.picture import Panel
from layoutest.editor.window.sides import Sides
from layoutest.editor.window.strokes import Strokes
from layoutest.editor.window.type import Type

BOX = Box(20, 30, 180, 120)
PX = (20, 30, 160, 90)

xs, ys = st.integers(10, 190), st.integers(20, 130)
points = st.tuples(xs, ys)
parts = st.one_of(
    st.tuples(xs, ys, st.integers(1, 60), st.integers(1, 40)).map(lambda box: Rect(*box, "field", "field", "border")),
    st.tuples(points, st.sampled_from(["HF", "1000", "s9.1-1"])).map(lambda said: Text(*said, "tiny")),
    st.tuples(st.tuples(points, points), st.sampled_from(["mitre", "rule"])).map(lambda line: Polyline(*line)),
    st.tuples(points, points, points).map(lambda corners: Polygon(corners, "wedge")),
    st.tuples(points, st.integers(1, 30)).map(lambda disc: Circle(*disc, "accent", "centre")),
    st.tuples(points, points, points).map(lambda corners: Hatch(corners, "offcut", "offcut_hatch")),
)


@pytest.fixture(scope="module")
def strokes():
    return Strokes(load_look().themes["light"], Type(1.0))


@given(pictures=st.lists(st.lists(parts, max_size=12), min_size=2, max_size=5), kept=st.integers(0, 12))
@settings(max_examples=120, deadline=None)
def test_painting_what_changed_is_painting_it_all(strokes, pictures, kept):
    like = pygame.Surface((200, 150))
    sides = Sides(strokes, 1.0)
    before: list = []
    for fresh in pictures:
        now = [*before[:kept], *fresh]
        panel = Panel("bench", BOX, "bench", tuple(now))
        seen = pygame.image.tobytes(sides.surface_of(panel, PX, like), "RGB")
        whole = pygame.image.tobytes(Sides(strokes, 1.0).surface_of(panel, PX, like), "RGB")
        assert seen == whole
        before = now


def test_a_panel_with_the_same_parts_is_not_painted_again(strokes):
    like, sides = pygame.Surface((200, 150)), Sides(strokes, 1.0)
    panel = Panel("bench", BOX, "bench", (Rect(30, 40, 20, 20, "field"),))
    surface = sides.surface_of(panel, PX, like)
    surface.fill((1, 2, 3))
    assert sides.surface_of(panel, PX, like) is surface
    assert surface.get_at((40, 40))[:3] == (1, 2, 3)
