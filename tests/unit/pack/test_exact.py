"""The exact packer: what a quick one misses, what is told on the way, and how a search is ended."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from dataclasses import replace
from decimal import Decimal

import pytest

from layoutest.pack.audit import audit
from layoutest.pack.chain import chained, ringed
from layoutest.pack.effort import Effort
from layoutest.pack.plan import pack
from layoutest.pack.problem import Offcut, PackRun, Problem

MITRE = 45.0


def priced(runs, diameter_mm=0.0, section="10", joint="1", **changes):
    named = tuple(PackRun(f"r{at}", *run) for at, run in enumerate(runs))
    asked = Problem("x", 1000, diameter_mm / 2, named, section_price=Decimal(section), joint_price=Decimal(joint))
    return replace(asked, **changes)


# Worked by hand: 10 sections and 9 joints hold 10,000 mm without waste, each mitre sharing its cut with the next.
SEVEN = priced(
    [
        (1600, (0.0, MITRE)),
        (1200, (MITRE, MITRE)),
        (1600, (MITRE, MITRE)),
        (1200, (MITRE, MITRE)),
        (1600, (MITRE, MITRE)),
        (1200, (MITRE, MITRE)),
        (1600, (MITRE, 0.0)),
    ],
    134,
    "5.80",
    "1.04",
)
# Worked by hand: both mitres and the bend piece share one section, so both runs lie in the same two sections: a ring.
BEND = priced([(2956, (0.0, 22.5)), (1956, (22.5, 0.0)), (63, (22.5, 22.5), True)], 140, "6.10", "1.04")
# Twenty runs of lengths that no small number of sections holds exactly.
MANY = priced([(317 + 97 * at, (0.0, MITRE if at % 2 else 0.0)) for at in range(20)], 90, kerf_mm=2)


@pytest.mark.parametrize(("problem", "cost"), [(SEVEN, "67.36"), (BEND, "35.70")])
def test_mitres_are_paired_across_runs(problem, cost):
    plan = pack(problem)
    assert plan.cost == Decimal(cost)
    assert plan.cost_at_least <= plan.cost


def test_two_runs_that_need_both_sections_both():
    """1050 + 940, least piece 150: one joint does not do it, two do (850 + 150, 200 + 790)."""
    problem = priced([(1050,), (940,)], least_mm=150)
    assert chained(problem, (0, 1), [1000, 1000]) is None
    rows = ringed(problem, (0, 1), [1000, 1000])
    assert sorted(part.run for row in rows for part, _ in row) == [0, 0, 1, 1]
    assert pack(problem).cost == 22


def test_every_plan_on_the_way_is_sound_and_none_is_worse_than_the_one_before():
    told = []
    plan = pack(MANY, watch=told.append)
    assert told
    for one in told:
        audit(one)
    costs, bounds = [one.cost for one in told], [one.cost_at_least for one in told]
    assert costs == sorted(costs, reverse=True)
    assert bounds == sorted(bounds)
    assert (plan.cost, plan.cost_at_least) == (costs[-1], bounds[-1])


def test_a_search_that_is_told_to_end_leaves_a_sound_plan_and_says_so():
    plan = pack(MANY, stop=lambda: True)
    audit(plan)
    assert plan.ended == "asked"
    assert not plan.proven
    assert plan.cost <= plan.by_hand_cost


def test_the_emergency_stop_is_told():
    assert pack(MANY, Effort(seconds=0.0)).ended == "clock"


def test_a_proof_is_told():
    plan = pack(priced([(500,), (500,)]))
    assert plan.proven
    assert plan.ended == "proven"


def test_the_last_plan_is_a_start():
    """With one run more, and with no effort, what was good before is still there."""
    last = pack(SEVEN)
    more = replace(SEVEN, runs=(*SEVEN.runs, PackRun("new", 400)))
    cold, warm = pack(more, stop=lambda: True), pack(more, last=last, stop=lambda: True)
    assert warm.cost <= cold.cost
    assert warm.cost <= last.cost + Decimal("5.80")


def test_a_plan_for_other_sections_is_no_start():
    last = pack(SEVEN)
    other = replace(SEVEN, section_mm=1200)
    assert pack(other, last=last, stop=lambda: True) == pack(other, stop=lambda: True)


def test_priced_costs_no_more_than_fewest_with_offcuts_in_the_van():
    van = (Offcut(700, 2, Decimal(2)), Offcut(320, 1, Decimal(1)))
    problem = replace(MANY, van=van, runs=MANY.runs[:9])
    assert pack(problem).cost <= pack(replace(problem, rule="fewest")).cost


def test_nothing_but_the_document_goes_to_standard_output(tmp_path):
    """Some releases of the solver print a banner when they are first used."""
    file = tmp_path / "runs.txt"
    file.write_text("".join(f"{run.length_mm},1,square,{'45' if run.ends_deg[1] else 'square'}\n" for run in MANY.runs))
    asked = [sys.executable, "-m", "layoutest", "pack", str(file), "--section", "1000", "--diameter", "90", "--json"]
    answers = [
        subprocess.run(
            [*asked, "--section-cost", "10", "--joint-cost", "1"],
            capture_output=True,
            check=True,
            env=os.environ | {"PYTHONHASHSEED": seed},
        )
        for seed in ("1", "2")
    ]
    one, other = (json.loads(answer.stdout) for answer in answers)
    assert one | {"seconds": 0} == other | {"seconds": 0}
