"""What can be chosen, and the sizes that a girth points to."""

from __future__ import annotations

import csv
import sys
from dataclasses import replace
from math import pi
from pathlib import Path
from types import MappingProxyType

import pytest

sys.path.insert(0, str(Path(__file__).parent))
from desk import book, demo

from layoutest.edit.start import empty_layout
from layoutest.editor.offers import outside_mm, services_of, sizes_of, sizes_of_girth, thicknesses_of
from layoutest.layout.document import PipeSize

TRADE = Path(__file__).parents[3] / "shared" / "trade"


def diameters(name, column="od_mm"):
    lines = (TRADE / name).read_text(encoding="utf-8").splitlines()
    return [float(row[column]) for row in csv.DictReader(line for line in lines if not line.startswith("#"))]


# Sources: EN 1057 (copper) and EN 10220 series 1 (steel), outside diameters; see the heads of the files.
@pytest.mark.parametrize("table", ["copper_en1057.csv", "steel_en10220.csv"])
def test_a_girth_points_to_the_pipe_of_that_diameter(table):
    published = [
        one
        for one in diameters(table)
        if any(outside_mm(empty_layout(), pipe) == one for pipe in sizes_of(empty_layout()))
    ]
    assert len(published) >= 8
    for diameter_mm in published:
        # Girths are taped in whole millimetres.
        first = sizes_of_girth(empty_layout(), round(pi * diameter_mm))[0]
        assert outside_mm(empty_layout(), first) == pytest.approx(diameter_mm, abs=0.5)


@pytest.mark.parametrize(
    ("girth_mm", "like", "size"),
    [
        (110, "copper 22", "copper 35"),
        (110, "press 22", "press 35"),
        (189, "steel DN20", "steel DN50"),
        (189, "steel medium DN20", "steel medium DN50"),
        (239, "steel DN20", "steel DN65"),
        (239, "", "copper 76.1"),
        (239, "nobody knows", "copper 76.1"),
    ],
)
def test_of_pipes_with_one_diameter_the_kind_in_hand_is_offered(girth_mm, like, size):
    """π × 35 = 110.0, π × 60.3 = 189.4 and π × 76.1 = 239.1 mm (EN 1057, EN 10220)."""
    assert sizes_of_girth(empty_layout(), girth_mm, like)[0] == size


def test_three_different_diameters_are_offered_the_nearest_first():
    for girth_mm in (1, 47, 300, 5000):
        found = [outside_mm(empty_layout(), name) for name in sizes_of_girth(empty_layout(), girth_mm)]
        assert len(set(found)) == 3
        off = [abs(one - girth_mm / pi) for one in found]
        assert off == sorted(off)
        rest = [abs(outside_mm(empty_layout(), name) - girth_mm / pi) for name in sizes_of(empty_layout())]
        assert off[0] == min(rest)


def test_pipes_of_the_layout_come_first_and_replace_shipped_ones():
    pipes = {
        "ours": PipeSize(outside_diameter_mm=35.0),
        "copper 28": PipeSize(outside_diameter_mm=30),
        "odd": PipeSize(),
    }
    layout = replace(empty_layout(), pipes=MappingProxyType(pipes))
    assert sizes_of(layout)[:3] == ("ours", "copper 28", "odd")
    assert sizes_of_girth(layout, 110)[0] == "ours"
    assert outside_mm(layout, "copper 28") == 30
    assert outside_mm(layout, "odd") is None
    assert outside_mm(layout, "copper 35") == 35
    radius_only = replace(layout, pipes=MappingProxyType({"copper 35": PipeSize(elbow_radius_mm=50)}))
    assert outside_mm(radius_only, "copper 35") == 35


def test_services_are_those_of_the_layout_then_the_usual_ones():
    names = services_of(demo("first-five-minutes"))
    assert next(iter(names)) == "HF"
    assert {"HR", "HW", "HC", "CW", "CF", "CR"} < names.keys()
    assert names["CW"] == "Cold water"


def test_thicknesses_are_those_that_are_sold_for_the_pipe():
    covering = next(iter(sorted(book().coverings)))
    for pipe in ("copper 35", "steel DN50"):
        thick = thicknesses_of(book(), covering, outside_mm(empty_layout(), pipe))
        assert thick
        assert list(thick) == sorted(thick)
    assert thicknesses_of(book(), covering, None) == ()
    assert thicknesses_of(book(), covering, 99_999) == ()
