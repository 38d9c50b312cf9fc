"""A process that dies at any moment loses no action that it had told as completed."""

import os
import random
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from keeper import after

from layoutest.files.journal import recover, recoverable

DEATHS = 100


@pytest.fixture
def keeper():
    script = Path(__file__).with_name("keeper.py")
    with subprocess.Popen([sys.executable, str(script)], stdin=subprocess.PIPE, stdout=subprocess.PIPE) as keeper:
        yield keeper
        keeper.stdin.close()


def killed(keeper, folder, count, delay_s):
    """Let a process keep so many actions and a little more, kill it, and tell the last action it told."""
    keeper.stdin.write(b"%s\n" % str(folder).encode())
    keeper.stdin.flush()
    told, child = -1, 0
    while told < count or not child:
        told, child = read(keeper, told, child)
    time.sleep(delay_s)
    os.kill(child, signal.SIGKILL)
    while child:
        told, child = read(keeper, told, child)
    return told


def read(keeper, told, child):
    line = keeper.stdout.readline().strip()
    if line.startswith(b"pid"):
        return told, int(line.split()[1])
    return (told, 0) if line == b"gone" else (int(line), child)


def test_a_hundred_deaths(keeper, tmp_path):
    moments = random.Random(20)
    beyond = torn = 0
    for death in range(DEATHS):
        folder = tmp_path / str(death)
        told = killed(keeper, folder, moments.randint(0, 25), moments.random() * 0.004)
        (recovery,) = recoverable(folder)
        got = recover(recovery.journal)
        number = int(got.revision.split()[0]) if got.revision else 0
        assert got == after(number)
        # What was kept but not told yet may be there too.
        assert told <= number <= told + 1
        beyond += number > told
        torn += not recovery.journal.read_bytes().endswith(b"\n")
    # The moments are any: some fell between keeping and telling, some into the middle of a line.
    assert beyond + torn > 0


def test_dead_before_it_began(tmp_path):
    (tmp_path / "torn.journal").write_bytes(b"0123456789abcdef {")
    (tmp_path / "empty.journal").write_bytes(b"")
    assert recoverable(tmp_path) == ()
    assert recover(tmp_path / "torn.journal") is None
