"""What is painted: the right pixels for each primitive, and the same picture by whatever way it came about."""

from __future__ import annotations

from itertools import chain
from math import hypot

import pygame
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from layoutest.drawing.boxes import Boxes
from layoutest.drawing.look import load_look
from layoutest.drawing.primitives import Box, Circle, Clip, Group, Hatch, Polygon, Polyline, Rect, Text
from layoutest.editor.picture import Panel, Scene, SheetScene, View
from layoutest.editor.window.paint import Painter
from layoutest.editor.window.type import Type

WIDE, HIGH = 240, 180
LIGHT = load_look().themes["light"]
NOWHERE = (255, 0, 255)
TYPES = {}


def type_of(scale):
    return TYPES.setdefault(scale, Type(scale))


def scene_of(groups=(), view=View(1.0, 0.0, float(HIGH)), over=(), panels=(), top=(), grid_mm=100_000):  # noqa: B008
    named = {group.name: group for group in groups}
    box = Box(0, 0, WIDE, HIGH)
    sheet = SheetScene(box, view, grid_mm, named, Boxes.of(named, sorted(named)), tuple(over))
    return Scene(WIDE, HIGH, sheet, tuple(panels), tuple(top), "a title")


def painter_of(scale=1.0, theme="light"):
    return Painter(pygame.Surface((round(WIDE * scale), round(HIGH * scale))), theme, type_of(scale))


def painted(scene, scale=1.0):
    painter = painter_of(scale)
    painter.paint(scene)
    return painter.surface


def pixels(surface):
    return pygame.image.tobytes(surface, "RGB")


def at(surface, x, y):
    return tuple(surface.get_at((x, y)))[:3]


def count(surface, role):
    return pygame.mask.from_threshold(surface, LIGHT.rgb(role), (1, 1, 1, 255)).count()


def inked(surface, ground="sheet"):
    """The box of all that is not the ground."""
    mask = pygame.mask.from_threshold(surface, LIGHT.rgb(ground), (1, 1, 1, 255))
    mask.invert()
    first, *rest = mask.get_bounding_rects()
    return first.unionall(rest)


# Each primitive -------------------------------------------------------------------------------------------------------


def test_an_empty_sheet_is_its_ground():
    assert count(painted(scene_of()), "sheet") >= (WIDE - 2) * (HIGH - 2)


@pytest.mark.parametrize("scale", [1.0, 1.5, 2.0])
def test_a_filled_rectangle_covers_its_pixels_and_no_others(scale):
    surface = painted(scene_of(top=[Rect(20, 30, 40, 50, "accent")]), scale)
    assert count(surface, "accent") == round(40 * scale) * round(50 * scale)
    for x, y, role in ((20, 30, "accent"), (59, 79, "accent"), (19, 30, "sheet"), (60, 79, "sheet"), (40, 80, "sheet")):
        assert at(surface, int(x * scale), int(y * scale)) == LIGHT.rgb(role)


def test_the_frame_of_a_rectangle_is_as_wide_as_its_style_and_leaves_its_inside():
    surface = painted(scene_of(top=[Rect(20, 30, 40, 50, "", "selection", "text")]))
    assert count(surface, "text") == 2 * (2 * 40 + 2 * 46)
    assert at(surface, 40, 55) == LIGHT.rgb("sheet")


def test_a_rounded_rectangle_lacks_its_corners():
    surface = painted(scene_of(top=[Rect(20, 30, 40, 50, "accent", radius="dialog")]))
    # Of the square of each corner, 4 by 4, at least something.
    assert 40 * 50 - 4 * 4 * 4 <= count(surface, "accent") <= 40 * 50 - 4
    assert at(surface, 20, 30) != LIGHT.rgb("accent")
    assert at(surface, 20, 55) == LIGHT.rgb("accent")


@pytest.mark.parametrize(("scale", "weight"), [(1.0, 2), (1.5, 3), (2.0, 4)])
def test_a_level_line_covers_whole_pixels(scale, weight):
    surface = painted(scene_of(top=[Polyline(((20, 60), (120, 60)), "selection", "accent")]), scale)
    column = [at(surface, round(70 * scale), y) for y in range(round(HIGH * scale))]
    assert column.count(LIGHT.rgb("accent")) == weight
    assert set(column) == {LIGHT.rgb("accent"), LIGHT.rgb("sheet")}


def test_a_slanting_line_is_about_as_long_and_wide_as_it_is():
    surface = painted(scene_of(top=[Polyline(((20, 20), (120, 95)), "selection", "text", 8.0)]))
    ink = sum(1 - (at(surface, x, y)[0] - 21) / (251 - 21) for x in range(WIDE) for y in range(HIGH))
    assert ink == pytest.approx(125 * 8, rel=0.08)
    assert at(surface, 70, 57) == LIGHT.rgb("text")


def test_a_dashed_line_has_gaps_and_a_whole_one_none():
    def lit(dash):
        surface = painted(scene_of(top=[Polyline(((20, 60), (220, 60)), "selection", "accent", dash=dash)]))
        return [at(surface, x, 60) == LIGHT.rgb("accent") for x in range(22, 218)]

    assert all(lit(""))
    assert 0.5 < sum(lit("CR")) / 196 < 0.8, "6 drawn, 3 left out"


def test_ticks_cross_a_line_and_reach_beyond():
    line = Polyline(((20, 60), (220, 60)), "centre", "centre", ticks=(100.0,), tick=10.0)
    surface = painted(scene_of(top=[line]))
    # To each side its own reach and the overshoot of the look, 3 px.
    rows = [y for y in range(HIGH) if at(surface, 120, y) == LIGHT.rgb("joint")]
    assert (rows[0], rows[-1]) == (pytest.approx(47, abs=1), pytest.approx(73, abs=1))


def test_a_polygon_is_filled_and_outlined():
    points = ((20, 20), (120, 20), (120, 100))
    surface = painted(scene_of(top=[Polygon(points, "accent", "selection", "text")]))
    assert at(surface, 100, 50) == LIGHT.rgb("accent")
    assert at(surface, 60, 80) == LIGHT.rgb("sheet")
    assert count(surface, "accent") == pytest.approx(100 * 80 / 2 - 2 * 100, rel=0.1)
    assert LIGHT.rgb("text") in [at(surface, 70, y) for y in (19, 20)]


def test_a_circle_is_a_disc_or_a_ring():
    surface = painted(scene_of(top=[Circle((60, 60), 20, "accent"), Circle((160, 60), 20, "", "selection", "text")]))
    assert count(surface, "accent") == pytest.approx(3.1416 * 20**2, rel=0.1)
    assert at(surface, 160, 60) == LIGHT.rgb("sheet")
    assert LIGHT.rgb("text") in [at(surface, 160, y) for y in range(38, 43)]


def test_a_hatch_stays_in_its_shape_and_scrap_is_crossed():
    def ink(pattern):
        points = ((20, 20), (120, 20), (120, 80), (20, 80))
        surface = painted(scene_of(top=[Hatch(points, pattern, "text")]))
        outside = surface.copy()
        outside.fill(LIGHT.rgb("sheet"), (18, 18, 104, 64))
        assert count(outside, "text") == 0
        return (WIDE * HIGH) - count(surface, "sheet")

    assert ink("structure") < ink("offcut") < ink("scrap") < 100 * 60


def test_words_stand_where_they_are_told():
    boxes = {}
    for align in ("left", "middle", "right"):
        ground = Rect(0, 0, WIDE, HIGH, "sheet")
        box = boxes[align] = inked(
            painted(scene_of(top=[ground, Text((120, 90), "HHHH", "lead", True, "text", align)]))
        )
        assert box.centery == pytest.approx(90, abs=1), "half-way up the capitals"
        assert box.height == pytest.approx(0.698 * 15, abs=1.5)
    assert boxes["left"].left == pytest.approx(120, abs=2)
    assert boxes["middle"].centerx == pytest.approx(120, abs=1)
    assert boxes["right"].right == pytest.approx(120, abs=2)


def test_turned_words_read_from_the_right_and_a_halo_breaks_what_is_behind():
    ground = Rect(0, 0, WIDE, HIGH, "body")
    surface = painted(scene_of(top=[ground, Text((120, 150), "HHHHHH", "base", turn_deg=90, halo="sheet")]))
    box = inked(surface, "body")
    assert box.height > 2 * box.width
    assert box.bottom == pytest.approx(152, abs=2)
    assert box.centerx == pytest.approx(120, abs=2)
    assert count(surface, "sheet") > 200


def test_what_is_clipped_is_seen_in_the_clip_alone():
    surface = painted(scene_of(top=[Clip(Box(50, 50, 70, 60), (Rect(0, 0, WIDE, HIGH, "accent"),))]))
    assert count(surface, "accent") == 20 * 10
    assert at(surface, 50, 50) == at(surface, 69, 59) == LIGHT.rgb("accent")


def test_a_group_is_seen_to_scale_with_y_up():
    body = Polygon(((20, 10), (120, 10), (120, 40), (20, 40)), "body:HF")
    surface = painted(scene_of([Group("a", Box(20, 10, 120, 40), ((body,),))], View(0.5, 0.0, 2.0 * HIGH)))
    assert count(surface, "body:HF") == 50 * 15
    assert at(surface, 10, HIGH - 20) == LIGHT.rgb("body:HF")
    assert at(surface, 10, HIGH - 21) == LIGHT.rgb("sheet")


def test_top_covers_panels_and_panels_cover_the_sheet():
    panel = Panel("p", Box(0, 0, 100, 60), "panel", (Rect(10, 10, 50, 20, "text"),))
    surface = painted(
        scene_of(over=[Rect(0, 0, WIDE, HIGH, "bench")], panels=[panel], top=[Rect(20, 10, 10, 10, "tip")])
    )
    assert at(surface, 5, 5) == LIGHT.rgb("panel")
    assert at(surface, 15, 15) == LIGHT.rgb("text")
    assert at(surface, 25, 15) == LIGHT.rgb("tip")
    assert at(surface, 150, 100) == LIGHT.rgb("bench")


# Painting again -------------------------------------------------------------------------------------------------------

PLACES = st.tuples(st.integers(-40, 280).map(float), st.integers(-40, 220).map(float))
COLOURS = st.sampled_from(["body:HF", "body:CW", "tint:HR", "plant_fill", "structure"])
SHAPES = st.one_of(
    st.builds(lambda a, b, c: Polyline((a, b), "edge", c), PLACES, PLACES, COLOURS),
    st.builds(lambda a, b, w, c: Polyline((a, b), "edge", c, float(w)), PLACES, PLACES, st.integers(2, 12), COLOURS),
    st.builds(
        lambda a, b: Polyline(
            (a, b), "centre", "centre", dash="HF", ticks=(hypot(b[0] - a[0], b[1] - a[1]) / 2,), tick=4.0
        ),
        PLACES,
        PLACES,
    ),
    st.builds(
        lambda a, b, c, d: Polyline((a, b, c, d), "edge", "edge", closed=True, dash="CR"),
        PLACES,
        PLACES,
        PLACES,
        PLACES,
    ),
    st.builds(lambda a, b, c, d: Polygon((a, b, c), d, "edge"), PLACES, PLACES, PLACES, COLOURS),
    st.builds(
        lambda a, w, h, c: Polygon((a, (a[0] + w, a[1]), (a[0] + w, a[1] + h), (a[0], a[1] + h)), c, "edge"),
        PLACES,
        st.integers(1, 90),
        st.integers(1, 90),
        COLOURS,
    ),
    st.builds(lambda a, r, c: Circle(a, float(r), c, "edge", "edge"), PLACES, st.integers(1, 30), COLOURS),
    st.builds(lambda a, b, c: Hatch((a, b, c), "structure", "structure"), PLACES, PLACES, PLACES),
)


def group_of(name, shapes):
    spots = list(chain.from_iterable(_spots(shape) for shape in shapes))
    xs, ys = [x for x, _ in spots], [y for _, y in spots]
    return Group(name, Box(min(xs), min(ys), max(xs), max(ys)), (tuple(shapes),))


def _spots(shape):
    if isinstance(shape, Circle):
        (x, y), reach = shape.centre, shape.radius
    else:
        reach = max(getattr(shape, "width", 0.0), getattr(shape, "tick", 0.0))
    for x, y in [shape.centre] if isinstance(shape, Circle) else shape.points:
        yield x - reach, y - reach
        yield x + reach, y + reach


GROUPS = st.dictionaries(st.sampled_from("abcdefgh"), st.lists(SHAPES, min_size=1, max_size=3), min_size=1)
VIEWS = st.builds(
    lambda scale, left, top: View(scale, left, HIGH / scale + top),
    st.sampled_from([1.0, 1.0, 0.5, 1.37]),
    st.sampled_from([0.0, 0.0, 13.0, -40.0, 7.3, 500.0]),
    st.sampled_from([0.0, 0.0, 9.0, -31.0, 2.6]),
)
CHANGES = st.one_of(
    st.tuples(st.just("groups"), GROUPS),
    st.tuples(st.just("gone"), st.sampled_from("abcdefgh")),
    st.tuples(st.just("view"), VIEWS),
    st.tuples(st.just("grid"), st.sampled_from([10, 50, 100_000])),
)


@given(GROUPS, st.lists(CHANGES, max_size=5), st.sampled_from([1.0, 1.5, 2.0]))
@settings(max_examples=120, deadline=None)
def test_a_picture_that_came_about_by_changes_is_that_which_is_painted_at_once(first, changes, scale):
    groups, view, grid = {name: group_of(name, shapes) for name, shapes in first.items()}, VIEW, 50
    painter = painter_of(scale)
    painter.paint(scene_of(groups.values(), view, grid_mm=grid))
    for kind, value in changes:
        if kind == "groups":
            groups = {**groups, **{name: group_of(name, shapes) for name, shapes in value.items()}}
        elif kind == "gone":
            groups = {name: group for name, group in groups.items() if name != value}
        elif kind == "view":
            view = value
        else:
            grid = value
        scene = scene_of(groups.values(), view, grid_mm=grid)
        painter.paint(scene)
        assert pixels(painter.surface) == pixels(painted(scene, scale)), kind


VIEW = View(1.0, 0.0, float(HIGH))


def test_nothing_of_the_sheet_is_painted_again_when_nothing_changed():
    scene = scene_of([group_of("a", [Circle((60.0, 60.0), 20.0, "body:HF")])])
    painter = painter_of()
    painter.paint(scene)
    # What is painted again would cover this.
    painter.layer.surface.fill(NOWHERE)
    painter.paint(scene)
    assert pygame.mask.from_threshold(painter.surface, NOWHERE, (1, 1, 1, 255)).count() == WIDE * HIGH


def test_only_what_a_change_touches_is_painted_again():
    one, other = (
        group_of("a", [Circle((40.0, 40.0), 10.0, "body:HF")]),
        group_of("b", [Circle((200.0, 140.0), 10.0, "body:HR")]),
    )
    painter = painter_of()
    painter.paint(scene_of([one, other]))
    painter.layer.surface.fill(NOWHERE)
    painter.paint(scene_of([one, group_of("b", [Circle((200.0, 140.0), 10.0, "body:CW")])]))
    again = WIDE * HIGH - pygame.mask.from_threshold(painter.surface, NOWHERE, (1, 1, 1, 255)).count()
    # The circle with the rim in which lines may reach beyond it.
    assert 20 * 20 <= again <= 40 * 40
    assert at(painter.surface, 200, HIGH - 140) == LIGHT.rgb("body:CW")


def test_a_view_that_moved_by_whole_pixels_is_scrolled():
    groups = [group_of("a", [Circle((60.0, 60.0), 20.0, "body:HF")])]
    painter = painter_of()
    painter.paint(scene_of(groups))
    painter.layer.surface.fill(NOWHERE)
    painter.paint(scene_of(groups, VIEW._replace(left_mm=10.0)))
    again = WIDE * HIGH - pygame.mask.from_threshold(painter.surface, NOWHERE, (1, 1, 1, 255)).count()
    assert again == 10 * HIGH


def test_a_panel_is_painted_again_only_when_its_parts_are_others():
    parts = (Rect(10, 10, 20, 20, "text"),)
    painter = painter_of()
    panel = Panel("p", Box(0, 0, 100, 60), "panel", parts)
    painter.paint(scene_of(panels=[panel]))
    painter._sides._kept["p"][1].fill(NOWHERE)
    painter.paint(scene_of(panels=[panel]))
    assert at(painter.surface, 15, 15) == NOWHERE
    for changed in (panel._replace(ground="bench"), panel._replace(parts=(*parts, Rect(50, 10, 5, 5, "text")))):
        painter.paint(scene_of(panels=[changed]))
        assert pixels(painter.surface) == pixels(painted(scene_of(panels=[changed])))


def test_another_size_of_sheet_is_painted_at_once():
    groups = [group_of("a", [Circle((60.0, 60.0), 20.0, "body:HF")])]
    painter = painter_of()
    painter.paint(scene_of(groups))
    scene = scene_of(groups)
    smaller = scene._replace(sheet=scene.sheet._replace(box=Box(20, 10, 200, 150)))
    painter.surface.fill(NOWHERE)
    painter.paint(smaller)
    fresh = painter_of()
    fresh.surface.fill(NOWHERE)
    fresh.paint(smaller)
    assert pixels(painter.surface) == pixels(fresh.surface)
    assert at(painter.surface, 19, 80) == NOWHERE
