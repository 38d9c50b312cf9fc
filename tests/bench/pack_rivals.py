"""Two plain models of one-dimensional packing in solvers of many uses, to be measured beside the packer.

Both know the bound of total length and a first-fit-decreasing plan; building a model counts as solving it. A proof is
a plan that the solver says cannot be bettered.
"""

from __future__ import annotations

from time import perf_counter

import highspy
import numpy as np
from classic_sets import Answer, Instance, first_fit_decreasing
from ortools.sat.python import cp_model

_SEED = 1
# What a minute cannot even read into the solver.
_MOST_ARCS = 2_000_000


def cp_sat(one: Instance, limit_s: float) -> Answer:
    """x[length, section] counts like pieces, hinted at by the plan; used sections stand in front.

    No two pieces longer than half a section lie together, so each has its own from the start.
    """
    start = perf_counter()
    plan, least = first_fit_decreasing(one), one.least
    model = cp_model.CpModel()
    used = [model.new_constant(1) if place < least else model.new_bool_var("") for place in range(len(plan))]
    loads: list[list[cp_model.LinearExpr]] = [[] for _ in plan]
    for length, count in one.items:
        most = min(count, one.section_mm // length)
        counts = [model.new_int_var(0, most, "") for _ in plan]
        model.add(sum(counts) == count)
        for load, number, held in zip(loads, counts, plan, strict=True):
            load.append(length * number)
            model.add_hint(number, held[length])
            if 2 * length > one.section_mm:
                model.add(number == held[length])
    for place, load in enumerate(loads):
        model.add(sum(load) <= one.section_mm * used[place])
        if place > least:
            model.add_implication(used[place], used[place - 1])
    model.minimize(sum(used))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = _SEED
    solver.parameters.max_time_in_seconds = max(limit_s - (perf_counter() - start), 0.01)
    status = solver.solve(model)
    found = round(solver.objective_value) if status in {cp_model.OPTIMAL, cp_model.FEASIBLE} else None
    return Answer(perf_counter() - start, status == cp_model.OPTIMAL, found, least)


def arc_flow(one: Instance, limit_s: float) -> Answer:
    """A section is a path from 0 to its length over arcs of pieces, longest first, and of waste.

    After Valério de Carvalho (1999). A graph too large to be solved is given up.
    """
    start = perf_counter()
    solver = highspy.Highs()
    solver.silent()
    lp = _graph(one)
    if lp is None or perf_counter() - start >= limit_s:
        return Answer(perf_counter() - start, proven=False, bought=None, at_least=one.least)
    solver.passModel(lp)
    for name, value in (("threads", 1), ("random_seed", _SEED), ("mip_rel_gap", 0.0), ("mip_abs_gap", 0.0)):
        solver.setOptionValue(name, value)
    solver.setOptionValue("time_limit", max(limit_s - (perf_counter() - start), 0.01))
    solver.run()
    proven = solver.getModelStatus() == highspy.HighsModelStatus.kOptimal
    found = round(solver.getInfo().objective_function_value) if proven else None
    return Answer(perf_counter() - start, proven, found, one.least)


def _graph(one: Instance) -> highspy.HighsLp | None:
    """Rows: flow at each place that can be reached, then the pieces of each length; column 0 is the number of paths."""
    items, end = sorted(one.items, reverse=True), one.section_mm
    reached = np.zeros(end + 1, dtype=bool)
    reached[0] = True
    tails: list[np.ndarray] = []
    for length, count in items:
        front, begun = reached.copy(), np.zeros(end + 1, dtype=bool)
        for _ in range(min(count, end // length)):
            begun |= front
            moved = np.zeros(end + 1, dtype=bool)
            moved[length:] = front[:-length]
            front = moved & ~reached
            reached |= moved
            if not front.any():
                break
        tails.append(np.flatnonzero(begun[: end + 1 - length]))
    if sum(map(len, tails)) > _MOST_ARCS:
        return None
    reached[end] = True
    places = np.flatnonzero(reached)
    row_of = np.zeros(end + 1, dtype=np.int64)
    row_of[places] = np.arange(len(places))
    lp = highspy.HighsLp()
    # Each arc leaves one place, enters another, and a piece's arc counts for its length.
    columns = [np.array([0, len(places) - 1])]
    values = [np.array([1.0, -1.0])]
    lengths = [2]
    for number, ((length, _), tail) in enumerate(zip(items, tails, strict=True)):
        piece = np.full(len(tail), len(places) + number)
        columns.append(np.stack((row_of[tail], row_of[tail + length], piece), axis=1).ravel())
        values.append(np.tile([-1.0, 1.0, 1.0], len(tail)))
        lengths += [3] * len(tail)
    gaps = np.arange(len(places) - 1)
    columns.append(np.stack((gaps, gaps + 1), axis=1).ravel())
    values.append(np.tile([-1.0, 1.0], len(gaps)))
    lengths += [2] * len(gaps)
    return _filled(one, lp, columns, values, lengths, len(places))


def _filled(
    one: Instance,
    lp: highspy.HighsLp,
    columns: list[np.ndarray],
    values: list[np.ndarray],
    lengths: list[int],
    places: int,
) -> highspy.HighsLp:
    counts = [float(count) for _, count in sorted(one.items, reverse=True)]
    most = len(first_fit_decreasing(one))
    lp.num_col_, lp.num_row_ = len(lengths), places + len(counts)
    lp.col_cost_ = np.array([1.0] + [0.0] * (len(lengths) - 1))
    lp.col_lower_ = np.array([float(one.least)] + [0.0] * (len(lengths) - 1))
    lp.col_upper_ = np.full(len(lengths), float(most))
    lp.row_lower_ = np.array([0.0] * places + counts)
    lp.row_upper_ = np.array([0.0] * places + [highspy.kHighsInf] * len(counts))
    lp.a_matrix_.format_ = highspy.MatrixFormat.kColwise
    lp.a_matrix_.start_ = np.concatenate(([0], np.cumsum(lengths)))
    lp.a_matrix_.index_, lp.a_matrix_.value_ = np.concatenate(columns), np.concatenate(values)
    lp.integrality_ = [highspy.HighsVarType.kInteger] * len(lengths)
    return lp
