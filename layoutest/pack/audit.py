"""A second pair of eyes: re-adds a plan from its pieces alone, with arithmetic of its own."""

from __future__ import annotations

import math
from collections import Counter, defaultdict
from decimal import Decimal
from typing import TYPE_CHECKING, NoReturn

from layoutest.errors import InternalError

if TYPE_CHECKING:
    from collections.abc import Iterable

    from layoutest.pack.problem import CutSection, PackRun, Piece, Plan, Problem


def audit(plan: Plan) -> None:
    """Check that a plan is one: every run covered, every millimetre accounted for, every cut legal, all costs counted.

    Raises:
        InternalError: the plan is wrong; names the stock, the section or run, and what does not add up.
    """
    auditor = _Auditor(plan.problem)
    for number, section in enumerate(plan.sections, start=1):
        auditor.check_section(number, section)
    auditor.check_runs(piece for section in plan.sections for piece in section.pieces)
    auditor.check_money(plan)


class _Auditor:
    """The tangents and cosines of one problem, worked out once for each angle."""

    def __init__(self, problem: Problem) -> None:
        self._problem = problem
        self._tangent_mm: dict[float, float] = {}
        self._kerf_mm: dict[float, int] = {}
        self._meeting_mm: dict[tuple[float, float], int] = {}
        for angle in {0.0, *(end for run in problem.runs for end in run.ends_deg)}:
            self._tangent_mm[angle] = problem.radius_mm * math.tan(math.pi * angle / 180)
            self._kerf_mm[angle] = math.ceil(round(problem.kerf_mm / math.cos(math.pi * angle / 180), 9))

    def check_section(self, number: int, section: CutSection) -> None:
        """Walk along one section from its left end and compare every wedge, kerf and remainder."""
        where = f"section {number}"
        if not section.pieces:
            self._fail(where, "holds no piece")
        if not section.from_van and section.length_mm != self._problem.section_mm:
            self._fail(where, f"is {section.length_mm} mm long, not {self._problem.section_mm} mm")
        at, wedge, kerf, end = 0, 0, 0, 0.0
        for place, piece in enumerate(section.pieces):
            left, right = self._ends(piece)
            self._check_piece(where, piece, left, right)
            lost = self._meeting(end, left) if place else self._whole(self._tangent_mm[left])
            cut = max(self._kerf_mm[end], self._kerf_mm[left]) if place else 0
            if piece.from_mm != at + lost + cut:
                self._fail(where, f"has a piece at {piece.from_mm} mm that should begin at {at + lost + cut} mm")
            at, wedge, kerf, end = piece.from_mm + piece.length_mm, wedge + lost, kerf + cut, right
        self._check_rest(where, section, (wedge + self._whole(self._tangent_mm[end]), kerf), self._kerf_mm[end])

    def _check_rest(self, where: str, section: CutSection, lost: tuple[int, int], last_kerf: int) -> None:
        wedge, kerf = lost
        rest = section.length_mm - sum(piece.length_mm for piece in section.pieces) - wedge - kerf
        if rest < 0:
            self._fail(where, f"is overfull by {-rest} mm")
        kerf += min(rest, last_kerf)
        rest -= min(rest, last_kerf)
        offcut = rest if rest >= self._problem.least_mm else 0
        says = (section.wedge_mm, section.kerf_mm, section.offcut_mm, section.scrap_mm)
        if says != (wedge, kerf, offcut, rest - offcut):
            self._fail(
                where,
                f"says wedge, kerf, offcut and scrap are {', '.join(map(str, says))} mm; "
                f"they add up to {wedge}, {kerf}, {offcut}, {rest - offcut} mm",
            )

    def _check_piece(self, where: str, piece: Piece, left: float, right: float) -> None:
        if piece.length_mm <= 0:
            self._fail(where, f"has a piece of {piece.length_mm} mm")
        run = self._problem.runs[piece.run]
        if run.one_piece:
            return
        least = max(
            min(self._problem.least_mm, run.length_mm), self._whole(self._tangent_mm[left] + self._tangent_mm[right])
        )
        if piece.length_mm < least:
            self._fail(where, f"has a piece of {piece.length_mm} mm for {run.name!r}, whose least is {least} mm")

    def check_runs(self, pieces: Iterable[Piece]) -> None:
        """Each run is covered end to end, and each of its two ends carried once."""
        covered: defaultdict[int, list[int]] = defaultdict(lambda: [0, 0, 0, 0])
        for piece in pieces:
            sums = covered[piece.run]
            sums[0] += piece.length_mm
            sums[1] += piece.at_start
            sums[2] += piece.at_end
            sums[3] += 1
        for index, run in enumerate(self._problem.runs):
            length, starts, ends, count = covered[index]
            if length != run.length_mm:
                self._fail(f"run {run.name!r}", f"is {run.length_mm} mm long and its pieces {length} mm")
            if (starts, ends) != (1, 1):
                self._fail(f"run {run.name!r}", f"has its first end {starts} times and its last end {ends} times")
            if count > 1 and count > self._most_pieces(run):
                self._fail(f"run {run.name!r}", f"is cut into {count} pieces, more than it may be")

    def _most_pieces(self, run: PackRun) -> float:
        if run.one_piece:
            return 1
        if self._problem.rule == "priced":
            return math.inf
        wedges = sum(self._whole(self._tangent_mm[end]) for end in run.ends_deg)
        return math.ceil((run.length_mm + wedges) / self._problem.section_mm)

    def check_money(self, plan: Plan) -> None:
        """Sections, joints and cost are counted right, the van is not overdrawn, no bound is passed."""
        problem = self._problem
        bought = sum(not section.from_van for section in plan.sections)
        if [section.from_van for section in plan.sections] != sorted(section.from_van for section in plan.sections):
            self._fail("the plan", "does not list bought sections first")
        joints = sum(len(section.pieces) for section in plan.sections) - len(problem.runs)
        if (plan.bought, plan.joints) != (bought, joints):
            self._fail("the plan", f"says {plan.bought} sections, {plan.joints} joints; it has {bought} and {joints}")
        cost = bought * problem.section_price + joints * problem.joint_price + self._van_value(plan)
        if plan.cost != cost:
            self._fail("the plan", f"says that it costs {plan.cost}; its parts cost {cost}")
        if plan.at_least > plan.bought or plan.cost_at_least > plan.cost:
            self._fail("the plan", f"is below its bound of {plan.at_least} sections and {plan.cost_at_least}")

    def _van_value(self, plan: Plan) -> Decimal:
        values: defaultdict[int, list[Decimal]] = defaultdict(list)
        used = Counter(section.length_mm for section in plan.sections if section.from_van)
        for offcut in plan.problem.van:
            values[offcut.length_mm] += [offcut.value] * min(offcut.count, used[offcut.length_mm])
        total = Decimal(0)
        for length, count in used.items():
            if count > len(values[length]):
                self._fail("the plan", f"uses {count} van offcuts of {length} mm; there are {len(values[length])}")
            total += sum(sorted(values[length])[:count], Decimal(0))
        return total

    def _ends(self, piece: Piece) -> tuple[float, float]:
        run = self._problem.runs[piece.run]
        start = run.ends_deg[0] if piece.at_start else 0.0
        end = run.ends_deg[1] if piece.at_end else 0.0
        return (end, start) if piece.turned else (start, end)

    def _meeting(self, end: float, left: float) -> int:
        known = self._meeting_mm.get((end, left))
        if known is None:
            one, other = self._tangent_mm[end], self._tangent_mm[left]
            if self._problem.slit_in_line:
                known = self._whole(one + other)
            elif round(abs(end - left), 9) <= 0.01:
                known = 0
            else:
                known = self._whole(abs(one - other))
            self._meeting_mm[end, left] = known
        return known

    @staticmethod
    def _whole(length_mm: float) -> int:
        return max(0, math.ceil(length_mm - 0.01))

    def _fail(self, where: str, what: str) -> NoReturn:
        raise InternalError(f"The plan for {self._problem.stock!r} is wrong and was not used: {where} {what}.")
