"""The linear program over columns, and its integer form: the one module that knows the solver (HiGHS).

One thread, a fixed seed and limits in nodes: the same answer on an idle and on a busy machine. Its floats are never
taken for a proof.
"""

from __future__ import annotations

import os
import sys
from contextlib import contextmanager
from typing import TYPE_CHECKING, NamedTuple

import highspy
import numpy as np

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from numpy.typing import NDArray

_SEED = 1


class Relaxed(NamedTuple):
    """The answer of the linear program: its cost, the worth of one more of each row, and how much of each column."""

    cost: float
    worth: NDArray[np.float64]
    amounts: NDArray[np.float64]


@contextmanager
def _hushed() -> Iterator[None]:
    """Keep what the solver prints when it is made off standard output, which belongs to documents."""
    try:
        out = sys.__stdout__.fileno() if sys.__stdout__ else 1
        saved = os.dup(out)
    except (OSError, ValueError):  # there is no standard output
        yield
        return
    if sys.__stdout__:
        sys.__stdout__.flush()
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, out)
    try:
        yield
    finally:
        os.dup2(saved, out)
        os.close(nowhere)
        os.close(saved)


def _solver() -> highspy.Highs:
    with _hushed():
        solver: highspy.Highs = highspy.Highs()  # type: ignore[no-untyped-call]
        solver.setOptionValue("output_flag", False)  # noqa: FBT003 - the solver's own way
    for name, value in (("threads", 1), ("random_seed", _SEED), ("mip_rel_gap", 0.0), ("mip_abs_gap", 0.0)):
        solver.setOptionValue(name, value)
    return solver


class Master:
    """Rows to be covered at least so often by columns of least cost, kept warm while columns come and needs change."""

    def __init__(self, needs: Sequence[float]) -> None:
        self._solver = _solver()
        self._solver.setOptionValue("presolve", "off")
        self._solver.setOptionValue("simplex_strategy", 0)  # primal: a new column leaves the basis feasible
        for need in needs:
            self._solver.addRow(need, highspy.kHighsInf, 0, [], [])

    def add(self, cost: float, rows: Sequence[int], counts: Sequence[float]) -> None:
        """A new column."""
        self._solver.addCol(cost, 0.0, highspy.kHighsInf, len(rows), np.array(rows, np.int32), np.array(counts, float))

    def need(self, row: int, need: float) -> None:
        """How often a row is to be covered from now on."""
        self._solver.changeRowBounds(row, need, highspy.kHighsInf)

    def cost(self, column: int, cost: float) -> None:
        """What a column costs from now on."""
        self._solver.changeColCost(column, cost)

    def shut(self, column: int) -> None:
        """Take a column out of use."""
        self._solver.changeColBounds(column, 0.0, 0.0)

    def solve(self) -> Relaxed:
        """The least cost with fractions of columns allowed."""
        self._solver.run()
        solution, info = self._solver.getSolution(), self._solver.getInfo()
        return Relaxed(info.objective_function_value, np.array(solution.row_dual), np.array(solution.col_value))


def whole_columns(
    needs: Sequence[int],
    columns: Sequence[tuple[float, Sequence[int], Sequence[int]]],
    nodes: int,
    seconds: float,
    under: float,
    *,
    exact: bool = True,
) -> list[int] | None:
    """Whole numbers of columns of least cost that make up every need exactly, or at least; or None.

    Args:
        needs: by row.
        columns: cost, rows, and how much each gets.
        nodes: limit of the search tree.
        seconds: the emergency stop.
        under: only an answer that costs no more than this is wanted.
        exact: whether no row may get more than its need.
    """
    solver, most = _solver(), highspy.kHighsInf
    for name in ("mip_heuristic_run_rins", "mip_heuristic_run_rens", "mip_heuristic_run_root_reduced_cost"):
        solver.setOptionValue(name, False)  # noqa: FBT003 - as above
    for option, value in (("presolve", "off"), ("mip_max_nodes", nodes), ("time_limit", seconds)):
        solver.setOptionValue(option, value)
    for need in needs:
        solver.addRow(float(need), float(need) if exact else most, 0, [], [])
    for number, (cost, rows, counts) in enumerate(columns):
        if exact:
            most = float(min(needs[row] // count for row, count in zip(rows, counts, strict=True)))
        solver.addCol(cost, 0.0, most, len(rows), np.array(rows, np.int32), np.array(counts, float))
        solver.changeColIntegrality(number, highspy.HighsVarType.kInteger)
    solver.run()
    info = solver.getInfo()
    if info.primal_solution_status != highspy.SolutionStatus.kSolutionStatusFeasible:
        return None
    if info.objective_function_value > under:
        return None
    return [round(value) for value in solver.getSolution().col_value]
