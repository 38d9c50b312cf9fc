"""Each primitive puts the right pixels there, at every interface scale."""

from __future__ import annotations

from itertools import pairwise
from math import cos, hypot, pi, radians, sin

import pygame
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from layoutest.drawing.look import load_look
from layoutest.drawing.primitives import Box, Circle, Clip, Hatch, Polygon, Polyline, Rect, Text
from layoutest.editor.window.brush import paint
from layoutest.editor.window.dashes import dashed
from layoutest.editor.window.smooth import TILE_PX
from layoutest.editor.window.snapping import whole
from layoutest.editor.window.strokes import HATCH_PITCH_PX, Strokes
from layoutest.editor.window.type import Type

SCALES = (1.0, 1.25, 1.5, 2.0)
LIGHT = load_look().themes["light"]
INK, GROUND = LIGHT.rgb("text"), (255, 255, 255)
TYPES = {scale: Type(scale) for scale in SCALES}


def painted(*parts, scale=1.0, size=(120, 90), at=(0, 0)):
    surface = pygame.Surface(size)
    surface.fill(GROUND)
    paint(surface, Strokes(LIGHT, TYPES[scale]).of(parts, scale, up=False), *at)
    return surface


def pixels(surface):
    """The places of all pixels that are not ground."""
    width, height = surface.get_size()
    return {(x, y) for x in range(width) for y in range(height) if surface.get_at((x, y))[:3] != GROUND}


def block(left, top, width, height):
    return {(x, y) for x in range(left, left + width) for y in range(top, top + height)}


def ink(surface):
    """How many pixels' worth of ink lies on a surface: 1 for a pixel of full ink."""
    width, height = surface.get_size()
    full = sum(GROUND) - sum(INK)
    return sum(sum(GROUND) - sum(surface.get_at((x, y))[:3]) for x in range(width) for y in range(height)) / full


def area(points):
    """The area of a polygon (shoelace formula)."""
    return abs(sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(points, (*points[1:], points[0]), strict=True))) / 2


def inside(points, left, top, right, bottom):
    """What of a convex polygon lies in a rectangle, by an engine outside the project."""
    return shapely.Polygon(points).intersection(shapely.box(left, top, right, bottom)).area


# Lines ----------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("style", "weights"),
    [("centre", (1, 1, 2, 2)), ("edge", (1, 2, 2, 3)), ("mitre", (2, 2, 3, 4)), ("live", (2, 3, 3, 4))],
)
def test_weights_are_whole_pixels_at_every_scale(style, weights):
    assert tuple(Strokes(LIGHT, TYPES[scale]).weight(style) for scale in SCALES) == weights


@pytest.mark.parametrize("scale", SCALES)
@pytest.mark.parametrize("place", [20.0, 20.3, 20.5, 20.8])
def test_a_level_line_is_whole_pixels_of_full_ink(scale, place):
    surface = painted(Polyline(((8, place), (32, place)), "edge", "text"), scale=scale)
    weight = Strokes(LIGHT, TYPES[scale]).weight("edge")
    found = pixels(surface)
    top = min(y for _, y in found)
    assert found == block(int(8 * scale), top, int(24 * scale), weight)
    assert all(surface.get_at(one)[:3] == INK for one in found)
    # No more than half a pixel from where it should be.
    assert abs(top + weight / 2 - place * scale) <= 0.5


def test_an_upright_line_is_a_level_one_turned():
    level = pixels(painted(Polyline(((8, 20), (32, 20)), "live", "text")))
    upright = pixels(painted(Polyline(((20, 32), (20, 8)), "live", "text")))
    assert upright == {(y, x) for x, y in level}


def test_a_closed_line_has_full_corners():
    corners = ((10, 10), (30, 10), (30, 25), (10, 25))
    found = pixels(painted(Polyline(corners, "live", "text", closed=True)))
    assert found == block(9, 9, 22, 17) - block(11, 11, 18, 13)


def runs(row):
    """Lengths of what is drawn and left out by turns, from the first drawn pixel to the last."""
    text = "".join("x" if one else " " for one in row).strip()
    found = []
    for one, before in zip(text, " " + text, strict=False):
        if one != before or not found:
            found.append(0)
        found[-1] += 1
    return found


@pytest.mark.parametrize("scale", SCALES)
@pytest.mark.parametrize("code", ["HF", "HR", "HW", "HC", "CW", "CF", "CR"])
def test_dashes_are_whole_multiples_of_the_weight(scale, code):
    surface = painted(Polyline(((3, 12), (220, 12)), "centre", "text", dash=code), scale=scale, size=(450, 40))
    weight = Strokes(LIGHT, TYPES[scale]).weight("centre")
    row = [surface.get_at((x, int(12 * scale)))[:3] != GROUND for x in range(450)]
    pattern = [round(one * weight) for one in load_look().dashes[code]]
    found = runs(row)
    wanted = (pattern * 60)[: len(found)]
    assert found[:-1] == wanted[:-1]
    assert found[-1] <= wanted[-1]
    assert sum(row) > 100


def test_a_service_without_dashes_is_a_whole_line():
    assert pixels(painted(Polyline(((5, 12), (100, 12)), "centre", "text", dash="OT"))) == block(5, 12, 95, 1)


@given(
    st.lists(st.tuples(st.integers(0, 60), st.integers(0, 60)), min_size=2, max_size=6, unique=True),
    st.sampled_from([(24, 3, 1, 3), (12, 3), (6, 3), (2.5, 1.5)]),
)
def test_dashes_go_on_round_corners(points, pattern):
    length = sum(hypot(b[0] - a[0], b[1] - a[1]) for a, b in pairwise(points))
    lengths = [sum(hypot(b[0] - a[0], b[1] - a[1]) for a, b in pairwise(dash)) for dash in dashed(points, pattern)]
    drawn = list(pattern[::2]) * 200
    for number, one in enumerate(lengths[:-1]):
        assert one == pytest.approx(drawn[number])
    # What is drawn and left out is the whole line.
    rounds, left = divmod(length, sum(pattern))
    wanted = rounds * sum(pattern[::2])
    for number, one in enumerate(pattern):
        if number % 2 == 0:
            wanted += min(one, max(left, 0))
        left -= one
    assert sum(lengths) == pytest.approx(wanted, abs=1e-6)


@settings(deadline=None)
@given(st.floats(0, 360), st.floats(0, 1), st.sampled_from(["centre", "live"]))
def test_an_oblique_line_has_the_ink_of_its_length_and_weight(turn, part, style):
    x, y = 60 + part, 45 - part
    end = x + 35 * cos(radians(turn)), y + 35 * sin(radians(turn))
    surface = painted(Polyline(((x, y), end), style, "text"))
    weight = Strokes(LIGHT, TYPES[1.0]).weight(style)
    assert ink(surface) == pytest.approx(35 * weight, rel=0.12)


def test_an_oblique_line_is_smooth():
    surface = painted(Polyline(((10, 10), (100, 43)), "live", "text"))
    shades = {surface.get_at(one)[:3] for one in pixels(surface)}
    assert INK in shades
    assert len(shades) > 8


@pytest.mark.parametrize("scale", SCALES)
def test_ticks_cross_the_edge_by_the_look_s_overshoot(scale):
    line = Polyline(((10, 40), (110, 40)), "centre", "", ticks=(30.0,), tick=8.0)
    surface = painted(line, scale=scale, size=(240, 180))
    column = int((40 + 0.1) * scale)
    rows = [y for y in range(180) if surface.get_at((column, y))[:3] == LIGHT.rgb("joint")]
    assert len(rows) == pytest.approx(2 * (8 + 3) * scale, abs=1)
    assert (min(rows) + max(rows) + 1) / 2 == pytest.approx(40 * scale, abs=1)


# Shapes ---------------------------------------------------------------------------------------------------------------


def test_a_filled_rectangle_and_its_frame_inside_it():
    surface = painted(Rect(10, 12, 30, 20, "marker", "live", "text"))
    assert pixels(surface) == block(10, 12, 30, 20)
    inner = {one for one in pixels(surface) if surface.get_at(one)[:3] == LIGHT.rgb("marker")}
    assert inner == block(12, 14, 26, 16)


@pytest.mark.parametrize("scale", SCALES)
@pytest.mark.parametrize("style", ["", "field"])
def test_round_corners_are_the_same_on_all_four_sides(scale, style):
    fill = "" if style else "text"
    surface = painted(Rect(10, 8, 40, 24, fill, style, "text", "dialog"), scale=scale)
    left, top = whole(10 * scale), whole(8 * scale)
    seen = surface.subsurface((left, top, whole(50 * scale) - left, whole(32 * scale) - top))
    for turned in (pygame.transform.flip(seen, True, False), pygame.transform.flip(seen, False, True)):
        assert pygame.image.tobytes(turned, "RGB") == pygame.image.tobytes(seen, "RGB")
    assert seen.get_at((0, 0))[:3] == GROUND
    assert seen.get_at((0, seen.get_height() // 2))[:3] == INK
    assert pixels(surface) <= block(left, top, *seen.get_size())


@settings(deadline=None)
@given(st.lists(st.tuples(st.floats(5, 115), st.floats(5, 85)), min_size=3, max_size=3, unique=True))
def test_a_triangle_has_the_ink_of_its_area(points):
    sides = [hypot(b[0] - a[0], b[1] - a[1]) for a, b in zip(points, (*points[1:], points[0]), strict=True)]
    # Corners lie on quarters of a pixel, sides that hardly lean on whole pixels.
    assert abs(ink(painted(Polygon(tuple(points), "text"))) - area(points)) <= 0.6 * sum(sides) / 2 + 2


def test_a_body_between_two_mitres_is_crisp_along_and_smooth_across():
    body = ((20, 20), (90, 20), (76.3, 34), (33.7, 34))
    surface = painted(Polygon(body, "text"))
    assert ink(surface) == pytest.approx(area(body), rel=0.01)
    for y in (19, 34):
        assert not any((x, y) in pixels(surface) for x in range(120))
    shades = {surface.get_at((x, y))[:3] for x in range(20, 34) for y in range(20, 34)}
    assert len(shades) > 4
    assert all(surface.get_at(one)[:3] == INK for one in block(36, 20, 38, 14))


def test_a_bow_is_two_triangles():
    bow = ((20, 20), (20, 44), (68, 20), (68, 44))
    surface = painted(Polygon(bow, "text"))
    assert ink(surface) == pytest.approx(2 * 24 * 24 / 2, rel=0.02)
    assert surface.get_at((44, 24))[:3] == GROUND


def test_a_shape_with_a_hollow_has_the_ink_of_its_area():
    hollow = ((10.0, 10.0), (60.0, 14.0), (110.0, 10.0), (104.0, 80.0), (60.0, 30.5), (16.0, 80.0))
    assert ink(painted(Polygon(hollow, "text"))) == pytest.approx(area(hollow), rel=0.01)


def test_a_large_shape_is_the_same_as_many_small_ones_side_by_side():
    # A leaning body over several tiles, against the same body cut into strips.
    body = [(10.0, 20.0), (300.0, 170.0), (285.0, 200.0), (-5.0, 50.0)]
    long = painted(Polygon(tuple(body), "text"), size=(320, 220))
    assert 3 * TILE_PX < 320
    assert ink(long) == pytest.approx(inside(body, 0, 0, 320, 220), rel=0.003)
    for x in range(0, 320, 7):
        for y in range(0, 220, 7):
            part = inside(body, x, y, x + 1, y + 1)
            grey = (sum(GROUND) - sum(long.get_at((x, y))[:3])) / (sum(GROUND) - sum(INK))
            assert grey == pytest.approx(part, abs=0.1)


@pytest.mark.parametrize("radius", [2.0, 3.5, 7.0, 16.25, 60.0, 120.0])
def test_a_disc_has_the_ink_of_its_area_and_is_round(radius):
    surface = painted(Circle((130, 130), radius, "text"), size=(260, 260))
    assert ink(surface) == pytest.approx(pi * radius**2, rel=0.08 if radius < 3 else 0.03)
    found = pixels(surface)
    wide, high = ({one[axis] for one in found} for axis in (0, 1))
    assert len(wide) == len(high)
    for turned in (pygame.transform.rotate(surface, 90), pygame.transform.flip(surface, True, False)):
        assert ink(turned) == pytest.approx(ink(surface))


@pytest.mark.parametrize("scale", SCALES)
def test_a_ring_has_its_weight_and_an_empty_middle(scale):
    surface = painted(Circle((30, 30), 12, "", "live", "text"), scale=scale)
    weight = Strokes(LIGHT, TYPES[scale]).weight("live")
    assert ink(surface) == pytest.approx(2 * pi * 12 * scale * weight, rel=0.06)
    assert surface.get_at((int(30 * scale), int(30 * scale)))[:3] == GROUND


@pytest.mark.parametrize("pattern", ["offcut", "scrap", "structure"])
@pytest.mark.parametrize("scale", SCALES)
def test_hatches_line_up_across_neighbours(pattern, scale):
    def box(left, right):
        return Hatch(((left, 8), (right, 8), (right, 40), (left, 40)), pattern, "text")

    long = painted(box(8, 52), scale=scale)
    halves = painted(box(8, 28), box(28, 52), scale=scale)
    seam = round(28 * scale)
    far = [x for x in range(120) if abs(x - seam) > 3 * scale]
    assert all(long.get_at((x, y)) == halves.get_at((x, y)) for x in far for y in range(90))
    # The share of ink follows from the weight of a line and the pitch between two.
    weight = Strokes(LIGHT, TYPES[scale]).weight("rule")
    share = weight / (HATCH_PITCH_PX[pattern] * scale)
    share = 2 * share - share**2 if pattern == "scrap" else share
    assert ink(long) / (44 * 32 * scale**2) == pytest.approx(share, rel=0.2)


def test_what_is_clipped_is_not_seen():
    clip = Clip(
        Box(20, 20, 40, 30), (Rect(0, 0, 100, 25, "text"), Clip(Box(0, 0, 30, 90), (Rect(0, 0, 99, 99, "text"),)))
    )
    assert pixels(painted(clip)) == block(20, 20, 20, 5) | block(20, 20, 10, 10)


# Words ----------------------------------------------------------------------------------------------------------------


def extent(surface):
    found = pixels(surface)
    xs, ys = [x for x, _ in found], [y for _, y in found]
    return min(xs), min(ys), max(xs) + 1, max(ys) + 1


@pytest.mark.parametrize("scale", SCALES)
@pytest.mark.parametrize("size", ["tiny", "base", "lead", "figure"])
@pytest.mark.parametrize("bold", [False, True])
def test_words_stand_by_the_middle_of_their_capitals(scale, size, bold):
    surface = painted(Text((20, 30), "HEIN", size, bold), scale=scale, size=(240, 180))
    _, top, _, bottom = extent(surface)
    assert abs((top + bottom) / 2 - 30 * scale) <= 1


@pytest.mark.parametrize("scale", SCALES)
@pytest.mark.parametrize("align", ["left", "middle", "right"])
def test_words_keep_to_the_side_they_are_aligned_to(scale, align):
    surface = painted(Text((50, 30), "HINH", "base", align=align), scale=scale, size=(240, 180))
    left, _, right, _ = extent(surface)
    at = {"left": left, "middle": (left + right) / 2, "right": right}[align]
    # A letter keeps about a pixel of white to either side.
    assert abs(at - 50 * scale) <= 2 * scale


@pytest.mark.parametrize("scale", SCALES)
@pytest.mark.parametrize("bold", [False, True])
@pytest.mark.parametrize("words", ["HF DN50", "£1,386.40", "Ø 60.3 × 40", "+15.22", "s9.1-1"])
def test_measure_agrees_with_what_is_painted(scale, bold, words):
    wide = TYPES[scale].measure(words, "base", bold) * scale
    px = TYPES[scale].px_of("base")
    picture = TYPES[scale].drawn(words, px, bold, INK, None, False).picture
    assert picture.get_width() == pytest.approx(wide)
    assert wide - 4 * scale <= picture.get_bounding_rect().width <= wide + scale


def test_turned_words_read_from_the_right():
    level = painted(Text((40, 40), "HL", "lead", align="middle"), size=(80, 80))
    turned = painted(Text((40, 40), "HL", "lead", align="middle", turn_deg=90), size=(80, 80))
    back = pygame.transform.rotate(turned, -90)
    (a, b, c, d), (e, f, g, h) = extent(level), extent(back)
    assert abs(a - e) <= 1
    assert abs(b - f) <= 1
    one, other = level.subsurface((a, b, c - a, d - b)), back.subsurface((e, f, g - e, h - f))
    assert pygame.image.tobytes(one, "RGB") == pygame.image.tobytes(other, "RGB")


@pytest.mark.parametrize("scale", SCALES)
def test_a_halo_of_3_px_breaks_the_lines_under_words(scale):
    line = Polyline(((0, 30), (110, 30)), "live", "text")
    words = Text((55, 30), "H", "base", align="middle", halo="marker")
    surface = painted(line, words, scale=scale, size=(240, 180))
    alone = painted(Text((55, 30), "H", "base", align="middle"), scale=scale, size=(240, 180))
    left, top, right, bottom = extent(alone)
    rim, row = whole(3 * scale), (top + bottom) // 2
    marker = LIGHT.rgb("marker")
    # The letter's own sides are smooth.
    for x in (*range(left - rim + 1, left), *range(right, right + rim - 1)):
        assert surface.get_at((x, row))[:3] == marker
    assert surface.get_at((left - rim - 2, row))[:3] == INK


def test_words_to_scale_have_capitals_of_their_height():
    surface = painted(Text((20, 60), "H", cap_height=30.0))
    _, top, _, bottom = extent(surface)
    assert bottom - top == pytest.approx(30, abs=1)


def test_words_to_scale_too_small_to_read_are_left_out():
    assert pixels(painted(Text((20, 60), "H", cap_height=2.0))) == set()
