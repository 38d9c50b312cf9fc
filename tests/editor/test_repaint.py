"""Painting what changed, scrolling and painting from nothing give the same picture, pixel for pixel."""

from __future__ import annotations

from functools import cache

import pygame
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from layoutest.drawing.boxes import Boxes
from layoutest.drawing.extent import extent
from layoutest.drawing.look import load_look
from layoutest.drawing.primitives import Box, Circle, Group, Hatch, Polygon, Polyline, Rect, Text
from layoutest.editor.picture import Panel, Scene, SheetScene, View
from layoutest.editor.window.layer import grid_steps
from layoutest.editor.window.paint import Painter
from layoutest.editor.window.type import Type

LOGICAL = (240.0, 180.0)
SHEET, FOOT = Box(0, 20, 240, 140), Box(0, 140, 240, 180)


@cache
def type_at(scale):
    return Type(scale)


def surface_of(scale):
    return pygame.Surface((int(LOGICAL[0] * scale), int(LOGICAL[1] * scale)))


def pipe(name, start, end, half, code, tick):
    """A covered pipe at all details: a body with mitred ends, its edges, its centre line, ticks."""
    (x0, y0), (x1, y1) = start, end
    length = max(((x1 - x0) ** 2 + (y1 - y0) ** 2) ** 0.5, 1.0)
    dx, dy = (x1 - x0) / length * half, (y1 - y0) / length * half
    body = ((x0 - dy - dx, y0 + dx - dy), (x1 - dy, y1 + dx), (x1 + dy + dx, y1 - dx + dy), (x0 + dy, y0 - dx))
    outline = Polygon(body, f"body:{code}", "edge")
    cuts = (Polyline(body[:2], "mitre"), Polyline(body[2:], "notch"))
    centre = Polyline((start, end), "centre", dash=code, ticks=(tick * length,), tick=float(half))
    far = Polyline((start, end), "far", f"far:{code}", dash=code)
    details = ((far,), (outline, *cuts), (outline, *cuts, centre), (outline, *cuts, centre))
    return Group(name, extent((outline,)), details, 2.0 * half)


def drop(name, at, radius, code):
    ring = Circle(at, radius, f"body:{code}", "edge")
    details = ((Circle(at, radius, f"far:{code}"),), (ring,), (ring, Circle(at, radius * 0.4, "", "edge")), (ring,))
    return Group(name, extent((ring,)), details, 2.0 * radius)


def wall(name, corner, width, height):
    x, y = corner
    points = ((x, y), (x + width, y), (x + width, y + height), (x + width / 2, y + height * 1.5), (x, y + height))
    parts = (Polygon(points, "structure_fill"), Hatch(points, "structure", "structure"))
    return Group(name, extent(parts), ((*parts, Polyline(points, "structure", closed=True)),))


def words(name, at, height):
    text = Text(at, "HF 25", cap_height=float(height), align="middle")
    x, y = at
    return Group(name, Box(x - 3 * height, y - height, x + 3 * height, y + height), ((text,),))


places = st.tuples(st.integers(-3000, 3000), st.integers(-3000, 3000))
codes = st.sampled_from(["HF", "HR", "CW", "OT"])
turns = st.sampled_from([(1, 0), (0, 1), (1, 1), (1, -1), (3, 1)])


@st.composite
def pipes(draw, name):
    (x, y), (dx, dy), length = draw(places), draw(turns), draw(st.integers(200, 3000))
    ends = ((float(x), float(y)), (float(x + dx * length), float(y + dy * length)))
    return pipe(name, *ends, draw(st.integers(20, 150)), draw(codes), draw(st.floats(0.1, 0.9)))


def groups(name):
    return st.one_of(
        pipes(name),
        pipes(name),
        st.builds(drop, st.just(name), places, st.integers(20, 300), codes),
        st.builds(wall, st.just(name), places, st.integers(100, 3000), st.integers(100, 3000)),
        st.builds(words, st.just(name), places, st.integers(60, 400)),
    )


class Desk:
    """A scene that changes step by step."""

    def __init__(self, groups, scale):
        self.groups = {group.name: group for group in groups}
        self.scale = scale
        self.view = View(0.05, -2400.0, 1200.0)
        self.grid = 100
        self.over = ()
        self.foot = (Text((4, 160), "begin"),)
        self.top = ()

    def change(self, kind, value):
        if kind == "group":
            self.groups = {**self.groups, value.name: value}
        elif kind == "gone":
            self.groups = {name: group for name, group in self.groups.items() if name != value}
        elif kind == "pan":
            right, down = value
            view = self.view
            self.view = view._replace(left_mm=view.left_mm + right / view.scale, top_mm=view.top_mm + down / view.scale)
        elif kind == "zoom":
            self.view = self.view._replace(scale=value)
        elif kind == "grid":
            self.grid = value
        elif kind == "foot":
            self.foot = (
                *self.foot[-3:],
                Text((4 + len(value), 150), value, halo="marker"),
                Rect(60, 150, 30, 9, "accent"),
            )
        else:
            self.over = (
                Polyline(((0, 0), value), "live"),
                Text(value, "590", align="middle"),
                Circle(value, 6, "marker"),
            )
            self.top = (Rect(*value, 40, 20, "tip", "text", radius="dialog"),)

    def scene(self):
        boxes = Boxes.of(self.groups, sorted(self.groups))
        sheet = SheetScene(SHEET, self.view, self.grid, self.groups, boxes, self.over)
        return Scene(*LOGICAL, sheet, (Panel("foot", FOOT, "bench", self.foot),), self.top, "")


def changes():
    names = [f"g{number}" for number in range(6)]
    some = [groups(name).map(lambda group: ("group", group)) for name in names]
    return st.one_of(
        *some,
        st.tuples(st.just("gone"), st.sampled_from(names)),
        st.tuples(st.just("pan"), st.tuples(st.integers(-60, 60), st.integers(-40, 40))),
        st.tuples(st.just("pan"), st.tuples(st.floats(-9, 9), st.floats(-9, 9))),
        st.tuples(st.just("zoom"), st.sampled_from([0.004, 0.02, 0.05, 0.13, 0.7])),
        st.tuples(st.just("grid"), st.sampled_from([10, 50, 100, 250])),
        st.tuples(st.just("foot"), st.sampled_from(["sections", "proven", "+2"])),
        st.tuples(st.just("over"), st.tuples(st.floats(0, 200), st.floats(20, 120))),
    )


@settings(deadline=None, max_examples=60)
@given(st.data(), st.sampled_from([1.0, 1.25, 2.0]), st.lists(changes(), min_size=1, max_size=8))
def test_what_is_painted_step_by_step_is_what_is_painted_from_nothing(data, scale, steps):
    desk = Desk([data.draw(groups(f"g{number}")) for number in range(4)], scale)
    kept = Painter(surface_of(scale), "light", type_at(scale))
    kept.paint(desk.scene())
    for kind, value in steps:
        desk.change(kind, value)
        scene = desk.scene()
        kept.paint(scene)
        fresh = Painter(surface_of(scale), "light", type_at(scale))
        fresh.paint(scene)
        assert pygame.image.tobytes(kept.surface, "RGB") == pygame.image.tobytes(fresh.surface, "RGB"), kind


def test_only_what_changed_is_painted_again():
    still = pipe("still", (-2000.0, 800.0), (1500.0, 800.0), 60, "HF", 0.5)
    moved = [pipe("moved", (x, -600.0), (x, 200.0), 60, "HR", 0.5) for x in (0.0, 50.0)]
    desk = Desk([still, moved[0]], 1.0)
    painter = Painter(surface_of(1.0), "light", type_at(1.0))
    painter.paint(desk.scene())
    # What stands on the layer outside the changed boxes is not touched.
    mark = (30, 15)
    painter.layer.surface.set_at(mark, (1, 2, 3))
    desk.change("group", moved[1])
    painter.paint(desk.scene())
    assert painter.layer.surface.get_at(mark)[:3] == (1, 2, 3)
    desk.change("pan", (5, 0))
    painter.paint(desk.scene())
    assert painter.layer.surface.get_at((mark[0] - 5, mark[1]))[:3] == (1, 2, 3)


def test_what_lies_over_the_sheet_keeps_to_what_it_marks():
    # A pipe 100 mm thick and a frame round it in pixels, wherever the view stands between whole pixels.
    surface = surface_of(1.0)
    for part in (0.0, 0.3, 0.5, 0.9):
        view = View(0.1, -500.0 + part / 0.1, 500.0 - part / 0.1)
        body = Polygon(((0.0, 0.0), (900.0, 0.0), (900.0, 200.0), (0.0, 200.0)), "body:HF")
        group = Group("a", extent((body,)), ((body,),))
        corners = [view.to_px(point) for point in body.points]
        sheet = SheetScene(
            SHEET, view, 100, {"a": group}, Boxes.of({"a": group}, ["a"]), (Polygon(tuple(corners), "marker"),)
        )
        Painter(surface, "light", type_at(1.0)).paint(Scene(*LOGICAL, sheet, (), (), ""))
        shades = {surface.get_at((x, y))[:3] for x in range(240) for y in range(20, 140)}
        assert load_look().themes["light"].rgb("body:HF") not in shades
        assert load_look().themes["light"].rgb("marker") in shades


@pytest.mark.parametrize(
    ("grid_mm", "px_per_mm", "scale", "pitches"),
    [
        # Minor lines from a pitch of 8 px, major ones from 24, ten steps apart.
        (100, 0.1, 1.0, {"grid_minor": 10.0, "grid_major": 100.0}),
        (100, 0.08, 1.0, {"grid_minor": 8.0, "grid_major": 80.0}),
        # Under 8 px the next step of ten is taken.
        (100, 0.079, 1.0, {"grid_minor": 79.0, "grid_major": 790.0}),
        (50, 0.01, 1.0, {"grid_minor": 50.0, "grid_major": 500.0}),
        # At 200 % all pitches are twice as many device pixels.
        (100, 0.158, 2.0, {"grid_minor": 158.0, "grid_major": 1580.0}),
        (100, 0.16, 2.0, {"grid_minor": 16.0, "grid_major": 160.0}),
    ],
)
def test_the_grid_goes_by_steps_of_ten(grid_mm, px_per_mm, scale, pitches):
    assert {role: pytest.approx(pitch) for pitch, role in grid_steps(grid_mm, px_per_mm, scale)} == pitches


def test_a_theme_paints_its_own_colours():
    for theme in ("light", "dark"):
        painter = Painter(surface_of(1.0), theme, type_at(1.0))
        painter.paint(Desk([], 1.0).scene())
        look = load_look().themes[theme]
        assert painter.surface.get_at((3, 25))[:3] in {
            look.rgb("sheet"),
            look.rgb("grid_minor"),
            look.rgb("grid_major"),
        }
        assert painter.surface.get_at((230, 170))[:3] == look.rgb("bench")
