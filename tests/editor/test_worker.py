"""Packing in a process of its own: what is asked, dropped, answered, and how it ends."""

import os
import signal
import subprocess
import sys
import threading
import time
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest

from layoutest.editor.events import Packed, WorkerFailed
from layoutest.editor.window import worker as worker_module
from layoutest.editor.window.worker import Worker
from layoutest.errors import UsageError
from layoutest.pack.plan import pack
from layoutest.pack.problem import PackRun, Problem

PATIENCE_S = 30
SMALL = Problem("wool 60x40", 1000, 55.0, (PackRun("a", 600), PackRun("b", 400), PackRun("c", 900)))
LONG = replace(
    SMALL,
    stock="wool 114x40",
    joint_price=Decimal("0.7"),
    section_price=Decimal(9),
    runs=tuple(PackRun(f"r{at}", 500 + 37 * at % 9000, (0.0, float(at % 45))) for at in range(3000)),
)
WRONG = replace(SMALL, stock="wool 22x40", runs=(PackRun("a", 1500, one_piece=True),))


@pytest.fixture
def worker():
    woken = threading.Event()
    worker = Worker(wake=woken.set)
    worker.woken = woken
    yield worker
    worker.close()


def waited(worker, count=1):
    """So many answers, however long they take."""
    got = []
    end = time.monotonic() + PATIENCE_S
    while len(got) < count:
        worker.woken.wait(max(end - time.monotonic(), 0))
        assert time.monotonic() < end
        worker.woken.clear()
        got += worker.answers()
    return got


def until(condition):
    end = time.monotonic() + PATIENCE_S
    while not (value := condition()):
        assert time.monotonic() < end
        time.sleep(0.01)
    return value


def process_of(worker):
    return until(lambda: worker._child and worker._packing and worker._child.pid)


def held(worker):
    """The process, stopped in the middle of its work."""
    number = process_of(worker)
    os.kill(number, signal.SIGSTOP)
    return number


def is_gone(number):
    """Whether a process has ended: none of its number, or one that nobody has asked after."""
    status = Path(f"/proc/{number}/stat")
    try:
        return status.read_text().rsplit(")", 1)[1].split()[0] == "Z"
    except (FileNotFoundError, ProcessLookupError):
        return True


def test_answers_are_the_packers_own_in_the_order_asked(worker):
    other = replace(SMALL, section_mm=1200)
    worker.ask((SMALL, other))
    first, second = waited(worker, 2)
    assert first == Packed(pack(SMALL))
    assert second == Packed(pack(other))
    assert first.plan.problem is SMALL
    assert worker.answers() == []


def test_what_no_section_can_make_is_told_and_the_rest_goes_on(worker):
    worker.ask((WRONG, SMALL))
    failed, packed = waited(worker, 2)
    with pytest.raises(UsageError) as told:
        pack(WRONG)
    assert failed == WorkerFailed("wool 22x40", str(told.value).removeprefix("wool 22x40: "))
    assert not failed.says.startswith("wool")
    assert isinstance(packed, Packed)


def test_whatever_goes_wrong_in_packing_is_told(monkeypatch):
    assert worker_module.packed(SMALL) == Packed(pack(SMALL))
    assert worker_module.packed(WRONG).says.startswith("sections of 1000 mm")

    def broken(problem, effort):
        raise ZeroDivisionError("by nought")

    monkeypatch.setattr(worker_module, "pack", broken)
    assert worker_module.packed(SMALL) == WorkerFailed("wool 60x40", "Packing failed: ZeroDivisionError: by nought.")


def test_what_is_asked_no_more_is_dropped(worker):
    worker.ask((LONG,))
    old = held(worker)
    worker.ask((SMALL,))
    (answer,) = waited(worker)
    assert answer.plan.problem is SMALL
    assert is_gone(old)


def test_what_is_asked_again_goes_on(worker):
    worker.ask((LONG,))
    old = held(worker)
    worker.ask((SMALL,))
    worker.ask((SMALL, replace(LONG)))
    time.sleep(2 * worker_module.STALE_S)  # long enough for it to be dropped
    os.kill(old, signal.SIGCONT)
    assert [answer.plan.problem.stock for answer in waited(worker, 2)] == ["wool 114x40", "wool 60x40"]
    assert worker._child.pid == old


def test_nothing_asked_any_more_ends_the_work(worker):
    worker.ask((LONG,))
    old = held(worker)
    worker.ask(())
    until(lambda: is_gone(old))
    assert worker.answers() == []


def test_asking_and_taking_never_wait(worker):
    began = time.thread_time()
    for _ in range(50):
        worker.ask((LONG,))
        worker.answers()
    # Time of the processor in this thread, not of the clock: it did not pack, and hardly did anything.
    assert time.thread_time() - began < 0.5


def test_a_process_that_dies_once_is_started_again(worker):
    medium = replace(LONG, runs=LONG.runs[:600])
    worker.ask((medium,))
    os.kill(process_of(worker), signal.SIGKILL)
    (answer,) = waited(worker)
    assert answer == Packed(pack(medium))


def test_a_process_that_dies_twice_is_told_and_the_next_problem_is_packed(worker):
    worker.ask((LONG, SMALL))
    first = process_of(worker)
    os.kill(first, signal.SIGKILL)
    second = until(lambda: worker._child and worker._child.pid != first and worker._child.pid)
    os.kill(second, signal.SIGKILL)
    failed, packed = waited(worker, 2)
    assert failed == WorkerFailed("wool 114x40", "The process that packs ended twice.")
    assert packed == Packed(pack(SMALL))


def test_a_process_that_cannot_be_started_is_told(worker, monkeypatch):
    monkeypatch.setattr(sys, "executable", "/no/such/python")
    worker.ask((SMALL,))
    assert waited(worker) == [WorkerFailed("wool 60x40", "The process that packs ended twice.")]


def test_closing_in_the_middle_of_the_work(worker):
    worker.ask((LONG,))
    old = held(worker)
    worker.close()
    assert is_gone(old)
    assert not worker._thread.is_alive()


PARENT = """
import sys, time
sys.path.insert(0, {here!r})
from test_worker import LONG, process_of
from layoutest.editor.window.worker import Worker
worker = Worker()
worker.ask((LONG,))
print(process_of(worker), flush=True)
time.sleep(600)
"""


def test_it_does_not_survive_its_parent():
    script = PARENT.format(here=str(Path(__file__).parent))
    with subprocess.Popen([sys.executable, "-c", script], stdout=subprocess.PIPE, text=True) as parent:
        child = int(parent.stdout.readline())
        assert not is_gone(child)
        parent.kill()
    until(lambda: is_gone(child))


def test_the_process_does_not_load_the_window():
    script = "import sys, layoutest.editor.window.worker; print(*sys.modules)"
    loaded = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True).stdout.split()
    assert "layoutest.pack.plan" in loaded
    assert not {"pygame", "shapely", "networkx", "pydantic"} & set(loaded)


def test_files_of_the_users_folder_are_not_taken_for_modules(worker, tmp_path, monkeypatch):
    (tmp_path / "decimal.py").write_text("raise SystemExit")
    monkeypatch.chdir(tmp_path)
    worker.ask((SMALL,))
    assert waited(worker) == [Packed(pack(SMALL))]
