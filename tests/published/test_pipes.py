"""The shipped pipes against published tables and against a library that holds the standards' arrays."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest
from fluids.piping import DN_MEDIUM_BS1387, MEDIUMo_BS1387, nearest_pipe

from layoutest.tables.reference import shipped_pipes

TRADE = Path(__file__).parents[2] / "shared" / "trade"
DN = (15, 20, 25, 32, 40, 50, 65, 80, 100, 125, 150, 200, 250, 300)
NPS = ("0.5", "0.75", "1", "1.25", "1.5", "2", "2.5", "3", "4", "5", "6", "8", "10", "12")


def rows(name):
    lines = (TRADE / name).read_text(encoding="utf-8").splitlines()
    return list(csv.DictReader(line for line in lines if not line.startswith("#")))


def diameter_mm(name):
    return shipped_pipes()[name].outside_diameter_mm


@pytest.mark.parametrize("dn", DN[:11])
def test_medium_steel_stays_under_the_largest_diameter_allowed(dn):
    # Source: BS 1387 medium series, largest outside diameters, as held by fluids 1.3.1 (fluids.piping).
    largest = dict(zip(DN_MEDIUM_BS1387, MEDIUMo_BS1387, strict=True))[dn]
    assert largest - 1.6 <= diameter_mm(f"steel medium DN{dn}") <= largest


def test_medium_steel_lies_within_the_limits_of_its_standard():
    # Source: BS EN 10255:2004+A1:2007 medium series, least and largest outside diameter; status in the file.
    table = rows("steel_en10255_medium.csv")
    assert [int(row["dn"]) for row in table] == list(DN[:11])
    for row in table:
        nominal_mm = diameter_mm(f"steel medium DN{row['dn']}")
        assert float(row["od_min_mm"]) <= nominal_mm <= float(row["od_max_mm"])
        assert nominal_mm == float(row["od_nominal_mm"])


@pytest.mark.parametrize(
    ("dn", "nps"), [(15, 0.5), (40, 1.5), (50, 2), (80, 3), (100, 4), (150, 6), (200, 8), (300, 12)]
)
def test_steel_agrees_with_the_american_sizes_it_shares(dn, nps):
    # Source: ASME B36.10M, as held by fluids 1.3.1 (fluids.piping.nearest_pipe); the other sizes differ by design.
    outside_m = nearest_pipe(NPS=nps, schedule="40")[2]
    assert diameter_mm(f"steel DN{dn}") == pytest.approx(outside_m * 1000, abs=0.15)


def test_steel_has_the_diameters_of_series_1():
    # Source: EN 10220, outside diameters of series 1.
    published = {int(row["dn"]): float(row["od_mm"]) for row in rows("steel_en10220.csv")}
    assert {dn: diameter_mm(f"steel DN{dn}") for dn in DN} == {dn: published[dn] for dn in DN}


def test_copper_is_named_by_its_diameter_and_made_in_it():
    # Source: EN 1057, outside diameters.
    published = {float(row["od_mm"]) for row in rows("copper_en1057.csv")}
    copper = [pipe for name, pipe in shipped_pipes().items() if name.startswith("copper ")]
    assert {pipe.outside_diameter_mm for pipe in copper} == published - {6, 8, 10, 12, 219}
    assert all(pipe.name == f"copper {pipe.outside_diameter_mm:g}" for pipe in copper)


@pytest.mark.parametrize(("dn", "nps"), list(zip(DN, NPS, strict=True)))
def test_elbows_have_the_long_radius_of_the_standard(dn, nps):
    # Source: ASME B16.9, centre to end of the long-radius 90 degree elbow; the table is rounded to whole millimetres.
    published_mm = next(float(row["lr90_A_mm"]) for row in rows("elbow_asme_b16_9.csv") if row["nps"] == nps)
    assert shipped_pipes()[f"steel DN{dn}"].elbow_radius_mm == pytest.approx(published_mm, abs=0.5)
