"""Worked examples of pipe take-off, drawn as layouts and read from their straights and runs.

A layout takes whole millimetres, so an inch is drawn as so many of them as make every given length a whole number.
"""

from __future__ import annotations

import csv
import re
from math import cos, pi, radians, sin, tan
from pathlib import Path
from types import MappingProxyType

import pytest

from layoutest.book.reader import example_book_folder, read_book
from layoutest.choose import choose
from layoutest.cover.covering import cover
from layoutest.layout.document import FittingChoice, Layout, Leg, Node, PipeSize, Service
from layoutest.network import derive

TRADE = Path(__file__).parents[2] / "shared" / "trade"


def example(name):
    """A worked example: the numbers of its printed answer, and how far it may be off."""
    lines = (TRADE / "worked_examples.csv").read_text(encoding="utf-8").splitlines()
    row = next(row for row in csv.DictReader(lines) if row["id"] == name)
    printed = row["published_answer"]
    feet = [12 * int(feet) + int(inches) for feet, inches in re.findall(r"(\d+) ft (\d+) in", printed)]
    answer = feet or [float(number) for number in re.findall(r"[\d.]+", printed.split(" in")[0])]
    return answer, float(row["tolerance"])


def covered(unit, *places_in, elbow_in=0.0, outside_in, cover_bends=False):
    """The covering of one pipe through some places, with so many millimetres to the inch."""
    nodes = {f"n{number}": Node(*(round(unit * a) for a in place)) for number, place in enumerate(places_in, start=1)}
    legs = {f"l{number}": Leg(f"n{number}", f"n{number + 1}", "S", "pipe") for number in range(1, len(nodes))}
    choice = FittingChoice(cover="preformed")
    layout = Layout(
        pipes=MappingProxyType({"pipe": PipeSize(unit * outside_in, unit * elbow_in)}),
        services=MappingProxyType({"S": Service(covering="stone-wool-foil", thickness_mm=25)}),
        nodes=MappingProxyType(nodes),
        legs=MappingProxyType(legs),
        fittings=MappingProxyType(dict.fromkeys(nodes, choice) if cover_bends else {}),
    )
    return cover(derive(choose(layout, read_book(example_book_folder()))))


def runs_in(covering, unit):
    return [run.covered_mm / unit for run in covering.runs()]


def centre_lines_in(covering, unit):
    return [covering.network.straights[key].centre_line_mm / unit for key in ("l1", "l2", "l3")]


def turn_deg(covering, node):
    return covering.network.junctions[node].turn_deg


def test_corner_to_end_legs_with_one_bend():
    # US Navy training manual (public domain): legs of 48 and 72 in, bend radius 18 in; example D1.
    (developed_in,), tolerance = example("D1")
    covering = covered(1, (0, 0, 0), (48, 0, 0), (48, 72, 0), elbow_in=18, outside_in=20, cover_bends=True)
    first_in, second_in = runs_in(covering, 1)
    assert (first_in, second_in) == pytest.approx((30, 54), rel=0, abs=1e-9)
    arc_in = radians(covering.joined["n2"].fittings[0].angle_deg) * 18
    assert first_in + arc_in + second_in == pytest.approx(developed_in, rel=0, abs=tolerance)


def test_legs_measured_to_the_back_of_the_tube():
    # A conduit-bending example of a training body (facts only): stub 48 and leg 44 in to the back of a tube of 2.375 in
    # outside diameter, centre-line radius 24 in; example D2.
    (stub_in, leg_in, arc_in, total_in), tolerance = example("D2")
    corner = (48 - 2.375 / 2, 0, 0)
    far = (corner[0], 44 - 2.375 / 2, 0)
    covering = covered(16, (0, 0, 0), corner, far, elbow_in=24, outside_in=2.375, cover_bends=True)
    first_in, second_in = runs_in(covering, 16)
    assert (first_in, second_in) == pytest.approx((stub_in, leg_in), rel=0, abs=1e-9)
    round_in = radians(covering.joined["n2"].fittings[0].angle_deg) * 24
    assert round_in == pytest.approx(arc_in, rel=0, abs=tolerance)
    assert first_in + round_in + second_in == pytest.approx(total_in, rel=0, abs=tolerance)


def test_end_to_centre_pipe_with_one_elbow():
    # A welders' forum (facts only): 5 ft 10 in end to centre with an NPS 6 elbow, long (9 in) and short (6 in) radius
    # of ASME B16.9; example D11.
    answers_in, tolerance = example("D11")
    for radius_in, answer_in in zip((9, 6), answers_in, strict=True):
        covering = covered(
            100, (0, 0, 0), (70, 0, 0), (70, 70, 0), elbow_in=radius_in, outside_in=2.4, cover_bends=True
        )
        assert runs_in(covering, 100)[0] == pytest.approx(answer_in, rel=0, abs=tolerance + 1e-9)


def test_a_rolling_offset():
    # A plumbers' page (facts only): offset sides 8 and 12 in, first overall 42, last overall 61 in, two 45° elbows;
    # example D5. Drawn with 1000 mm to the inch.
    (offset_in, setback_in, *pieces_in), tolerance = example("D5")
    true_in = (8**2 + 12**2) ** 0.5  # at 45° the setback is as long as the offset
    places = [(0, 0, 0), (42 - true_in, 0, 0), (42, 8, 12), (42 + 61 - true_in, 8, 12)]
    covering = covered(1000, *places, outside_in=0.06)
    assert centre_lines_in(covering, 1000) == pytest.approx(pieces_in, rel=0, abs=tolerance)
    assert runs_in(covering, 1000) == centre_lines_in(covering, 1000)  # with one mitre each is measured to its corners
    turns = [turn_deg(covering, node) for node in ("n2", "n3")]
    assert turns == pytest.approx([45, 45], rel=0, abs=0.01)
    travel_in = centre_lines_in(covering, 1000)[1]
    assert travel_in * sin(radians(turns[0])) == pytest.approx(offset_in, rel=0, abs=tolerance)
    assert travel_in * cos(radians(turns[0])) == pytest.approx(setback_in, rel=0, abs=tolerance)
    assert covering.laid["l2"].runs[0].twist_deg == pytest.approx(180)


def test_a_simple_offset_of_45_degrees():
    # A plumbing book of 1918 (public domain) and a heating forum: offset 12 in, and what is cut when each fitting takes
    # 1 in; example D8.
    (travel_in, cut_in), tolerance = example("D8")
    radius_in = 1 / tan(radians(22.5))  # a bend of this radius takes 1 in from each side
    places = [(0, 0, 0), (20, 0, 0), (32, 12, 0), (52, 12, 0)]
    covering = covered(100, *places, elbow_in=radius_in, outside_in=0.6, cover_bends=True)
    assert centre_lines_in(covering, 100)[1] == pytest.approx(travel_in, rel=0, abs=tolerance)
    assert runs_in(covering, 100)[1] == pytest.approx(cut_in, rel=0, abs=tolerance)


def test_a_simple_offset_of_60_degrees():
    # A page of plumbing mathematics (facts only): offset 12 in, run and travel; example D9. Drawn with 10 000 mm to the
    # inch, since it is printed to 0.0001 in.
    (run_in, travel_in), tolerance = example("D9")
    away_in = 12 / tan(pi / 3)
    places = [(0, 0, 0), (20, 0, 0), (20 + away_in, 12, 0), (40 + away_in, 12, 0)]
    covering = covered(10_000, *places, outside_in=0.006)
    assert turn_deg(covering, "n2") == pytest.approx(60, rel=0, abs=0.001)
    travelled_in = centre_lines_in(covering, 10_000)[1]
    assert travelled_in == pytest.approx(travel_in, rel=0, abs=tolerance)
    assert travelled_in * cos(radians(turn_deg(covering, "n2"))) == pytest.approx(run_in, rel=0, abs=tolerance)
    assert runs_in(covering, 10_000)[1] == travelled_in
