"""One section as a bar, against lengths and angles that can be worked out by hand."""

from __future__ import annotations

import sys
from math import sqrt
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))
from desk import measure

from layoutest.drawing.primitives import Hatch, Polygon, Polyline, Rect, Text
from layoutest.editor.bench_bar import bar_parts, slots_of, small_parts
from layoutest.editor.bench_cut import Cut, CutPiece

# Covered diameter 140 mm, so R = 70; a bar of 500 px shows a millimetre as half a px.
RADIUS_MM, WIDE, HIGH = 70.0, 500.0, 17.0


def piece(length_mm, from_mm, left=0.0, right=0.0, service="HF", label="s1.1-1"):
    return CutPiece("s1.1", label, service, length_mm, from_mm, left, right)


def cut(*pieces, length_mm=1000, wedge=0, kerf=0, offcut=0, scrap=0, nests=True):
    return Cut(1000, length_mm, RADIUS_MM, nests, pieces, wedge, kerf, offcut, scrap)


def drawn(one, width=WIDE):
    return bar_parts(one, 0, 0, width, HIGH, measure)


def words(parts):
    return [part.words for part in parts if isinstance(part, Text)]


def of(parts, kind, colour=""):
    return [part for part in parts if isinstance(part, kind) and (not colour or colour in part)]


def test_a_mitre_reaches_beyond_its_axis_by_the_radius_times_the_tangent():
    """tan 45° = 1 and tan 22.5° = √2 − 1."""
    (whole,) = slots_of(cut(piece(800, 100, 45, 22.5)), 0, 0.5)
    assert (whole.low, whole.high) == (50, 450)
    assert abs(whole.left_lean) == pytest.approx(35)
    assert abs(whole.right_lean) == pytest.approx(35 * (sqrt(2) - 1))
    upper_left, upper_right, lower_right, lower_left = whole.corners(0, HIGH)
    # Its long side lies on one side of the bar: both corners there reach beyond the axis.
    assert (lower_left[0] < 50) == (lower_right[0] > 450)
    assert (upper_left[0] > 50) == (lower_left[0] < 50)
    assert (upper_right[0] < 450) == (lower_right[0] > 450)


def test_two_mitres_of_one_angle_share_their_cut():
    left, right = slots_of(cut(piece(400, 0, 0, 45), piece(400, 400, 45, 0)), 0, 0.5)
    assert left.corners(0, HIGH)[1] == right.corners(0, HIGH)[0]
    assert left.corners(0, HIGH)[2] == right.corners(0, HIGH)[3]


def test_mitres_stand_apart_where_the_slit_stays_in_line():
    left, right = slots_of(cut(piece(400, 0, 0, 45), piece(400, 540, 45, 0), nests=False), 0, 0.5)
    assert left.right_lean == pytest.approx(-right.left_lean)
    # R · (tan 45° + tan 45°) = 140 mm lie between them, so that their longest points just touch.
    assert max(left.corners(0, HIGH)[1:3]) == pytest.approx(min(right.corners(0, HIGH)[::3]), rel=0.1)


def test_what_is_lost_is_seen_between_the_pieces():
    parts = drawn(cut(piece(400, 70, 45), piece(400, 473), wedge=70, kerf=3, scrap=127))
    wedge = of(parts, Rect, "wedge")[0]
    assert (wedge.x, wedge.width) == (0, pytest.approx((1000 - 127) / 2))
    (tinted,) = of(parts, Polygon, "tint:HF")
    assert tinted.points[0][0] != tinted.points[3][0]
    (knife,) = [part for part in parts if isinstance(part, Polyline) and part.style == "mitre"]
    (x0, y0), (x1, y1) = knife.points
    # 70 px of slope in the bar's height, at the true angle to scale: R · tan 45° = 35 px on either side of the axis.
    assert abs(x1 - x0) / (y1 - y0) == pytest.approx(70 / HIGH)
    assert 0 < y0 < y1 < HIGH


def test_a_whole_section_is_one_piece_without_loss():
    parts = drawn(cut(piece(1000, 0)))
    assert words(parts) == ["HF", "s1.1-1", "1000"]
    assert not of(parts, Rect, "wedge")
    assert [(part.x, part.width) for part in of(parts, Rect, "tint:HF")] == [(0, WIDE)]


@pytest.mark.parametrize(
    ("length_mm", "told"), [(79, []), (80, []), (90, []), (400, ["HF", "s1.1-1", "400"]), (160, ["HF", "s1.1-1"])]
)
def test_words_give_way_from_the_length_to_the_label(length_mm, told):
    shown = words(drawn(cut(piece(length_mm, 0), scrap=1000 - length_mm)))
    assert shown == told


def test_the_label_alone_is_the_last_to_go():
    label = measure("s1.1-1", "tiny", False)
    room = round(2 * (label + 10)) + 2
    assert words(drawn(cut(piece(room, 0), scrap=1000 - room))) == ["s1.1-1"]
    assert words(drawn(cut(piece(room - 8, 0), scrap=1008 - room))) == []


def test_an_offcut_tells_its_length_from_40_px():
    for length_mm, told in ((78, []), (82, ["82"]), (300, ["300"])):
        parts = drawn(
            cut(piece(1000 - length_mm, 0, label="s1.1-1 with a name that fills no small bar" * 3), offcut=length_mm)
        )
        assert [one for one in words(parts) if one.isdigit() and one == f"{length_mm}"] == told
        (hatch,) = of(parts, Hatch)
        assert hatch.pattern == "offcut"
        assert min(x for x, _ in hatch.points) == pytest.approx((1000 - length_mm) / 2)


def test_scrap_is_hatched_crosswise_and_tells_no_length():
    parts = drawn(cut(piece(860, 0), scrap=140))
    assert [hatch.pattern for hatch in of(parts, Hatch)] == ["scrap"]
    assert words(parts) == ["HF", "s1.1-1", "860"]


def test_an_offcut_from_the_van_ends_where_it_ends_and_a_new_one_is_dashed():
    parts = drawn(cut(piece(420, 0), length_mm=640, offcut=220))
    frame = [part for part in of(parts, Rect) if part.style == "rule"][-1]
    assert (frame.x, frame.width) == (0, 320)
    (dashed,) = [part for part in parts if isinstance(part, Polyline) and part.dash]
    assert {x for x, _ in dashed.points} == {320, 500}


def test_a_van_offcut_longer_than_a_section_fills_the_bar():
    parts = drawn(cut(piece(1250, 0), length_mm=1250))
    assert max(part.x + part.width for part in of(parts, Rect)) == pytest.approx(WIDE)


def test_a_small_bar_carries_no_words():
    parts = small_parts(cut(piece(400, 70, 45), piece(300, 470), wedge=70, offcut=230), 10, 20, 100, 4)
    assert all(isinstance(part, Rect) and (part.y, part.height) == (20, 4) for part in parts)
    assert [part.fill for part in parts] == ["wedge", "offcut_hatch", "tint:HF", "tint:HF"]
    assert max(part.x + part.width for part in parts) == pytest.approx(110)


def test_services_wear_their_tint():
    parts = drawn(cut(piece(500, 0, service="HWR"), piece(500, 500, service="steam")))
    assert of(parts, Rect, "tint:HW")
    assert of(parts, Rect, "tint:OT")
