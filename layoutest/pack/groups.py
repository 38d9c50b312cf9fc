"""A draft taken apart into groups: runs that share sections, directly or by way of others, and those sections."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from decimal import Decimal

    from layoutest.pack.draft import Draft, Share
    from layoutest.pack.problem import Problem


class Group(NamedTuple):
    """Runs, in rising order, with all the sections and van offcuts that they are cut from."""

    runs: tuple[int, ...]
    shares: tuple[Share, ...]


def groups_of(draft: Draft) -> list[Group]:
    """The groups of a draft, each as small as can be."""
    leader: dict[int, int] = {}

    def lead(run: int) -> int:
        while leader.setdefault(run, run) != run:
            leader[run] = leader[leader[run]]
            run = leader[run]
        return run

    for share in draft:
        first = lead(share.parts[0].run)
        for part in share.parts[1:]:
            leader[lead(part.run)] = first
    shares: dict[int, list[Share]] = {}
    for share in draft:
        shares.setdefault(lead(share.parts[0].run), []).append(share)
    runs: dict[int, list[int]] = {}
    for run in leader:
        runs.setdefault(lead(run), []).append(run)
    return sorted(Group(tuple(sorted(runs[key])), tuple(own)) for key, own in shares.items())


def group_cost(problem: Problem, group: Group) -> Decimal:
    """What a group's sections, van offcuts and joints cost."""
    bought = sum(share.van_value is None for share in group.shares)
    joints = sum(len(share.parts) for share in group.shares) - len(group.runs)
    van = [share.van_value for share in group.shares if share.van_value is not None]
    return bought * problem.section_price + joints * problem.joint_price + sum(van, start=0 * problem.section_price)
