"""Developed curves against tables of printed values and a worked example of sheet-metal work."""

from __future__ import annotations

import csv
import math
from pathlib import Path

import pytest

from layoutest.cover.curves import gore_length_mm, hole_point_mm, mitre_ordinate_mm, notch_ordinate_mm, saddle_start_mm
from layoutest.cover.perimeters import saddle_setback_mm

TRADE = Path(__file__).parents[2] / "shared" / "trade"
MM_PER_INCH = 25.4
HALF_OF_LAST_PLACE_MM = 0.0005 + 1e-9  # the tables print three places


def rows(name: str) -> list[dict[str, str]]:
    lines = (TRADE / name).read_text(encoding="utf-8").splitlines()
    return list(csv.DictReader(line for line in lines if not line.startswith("#")))


def printed(row: dict[str, str], column: str):
    return pytest.approx(float(row[column]), rel=0, abs=HALF_OF_LAST_PLACE_MM)


def saddle_arguments(row: dict[str, str]) -> tuple[float, float, float, float, float]:
    names = ("header_R_mm", "branch_r_mm", "beta_deg", "phi_deg", "offset_e_mm")
    main, branch, lean, around, offset = (float(row[name]) for name in names)
    return main, branch, lean, around, offset


def saddle_cases() -> dict[tuple[float, ...], list[dict[str, str]]]:
    """The rows of the table by (main radius, branch radius, angle, offset): 24 generators each, 15 degrees apart."""
    cases: dict[tuple[float, ...], list[dict[str, str]]] = {}
    for row in rows("check_saddle.csv"):
        main, branch, lean, _, offset = saddle_arguments(row)
        cases.setdefault((main, branch, lean, offset), []).append(row)
    return cases


def test_mitre_ordinates_of_the_table():
    # check_mitre_two_piece.csv: a cylinder cut by a plane, checked there by a three-dimensional root search.
    table = rows("check_mitre_two_piece.csv")
    assert len(table) == 156
    for row in table:
        radius, mitre, around = (float(row[name]) for name in ("R_outer_mm", "cut_angle_from_square_deg", "phi_deg"))
        assert mitre_ordinate_mm(radius, mitre, around) == printed(row, "ordinate_from_centre_cut_mm"), row


def test_gore_lengths_of_the_table():
    # check_gored_bend_90.csv: the gore between two planes, checked there by intersection with the generators.
    table = rows("check_gored_bend_90.csv")
    assert len(table) == 20
    for row in table:
        elbow, radius, pieces = float(row["Rc_mm"]), float(row["R_outer_mm"]), int(row["pieces_n"])
        mitre = 90 / (2 * (pieces - 1))
        assert mitre == pytest.approx(float(row["cut_angle_deg"]), rel=0, abs=0.00005), row
        assert gore_length_mm(elbow, radius, mitre, 180) == printed(row, "throat_len_mm"), row
        assert gore_length_mm(elbow, radius, mitre, 90) == printed(row, "centre_len_mm"), row
        assert gore_length_mm(elbow, radius, mitre, 0) == printed(row, "heel_len_mm"), row
        # Two end pieces, each half a gore, and the gores between them.
        assert (pieces - 1) * gore_length_mm(elbow, radius, mitre, 90) == printed(row, "polygon_centreline_mm"), row


def test_saddle_and_hole_of_the_table():
    # check_saddle.csv: the meeting of two cylinders, checked there by ray marching.
    table = rows("check_saddle.csv")
    assert len(table) == 168
    for row in table:
        arguments = saddle_arguments(row)
        along, around = hole_point_mm(*arguments)
        assert saddle_start_mm(*arguments) == printed(row, "w_from_header_centre_mm"), row
        assert along == printed(row, "hole_X_mm"), row
        assert around == printed(row, "hole_S_mm"), row


def test_ears_and_cut_backs_of_the_table():
    # check_saddle.csv: the same curve measured from the shortest and from the longest of the generators it prints.
    cases = saddle_cases()
    assert len(cases) == 7
    for table in cases.values():
        starts = [saddle_start_mm(*saddle_arguments(row)) for row in table]
        assert len(starts) == 24
        for start, row in zip(starts, table, strict=True):
            assert max(starts) - start == printed(row, "ear_beyond_shortest_generator_mm"), row
            assert start - min(starts) == printed(row, "cut_back_from_long_point_mm"), row


def test_setback_is_where_the_longest_wall_of_the_table_starts():
    # check_saddle.csv, the rows whose cut back is 0, where the axes cross.
    longest = {
        case: min(table, key=lambda row: float(row["w_from_header_centre_mm"]))
        for case, table in saddle_cases().items()
    }
    # At 60 degrees the longest wall lies between two printed generators. It starts at √(Rm² − Rb²), which the table
    # prints for the same radii at 90 degrees.
    longest[80, 50, 60, 0] = longest[80, 50, 90, 0]
    for (main, branch, lean, offset), row in longest.items():
        if offset == 0:
            assert saddle_setback_mm(main, branch, lean) == printed(row, "w_from_header_centre_mm"), row


def test_notch_is_two_planes_as_the_table_says():
    # check_saddle.csv, its third source line: equal 90 degree tee, cut back from long point = R|cos phi|.
    equal = [row for row in rows("check_saddle.csv") if row["branch_r_mm"] == row["header_R_mm"]]
    assert len(equal) == 24
    for row in equal:
        radius, around = float(row["branch_r_mm"]), float(row["phi_deg"])
        assert notch_ordinate_mm(radius, around) == printed(row, "cut_back_from_long_point_mm"), row
        assert radius - notch_ordinate_mm(radius, around) == printed(row, "ear_beyond_shortest_generator_mm"), row
        # The notch in the main, rolled out: its half width at each place along the girth.
        around_main = math.degrees(float(row["hole_S_mm"]) / radius)
        assert notch_ordinate_mm(radius, around_main) == pytest.approx(abs(float(row["hole_X_mm"])), rel=0, abs=0.001)


def test_mitre_lines_of_gored_bends():
    """Gores laid end to end stand on mitre lines that rise, seen from the centre of the bend, as the book says."""
    # check_sheet_metal_drafting.csv: Sheet Metal Drafting (public-domain textbook), problem 13, printed page 59.
    table = rows("check_sheet_metal_drafting.csv")
    assert len(table) == 10
    for row in table:
        pieces, backset = int(row["pieces"]), float(row["backset_deg"])
        assert backset * int(row["backsets"]) == pytest.approx(float(row["turn_deg"]), rel=1e-12), row
        # The centre line of the bend starts at (100, 0), straight up, and the bend's centre is the origin.
        gore = gore_length_mm(100, 40, backset, 90)
        x, y, heading = 100.0, gore / 2, 90.0
        rises = []
        for _ in range(pieces - 1):
            rises.append(math.degrees(math.atan2(y, x)))
            heading += 2 * backset
            x += gore * math.cos(math.radians(heading))
            y += gore * math.sin(math.radians(heading))
        assert rises == pytest.approx([float(value) for value in row["mitre_line_rises_deg"].split()], abs=1e-9), row
        assert heading - 90 == pytest.approx(float(row["turn_deg"]), rel=1e-12), row


def test_gored_elbow_of_four_pieces():
    # Worked example D3: "Round elbow", Pattern Development, opentextbc.ca (CC BY 4.0): diameter 6 in, throat radius
    # 6 in, so centre radius 9 in; printed 2 7/16 in and 14 5/8 in, measured off the drawing to 1/16 in.
    example = next(row for row in rows("worked_examples.csv") if row["id"] == "D3")
    halves, mitre, end_in, blank_in = (float(value.split()[0]) for value in example["exact_value"].split("; "))
    pieces, radius, elbow = 4, 3 * MM_PER_INCH, 9 * MM_PER_INCH
    assert (halves, mitre) == (2 * (pieces - 1), 90 / (2 * (pieces - 1)))
    centre = gore_length_mm(elbow, radius, mitre, 90) / MM_PER_INCH
    throat = gore_length_mm(elbow, radius, mitre, 180) / MM_PER_INCH
    heel = gore_length_mm(elbow, radius, mitre, 0) / MM_PER_INCH
    assert centre / 2 == pytest.approx(end_in, rel=0, abs=0.00005)
    assert halves * centre / 2 == pytest.approx(blank_in, rel=0, abs=0.00005)
    assert centre / 2 == pytest.approx(2 + 7 / 16, rel=0, abs=1 / 16)
    assert halves * centre / 2 == pytest.approx(14 + 5 / 8, rel=0, abs=0.16)
    # Turned half round about, neighbours share each cut, so the blank is as high on every generator.
    assert throat + heel == pytest.approx(2 * centre, rel=1e-12)
