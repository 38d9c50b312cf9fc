"""Every pair of colours that meets is told apart, in both themes, and every two services by colour-blind eyes too.

Contrast and what it has to be: W3C, Web Content Accessibility Guidelines (WCAG) 2.2, "relative luminance" and "contrast
ratio"; 4.5 for words (success criterion 1.4.3), 3 for lines and signs (1.4.11).
"""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations, product
from math import atan2, cos, degrees, exp, hypot, radians, sin, sqrt

import pytest

from layoutest.drawing.look import THEMES, load_look

WORDS, LINES = 4.5, 3.0
GROUNDS = ("sheet", "panel", "field", "bench")
# What words are written in, and on which grounds.
WORDS_ON = {
    "text": (*GROUNDS, "plant_fill", "structure_fill", "bench_bar", "live_fill", "body", "scrap"),
    "dim": (*GROUNDS, "plant_fill", "structure_fill", "live_fill"),
    "accent": GROUNDS,
    "live": ("sheet", "field"),
    "proven": ("panel", "bench"),
    "unproven": ("panel", "bench"),
    "more": ("panel", "bench"),
    "less": ("panel", "bench"),
    "snag_error": ("panel", "field", "bench"),
    "structure": ("sheet",),
    "accent_text": ("accent",),
    "sheet": ("live",),
    "offcut_text": ("offcut",),
    "marker_text": ("marker",),
    "tip_text": ("tip",),
    "snag_error_text": ("snag_error",),
    "snag_warning_text": ("snag_warning",),
    "snag_note_text": ("snag_note",),
    "piece_text": ("tint",),
}
# What lines and signs are drawn in; `tint`, `far` (a pipe as one thin line) and `body` are those of every service.
LINES_ON = {
    "border": GROUNDS,
    "bench_bar_edge": ("bench", "bench_bar"),
    "edge": ("sheet", "body", "tint", "tinted body"),
    "far": ("sheet",),
    "centre": ("body", "tint", "tinted body"),
    "joint": ("body", "tint", "tinted body"),
    "mitre": ("body", "tint", "tinted body"),
    "notch": ("body",),
    "plant": ("sheet", "plant_fill"),
    "selection": ("sheet",),
    "live": ("sheet", "live_fill", "tinted body"),
    "hover": ("sheet", "bench", "tint", "tinted body"),
    "offcut_hatch": ("offcut",),
    "scrap_hatch": ("scrap",),
    "accent": ("panel", "bench"),
    "snag_error": ("sheet",),
    "snag_note": ("sheet",),
}
# Least difference of any two services: where only colour tells them apart, and where dash and letters help.
ON_BENCH, ON_SHEET = 10.0, 5.0
# G. M. Machado, M. M. Oliveira, L. A. F. Fernandes, "A Physiologically-based Model for Simulation of Color Vision
# Deficiency", IEEE Transactions on Visualization and Computer Graphics 15 (6), 2009, table 1, severity 1.0; linear RGB.
SIGHT = {
    "normal": ((1, 0, 0), (0, 1, 0), (0, 0, 1)),
    "protanopia": (
        (0.152286, 1.052583, -0.204868),
        (0.114503, 0.786281, 0.099216),
        (-0.003882, -0.048116, 1.051998),
    ),
    "deuteranopia": (
        (0.367322, 0.860646, -0.227968),
        (0.280085, 0.672501, 0.047413),
        (-0.011820, 0.042940, 0.968881),
    ),
}
# IEC 61966-2-1 (sRGB), linear RGB to CIE XYZ under D65, and the white of D65.
XYZ = ((0.4124564, 0.3575761, 0.1804375), (0.2126729, 0.7151522, 0.0721750), (0.0193339, 0.1191920, 0.9503041))
WHITE = (0.95047, 1.0, 1.08883)


def linear(rgb):
    shares = [value / 255 for value in rgb]
    return [share / 12.92 if share <= 0.04045 else ((share + 0.055) / 1.055) ** 2.4 for share in shares]


def contrast(one, other):
    """The contrast ratio of WCAG 2.2."""
    weights = (0.2126, 0.7152, 0.0722)
    low, high = sorted(sum(w * v for w, v in zip(weights, linear(rgb), strict=True)) for rgb in (one, other))
    return (high + 0.05) / (low + 0.05)


def lab(rgb, sight="normal"):
    """CIE L*a*b* (CIE 15:2018) of a colour as an eye sees it."""
    seen = [min(1, max(0, dot(row, linear(rgb)))) for row in SIGHT[sight]]
    shares = [dot(row, seen) / white for row, white in zip(XYZ, WHITE, strict=True)]
    fx, fy, fz = (v ** (1 / 3) if v > 216 / 24389 else (24389 / 27 * v + 16) / 116 for v in shares)
    return 116 * fy - 16, 500 * (fx - fy), 200 * (fy - fz)


def dot(row, column):
    return sum(a * b for a, b in zip(row, column, strict=True))


def delta_e(one, other):
    """CIEDE2000 after G. Sharma, W. Wu, E. N. Dalal, Color Research and Application 30 (1), 2005, equations 2 to 22."""
    (l1, a1, b1), (l2, a2, b2) = one, other
    mean = (hypot(a1, b1) + hypot(a2, b2)) / 2
    grow = 1 + 0.5 * (1 - sqrt(mean**7 / (mean**7 + 25**7)))
    a1, a2 = a1 * grow, a2 * grow
    c1, c2 = hypot(a1, b1), hypot(a2, b2)
    h1, h2 = degrees(atan2(b1, a1)) % 360, degrees(atan2(b2, a2)) % 360
    grey = c1 * c2 == 0
    turn = 0 if grey else h2 - h1 - (360 if h2 - h1 > 180 else -360 if h2 - h1 < -180 else 0)
    light, chroma, hue = l2 - l1, c2 - c1, 2 * sqrt(c1 * c2) * sin(radians(turn / 2))
    lm, cm = (l1 + l2) / 2, (c1 + c2) / 2
    near = abs(h1 - h2) <= 180
    hm = h1 + h2 if grey else (h1 + h2 + (0 if near else 360 if h1 + h2 < 360 else -360)) / 2
    t = 1 - 0.17 * cos(radians(hm - 30)) + 0.24 * cos(radians(2 * hm))
    t += 0.32 * cos(radians(3 * hm + 6)) - 0.20 * cos(radians(4 * hm - 63))
    light /= 1 + 0.015 * (lm - 50) ** 2 / sqrt(20 + (lm - 50) ** 2)
    chroma /= 1 + 0.045 * cm
    hue /= 1 + 0.015 * cm * t
    rotation = -2 * sqrt(cm**7 / (cm**7 + 25**7)) * sin(radians(60 * exp(-(((hm - 275) / 25) ** 2))))
    return sqrt(light**2 + chroma**2 + hue**2 + rotation * chroma * hue)


def pairs(theme, table):
    for ink, grounds in table.items():
        for ground in grounds:
            yield from product(roles_of(theme, ink), roles_of(theme, ground))


def roles_of(theme, ground):
    """The roles that a word of the tables stands for: mostly itself."""
    kind = {"tint": "tint", "far": "far", "tinted body": "body"}.get(ground)
    return [f"{kind}:{code}" for code in theme.tints] if kind else [ground]


def too_weak(theme):
    """The pairs of a theme that cannot be told apart well enough."""
    faults = []
    for least, table in ((WORDS, WORDS_ON), (LINES, LINES_ON)):
        for ink, ground in pairs(theme, table):
            ratio = contrast(theme.rgb(ink), theme.rgb(ground))
            if ratio < least:
                faults.append(f"{theme.name}: {ink} on {ground} has {ratio:.2f}, needs {least}")
    return faults


def too_alike(theme, kind, least):
    """The services of a theme that some eye cannot tell apart well enough."""
    faults = []
    for sight in SIGHT:
        seen = {code: lab(theme.rgb(f"{kind}:{code}"), sight) for code in theme.tints}
        for one, other in combinations(seen, 2):
            difference = delta_e(seen[one], seen[other])
            if difference < least:
                faults.append(f"{theme.name}, {sight}: {kind} {one} and {other} differ by {difference:.1f}")
    return faults


@pytest.mark.parametrize("name", THEMES)
def test_every_pair_that_meets_has_the_contrast_it_needs(name):
    assert too_weak(load_look().themes[name]) == []


@pytest.mark.parametrize("name", THEMES)
@pytest.mark.parametrize(("kind", "least"), [("tint", ON_BENCH), ("body", ON_SHEET)])
def test_every_two_services_are_told_apart_by_every_eye(name, kind, least):
    assert too_alike(load_look().themes[name], kind, least) == []


@pytest.mark.parametrize("name", THEMES)
def test_every_colour_of_the_look_is_checked_or_is_known_to_carry_no_meaning(name):
    # Grid and rules part what already stands apart; a wedge is told by its shape and stands beside pieces.
    quiet = {"grid_minor", "grid_major", "rule", "wedge"}
    checked = {
        *WORDS_ON,
        *LINES_ON,
        *(ground for table in (WORDS_ON, LINES_ON) for on in table.values() for ground in on),
    }
    assert set(load_look().themes[name].colours) - checked == quiet


def test_a_wrong_colour_is_found():
    light = load_look().themes["light"]
    # A grey that many a screen has, and that cannot be read on white (WCAG technique G18: #777777 is just too light).
    pale = replace(light, colours={**light.colours, "dim": "#777777"})
    assert "light: dim on field has 4.48, needs 4.5" in too_weak(pale)
    # A red and a green of one lightness, for an eye without green.
    same = replace(light, tints={**light.tints, "HF": "#B08A3C", "CW": "#8C9A3C"})
    assert any("deuteranopia: tint HF and CW" in fault for fault in too_alike(same, "tint", ON_BENCH))
    assert not any("normal: tint HF and CW" in fault for fault in too_alike(same, "tint", ON_BENCH))


def test_contrast_against_published_ratios():
    # WCAG 2.2, "contrast ratio": from 1:1 to 21:1. Technique G18 and its tools: #767676 on white is 4.54.
    assert contrast((0, 0, 0), (255, 255, 255)) == pytest.approx(21)
    assert contrast((9, 9, 9), (9, 9, 9)) == 1
    assert contrast((0x76, 0x76, 0x76), (255, 255, 255)) == pytest.approx(4.54, abs=0.005)


@pytest.mark.parametrize(
    ("one", "other", "difference"),
    [
        # Sharma, Wu, Dalal 2005, table 1, pairs 1, 4, 7, 9, 11, 17 to 20, 25 and 34.
        ((50.0, 2.6772, -79.7751), (50.0, 0.0, -82.7485), 2.0425),
        ((50.0, -1.3802, -84.2814), (50.0, 0.0, -82.7485), 1.0000),
        ((50.0, 0.0, 0.0), (50.0, -1.0, 2.0), 2.3669),
        ((50.0, 2.49, -0.001), (50.0, -2.49, 0.0009), 7.1792),
        ((50.0, 2.49, -0.001), (50.0, -2.49, 0.0011), 7.2195),
        ((50.0, 2.5, 0.0), (73.0, 25.0, -18.0), 27.1492),
        ((50.0, 2.5, 0.0), (61.0, -5.0, 29.0), 22.8977),
        ((50.0, 2.5, 0.0), (56.0, -27.0, -3.0), 31.9030),
        ((50.0, 2.5, 0.0), (58.0, 24.0, 15.0), 19.4535),
        ((60.2574, -34.0099, 36.2677), (60.4626, -34.1751, 39.4387), 1.2644),
        ((2.0776, 0.0795, -1.1350), (0.9033, -0.0636, -0.5514), 0.9082),
    ],
)
def test_the_difference_of_colours_against_published_pairs(one, other, difference):
    assert delta_e(one, other) == pytest.approx(difference, abs=5e-5)
    assert delta_e(other, one) == pytest.approx(difference, abs=5e-5)
