"""A new draft from the last plan: groups whose runs are all still there are kept, the rest is packed quickly."""

from __future__ import annotations

from collections import Counter, defaultdict
from dataclasses import replace
from typing import TYPE_CHECKING

from layoutest.pack.draft import Draft, Share
from layoutest.pack.groups import groups_of
from layoutest.pack.pieces import fixed_lengths_mm, kind_of, parts_of
from layoutest.pack.quick import quick_draft
from layoutest.pack.row import Part

if TYPE_CHECKING:
    from collections.abc import Mapping
    from decimal import Decimal

    from layoutest.pack.problem import CutSection, Plan, Problem
    from layoutest.pack.shape import Shapes


def drafts_like(last: Plan, problem: Problem, shapes: Shapes) -> list[Draft]:
    """A draft of a problem that keeps what it can of a plan; none where sections or rules have changed since.

    Args:
        last: a plan of much the same runs, in any order and under any names.
        problem: what is asked now.
        shapes: its levels.
    """
    then = last.problem
    same = replace(problem, runs=then.runs, stock=then.stock, section_price=then.section_price)
    if replace(same, joint_price=then.joint_price) != then:
        return []
    waiting: defaultdict[object, list[int]] = defaultdict(list)
    for index in range(len(problem.runs) - 1, -1, -1):
        waiting[kind_of(problem.runs[index])].append(index)
    values = {offcut.length_mm: offcut.value for offcut in then.van}
    kept: Draft = []
    for group in groups_of([_share(section, values) for section in last.sections]):
        wanted = Counter(kind_of(then.runs[run]) for run in group.runs)
        if all(len(waiting[kind]) >= count for kind, count in wanted.items()):
            names = {run: waiting[kind_of(then.runs[run])].pop() for run in group.runs}
            kept += [_renamed(share, names) for share in group.shares]
    rest = sorted(index for indices in waiting.values() for index in indices)
    if not rest:
        return [kept]
    used = Counter((share.length_mm, share.van_value) for share in kept)
    left = replace(
        problem, van=tuple(replace(one, count=one.count - used[one.length_mm, one.value]) for one in problem.van)
    )
    parts = [part for run in rest for part in parts_of(run, fixed_lengths_mm(problem, problem.runs[run]) or ())]
    return [[*kept, *quick_draft(left, shapes, parts, tilts=(0,))[1]]]


def _share(section: CutSection, values: Mapping[int, Decimal]) -> Share:
    row = tuple(
        (Part(piece.run, piece.length_mm, piece.at_start, piece.at_end), piece.turned) for piece in section.pieces
    )
    value = values[section.length_mm] if section.from_van else None
    return Share(section.length_mm, value, tuple(part for part, _ in row), row)


def _renamed(share: Share, names: dict[int, int]) -> Share:
    row = tuple((part._replace(run=names[part.run]), turned) for part, turned in share.row or ())
    return share._replace(parts=tuple(part for part, _ in row), row=row)
