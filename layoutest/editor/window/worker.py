"""Packing in a process of its own, so that no frame waits for it: problems go in, plans come back one by one."""

from __future__ import annotations

import os
import pickle
import signal
import sys
import threading
from collections import deque
from dataclasses import replace
from queue import SimpleQueue
from typing import TYPE_CHECKING

from layoutest.editor.events import Packed, WorkerFailed
from layoutest.editor.window.child import end_child, start_child
from layoutest.errors import LayoutestError
from layoutest.pack.effort import Effort
from layoutest.pack.plan import pack

if TYPE_CHECKING:
    import subprocess
    from collections.abc import Callable, Sequence

    from layoutest.pack.problem import Problem

Answer = Packed | WorkerFailed

# How long a problem that nobody asks for any more may still be packed: a new process costs about as much.
STALE_S = 0.3
# Nobody waits long for a bench while drawing; `estimate` searches further.
_EFFORT = Effort(seconds=5.0)
_TRIES = 2
_BROKEN = (OSError, EOFError, ValueError, pickle.UnpicklingError)


class Worker:
    """Packs what was asked last, in a process that is started when there is something to pack.

    Nothing here waits but one thread of its own, which calls `wake` after each answer.
    """

    def __init__(self, wake: Callable[[], None] = lambda: None) -> None:
        self._wake = wake
        self._changed = threading.Condition()
        self._wanted: list[Problem] = []
        self._packing: Problem | None = None
        self._child: subprocess.Popen[bytes] | None = None
        self._closed = False
        self._answers: deque[Answer] = deque()
        self._thread = threading.Thread(target=self._work, name="packing", daemon=True)
        self._thread.start()

    def ask(self, problems: Sequence[Problem]) -> None:
        """Pack these problems, the first first, in place of all asked before."""
        with self._changed:
            self._wanted = list(problems)
            if self._is_stale(self._packing):
                timer = threading.Timer(STALE_S, self._give_up, (self._packing,))
                timer.daemon = True
                timer.start()
            self._changed.notify()

    def answers(self) -> list[Answer]:
        """Take what has come back since the last call."""
        taken = []
        while self._answers:
            taken.append(self._answers.popleft())
        return taken

    def close(self) -> None:
        """End the process and the thread at once, also in the middle of their work."""
        with self._changed:
            self._closed, self._wanted = True, []
            if self._child:
                self._child.kill()
            self._changed.notify()
        self._thread.join()

    def _is_stale(self, problem: Problem | None) -> bool:
        return problem is not None and problem not in self._wanted

    def _give_up(self, problem: Problem) -> None:
        with self._changed:
            if self._packing is problem and self._is_stale(problem) and self._child:
                self._child.kill()

    def _work(self) -> None:
        """What the thread does: hand one problem at a time to the process."""
        while True:
            with self._changed:
                self._changed.wait_for(lambda: self._closed or self._wanted)
                if self._closed:
                    break
                problem = self._packing = self._wanted[0]
            answer = self._answer(problem)
            with self._changed:
                self._packing = None
                asked = problem in self._wanted
                if asked:
                    self._wanted.remove(problem)
            if answer and asked:
                self._answers.append(answer)
                self._wake()
        self._end()

    def _answer(self, problem: Problem) -> Answer | None:
        """What the process says to a problem; None when it was ended because nobody asks any more."""
        for _ in range(_TRIES):
            try:
                return self._asked(problem)
            except _BROKEN:
                self._end()
                with self._changed:
                    if self._is_stale(problem):
                        return None
        return WorkerFailed(problem.stock, "The process that packs ended twice.")

    def _asked(self, problem: Problem) -> Answer:
        child = self._running()
        assert child.stdin  # noqa: S101 - for the type checker
        assert child.stdout  # noqa: S101
        pickle.dump(problem, child.stdin, pickle.HIGHEST_PROTOCOL)
        child.stdin.flush()
        answer: Answer = pickle.load(child.stdout)  # noqa: S301 - from our own process
        # Its problem is the one that was asked, object for object.
        return Packed(replace(answer.plan, problem=problem)) if isinstance(answer, Packed) else answer

    def _running(self) -> subprocess.Popen[bytes]:
        """The process, started if there is none."""
        if self._child and self._child.poll() is not None:
            self._end()
        if self._child is None:
            child = start_child("layoutest.editor.window.worker")
            with self._changed:
                self._child = child
                if self._closed:
                    child.kill()
        return self._child

    def _end(self) -> None:
        with self._changed:
            child, self._child = self._child, None
        if child:
            end_child(child)


def serve() -> None:
    """What the process does: pack what comes, until the parent is gone."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    if hasattr(os, "nice"):
        os.nice(5)  # the window goes first
    problems: SimpleQueue[Problem] = SimpleQueue()
    threading.Thread(target=_listen, args=(problems,), daemon=True).start()
    while True:
        pickle.dump(packed(problems.get()), sys.stdout.buffer, pickle.HIGHEST_PROTOCOL)
        sys.stdout.buffer.flush()


def _listen(problems: SimpleQueue[Problem]) -> None:
    # A thread of its own: the end of the parent is noticed also in the middle of a problem.
    try:
        while True:
            problems.put(pickle.load(sys.stdin.buffer))  # noqa: S301 - from our own parent
    finally:
        os._exit(0)


def packed(problem: Problem) -> Answer:
    """Pack a problem; whatever goes wrong is told."""
    try:
        return Packed(pack(problem, _EFFORT))
    except LayoutestError as error:
        return WorkerFailed(problem.stock, str(error).removeprefix(f"{problem.stock}: "))
    except Exception as error:  # noqa: BLE001 - the window goes on with the quick plan
        return WorkerFailed(problem.stock, f"Packing failed: {type(error).__name__}: {error}.")


if __name__ == "__main__":
    serve()
