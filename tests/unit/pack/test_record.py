"""A plan as plain data and as text."""

from __future__ import annotations

import json
from decimal import Decimal

from layoutest.pack.plan import pack
from layoutest.pack.problem import Offcut, PackRun, Problem
from layoutest.pack.record import Placed, end_name, packing_record
from layoutest.pack.show import WIDTH, plan_text

RUNS = (PackRun("a", 1960, (0.0, 45.0)), PackRun("b", 500, (45.0, 22.5)), PackRun("c", 600))
PLAN = pack(
    Problem(
        "wool", 1000, 55.0, RUNS, 2, rule="fewest", section_price=Decimal(10), van=(Offcut(640, 1, Decimal("1.5")),)
    )
)
SECTION_SUMS = ("wedge_mm", "kerf_mm", "offcut_mm", "scrap_mm")


def test_every_millimetre_is_in_the_record():
    record = packing_record(PLAN)
    assert json.loads(json.dumps(record)) == record
    for cut in record["cuts"]:
        assert (
            sum(piece["length_mm"] for piece in cut["pieces"]) + sum(cut[key] for key in SECTION_SUMS)
            == cut["length_mm"]
        )
    assert record["pieces_mm"] == 3060
    for key in ("wedge_mm", "kerf_mm", "scrap_mm"):
        assert record[key] == sum(cut[key] for cut in record["cuts"])
    assert record["offcuts_mm"] == sorted(
        (cut["offcut_mm"] for cut in record["cuts"] if cut["offcut_mm"]), reverse=True
    )


def test_the_totals_are_the_plans():
    record = packing_record(PLAN, decimals=3)
    assert record["sections"] == PLAN.bought
    assert record["joints"] == PLAN.joints == 2
    assert record["cost"] == f"{PLAN.cost:.3f}"
    assert record["joints_rule"] == "fewest"
    assert record["from_stock"] == [{"length_mm": 640, "count": 1}]
    assert record["proven"] is PLAN.proven


def test_pieces_are_named_along_their_run_and_ends_stand_as_they_lie():
    pieces = {piece["label"]: piece for cut in packing_record(PLAN)["cuts"] for piece in cut["pieces"]}
    assert sorted(pieces) == ["a-1", "a-2", "a-3", "b-1", "c-1"]
    assert [pieces[label]["run_from_mm"] for label in ("a-1", "a-2", "a-3")] == [0, 1000, 1810]
    along = ["mitre 45", "mitre 22.5"]
    assert pieces["b-1"]["ends"] == (along[::-1] if pieces["b-1"]["turned"] else along)
    assert sorted(pieces["a-3"]["ends"]) == ["mitre 45", "square"]


def test_an_estimate_gives_places_labels_ends_and_holes():
    plan = pack(Problem("wool", 1000, 55.0, (PackRun("c", 1600),), rule="fewest"))
    hole = {"node": "n7", "at_mm": 410, "around_deg": 90, "cut": "saddle"}
    placed = {(0, 0): Placed(600, "c/2"), (1, 0): Placed(0, "c/1", (hole,))}
    cuts = packing_record(plan, placed, {0: ("notch", "saddle")})["cuts"]
    whole, rest = (cut["pieces"][0] for cut in cuts)
    assert (whole["label"], whole["run_from_mm"], whole["ends"], whole["holes"]) == (
        "c/2",
        600,
        ["square", "saddle"],
        [],
    )
    assert (rest["label"], rest["run_from_mm"], rest["ends"], rest["holes"]) == ("c/1", 0, ["notch", "square"], [hole])


def test_an_end_is_named_with_two_decimals_at_most():
    names = [end_name(angle) for angle in (0.0, 45.0, 22.5, 11.25, 33.333, 10.0)]
    assert names == ["square", "mitre 45", "mitre 22.5", "mitre 11.25", "mitre 33.33", "mitre 10"]


def test_the_text_fits_a_terminal_and_names_every_piece():
    text = plan_text(PLAN)
    assert max(map(len, text.splitlines())) <= WIDTH
    assert all(label in text for label in ("a-1", "a-2", "a-3", "b-1", "c-1"))
    assert f"cost {PLAN.cost:.2f}" in text
    assert "1 offcut from stock" in text
