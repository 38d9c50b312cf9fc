"""Run by hand: how many of the public packing instances are proven, and beside two other solvers with --against.

    python tests/bench/pack_classic_bench.py [--files uniform triplets ...] [--seconds 10] [--sample 55] [--jobs 1]
    python tests/bench/pack_classic_bench.py --against

Seconds depend on the machine. Every instance has a process of its own. A solver may be late with its plan, but not with
a proof: what is not proven in time counts as all the seconds there were, whoever solved it.
"""

from __future__ import annotations

import argparse
from collections.abc import Callable, Iterable, Sequence
from functools import partial
from itertools import groupby
from time import perf_counter

# Imported here, so that no child's clock runs while it loads them.
import highspy  # noqa: F401
import numpy as np  # noqa: F401
from children import each
from classic_sets import FILES, Answer, Instance, instances, problem_of, sampled

from layoutest.pack.effort import Effort
from layoutest.pack.plan import pack

WANTED = {"uniform": 60, "scholl_1": 360, "scholl_2": 239, "scholl_3": 4, "triplets": 56}
SOON_S = 1.0
LATE_S = 5.0
_SAMPLE = 55
_PART = 5

Solve = Callable[[Instance, float], Answer]
Solved = tuple[Instance, Answer | None]


def ours(one: Instance, limit_s: float) -> Answer:
    """The packer itself, told to go on until the clock stops it."""
    problem = problem_of(one)
    start = perf_counter()
    plan = pack(problem, Effort(level=1000, seconds=limit_s))
    return Answer(perf_counter() - start, plan.proven, plan.bought, plan.at_least)


def proven(solved: Iterable[Solved], limit_s: float) -> int:
    """How many were proven in time."""
    return sum(_in_time(answer, limit_s) for _, answer in solved)


def seconds(answer: Answer | None, limit_s: float) -> float:
    """Seconds to the proof, or all there were."""
    return answer.seconds if answer is not None and _in_time(answer, limit_s) else limit_s


def wrong(one: Instance, answer: Answer | None) -> bool:
    """Whether a bound is above the best known plan, a plan below the best known bound, or a worse one called proven."""
    if answer is None or answer.bought is None:
        return answer is not None and answer.at_least > one.upper
    at_least = answer.bought if answer.proven else answer.at_least
    return at_least > one.upper or answer.bought < one.lower


def above(one: Instance, answer: Answer | None) -> int:
    """Sections above the best known plan; many where there is no plan."""
    return answer.bought - one.upper if answer is not None and answer.bought is not None else one.upper


def _in_time(answer: Answer | None, limit_s: float) -> bool:
    return answer is not None and answer.proven and answer.seconds <= limit_s


def ours_alone(chosen: Sequence[Instance], limit_s: float, jobs: int) -> None:
    """A row for each size and each class as it is done, and the names of what is not proven.

    Wrong is a bound above the best known plan, or a plan below the best known bound (see `wrong`).
    """
    found: list[Solved] = []
    columns = f"proven <= {min(SOON_S, limit_s):g} s   <= {limit_s:g} s   wrong   1 above   more   total s   slowest s"
    print(f"{'classic:':16}{'n':>5}   {columns}", flush=True)
    for group, members in groupby(chosen, key=lambda one: one.group):
        solved: list[Solved] = []
        for size, same in groupby(members, key=lambda one: one.size):
            solved += _rows(f"  {size}", list(same), limit_s, jobs)
        print(_row(group, solved, limit_s), flush=True)
        found += solved
    print(_row("all", found, limit_s))
    print(_verdict(found, limit_s))


def _rows(name: str, same: Sequence[Instance], limit_s: float, jobs: int) -> list[Solved]:
    solved = []
    for one, answer in each(partial(_within, ours, limit_s), same, jobs, limit_s + LATE_S):
        solved.append((one, answer))
        if not _in_time(answer, limit_s) or wrong(one, answer):
            what = f"{answer.bought}, at least {answer.at_least}" if answer else "no answer"
            print(f"    not proven: {one.name} ({what}; best known {one.upper})", flush=True)
    print(_row(name, solved, limit_s), flush=True)
    return solved


def _within(solve: Solve, limit_s: float, one: Instance) -> Answer:
    return solve(one, limit_s)


def _row(name: str, solved: Sequence[Solved], limit_s: float) -> str:
    took = [seconds(answer, limit_s) for _, answer in solved]
    over = [above(*one) for one in solved]
    in_time = f"{proven(solved, min(SOON_S, limit_s)):15}{proven(solved, limit_s):9}"
    off = f"{sum(wrong(*one) for one in solved):8}{over.count(1):10}{sum(many > 1 for many in over):7}"
    return f"{name:16}{len(solved):5}{in_time}{off}{sum(took):10.1f}{max(took):12.2f}"


def _verdict(found: Sequence[Solved], limit_s: float) -> str:
    says, met = [], not any(wrong(*one) or above(*one) > 1 for one in found)
    for group in dict.fromkeys(one.group for one, _ in found):
        solved = [one for one in found if one[0].group == group]
        count = proven(solved, limit_s)
        met = met and count >= WANTED[group]
        says.append(f"{group} {count}/{len(solved)} (>= {WANTED[group]})")
    return f"wanted: {', '.join(says)}; none wrong, none more than one above: {'met' if met else 'NOT MET'}"


def against(chosen: Sequence[Instance], limit_s: float, jobs: int) -> None:
    """The same instances by three solvers in turn, and whether ours proves more in a fifth of the time."""
    from pack_rivals import arc_flow, cp_sat

    solvers: dict[str, Solve] = {"ours": ours, "CP-SAT": cp_sat, "arc flow, HiGHS": arc_flow}
    print(f"{'against:':12}{'n':>5}" + "".join(f"{name + ': proven':>26}{'s':>8}" for name in solvers), flush=True)
    found: dict[str, list[Solved]] = {name: [] for name in solvers}
    no_fewer = True
    for group, members in groupby(chosen, key=lambda one: one.group):
        same = list(members)
        solved = {
            name: list(each(partial(_within, solve, limit_s), same, jobs, limit_s + LATE_S))
            for name, solve in solvers.items()
        }
        for name, answers in solved.items():
            found[name] += answers
            for one, answer in answers:
                if wrong(one, answer):
                    print(f"    wrong: {name}, {one.name}: {answer}; best known {one.upper}", flush=True)
        counts = [proven(answers, limit_s) for answers in solved.values()]
        no_fewer = no_fewer and counts[0] == max(counts)
        print(_beside(group, solved, limit_s), flush=True)
    print(_beside("all", found, limit_s))
    counts = [proven(answers, limit_s) for answers in found.values()]
    took = [sum(seconds(answer, limit_s) for _, answer in answers) for answers in found.values()]
    right = not any(wrong(*one) for one in found["ours"])
    met = right and no_fewer and counts[0] > max(counts[1:]) and _PART * took[0] <= min(took[1:])
    print(f"wanted: none fewer in a class, more in all, a fifth of the time: {'met' if met else 'NOT MET'}")


def _beside(name: str, found: dict[str, list[Solved]], limit_s: float) -> str:
    cells = (
        f"{proven(solved, limit_s):26}{sum(seconds(answer, limit_s) for _, answer in solved):8.1f}"
        for solved in found.values()
    )
    return f"{name:12}{len(found['ours']):5}" + "".join(cells)


def main() -> None:
    """Read the options and run."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--files", nargs="+", choices=FILES, default=list(FILES))
    parser.add_argument("--seconds", type=float, default=10.0)
    parser.add_argument("--sample", type=int, help="so many of all instances, the same ones always")
    parser.add_argument("--jobs", type=int, default=1)
    parser.add_argument("--against", action="store_true", help=f"beside two other solvers, on a sample of {_SAMPLE}")
    asked = parser.parse_args()
    count = asked.sample or (_SAMPLE if asked.against else None)
    chosen = sampled(asked.files, count) if count else [one for group in asked.files for one in instances(group)]
    (against if asked.against else ours_alone)(chosen, asked.seconds, asked.jobs)


if __name__ == "__main__":
    main()
