"""Solves in processes of their own, each ended at a hard limit, however long its solver would go on."""

from __future__ import annotations

import multiprocessing
import os
from collections import deque
from collections.abc import Callable, Iterator, Sequence
from multiprocessing.connection import Connection, wait
from multiprocessing.process import BaseProcess
from time import monotonic
from typing import Any, NamedTuple, TypeVar

Asked = TypeVar("Asked")
Answer = TypeVar("Answer")
# A fork brings its imports along, so that no child's clock runs while it loads a solver.
_FORK = multiprocessing.get_context("fork")


class _Child(NamedTuple):
    process: BaseProcess
    place: int
    ends_at: float


def each(
    solve: Callable[[Asked], Answer], asked: Sequence[Asked], jobs: int, limit_s: float
) -> Iterator[tuple[Asked, Answer | None]]:
    """What `solve` says of each, as it comes; None where it was ended or broke off."""
    waiting, running = deque(range(len(asked))), dict[Connection, _Child]()
    while waiting or running:
        while waiting and len(running) < jobs:
            place = waiting.popleft()
            ours, theirs = _FORK.Pipe(duplex=False)
            process = _FORK.Process(target=_tell, args=(theirs, solve, asked[place]), daemon=True)
            process.start()
            theirs.close()
            running[ours] = _Child(process, place, monotonic() + limit_s)
        first_end = min(child.ends_at for child in running.values())
        told = wait(list(running), max(0.0, first_end - monotonic()))
        for pipe, child in list(running.items()):
            if pipe in told or monotonic() >= child.ends_at:
                answer = _heard(pipe) if pipe in told else None
                child.process.kill()
                child.process.join()
                pipe.close()
                del running[pipe]
                yield asked[child.place], answer


def _tell(pipe: Connection, solve: Callable[[Asked], Answer], one: Asked) -> None:
    # Some solvers greet on standard output whatever they are told.
    os.dup2(os.open(os.devnull, os.O_WRONLY), 1)
    pipe.send(solve(one))


def _heard(pipe: Connection) -> Any:
    try:
        return pipe.recv()
    except EOFError:
        return None
