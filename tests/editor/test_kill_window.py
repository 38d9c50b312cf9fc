"""A window that is killed in the middle of a drag: the next start has everything up to the last completed action."""

from __future__ import annotations

import os
import random
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from layoutest.files.journal import recover, recoverable
from layoutest.files.layout_read import read_layout

sys.path.insert(0, str(Path(__file__).parent))
from dragger import place_mm

DEMO = Path(__file__).parents[2] / "demo_layouts" / "first-five-minutes.layout.json"
DEATHS = 100


@pytest.fixture
def dragger():
    script = Path(__file__).with_name("dragger.py")
    with subprocess.Popen([sys.executable, str(script)], stdin=subprocess.PIPE, stdout=subprocess.PIPE) as process:
        yield process
        process.stdin.close()


def killed(dragger, folder, drags, delay_s):
    """Let a window be worked for so many drags and a little more, kill it; how many drags it had shown as done."""
    dragger.stdin.write(b"%s\n" % str(folder).encode())
    dragger.stdin.flush()
    pid, ready, kept, done = 0, False, False, 0
    while not ready or done < drags:
        pid, ready, kept, done = heard(dragger, pid, ready, kept, done)
    time.sleep(delay_s)
    os.kill(pid, signal.SIGKILL)
    while pid:
        pid, ready, kept, done = heard(dragger, pid, ready, kept, done)
    return done


def heard(dragger, pid, ready, kept, done):
    line = dragger.stdout.readline().decode().strip()
    if line.startswith("pid"):
        return int(line.split()[1]), ready, kept, done
    if line == "gone":
        return 0, ready, kept, done
    if line == "ready":
        return pid, True, False, done
    if line == "asked KeepInJournal":
        return pid, ready, ready, done
    if line == "shown" and kept:
        return pid, ready, False, done + 1
    return pid, ready, kept, done


def test_a_hundred_deaths_in_the_middle_of_a_drag(dragger, tmp_path):
    moments = random.Random(7)
    first = read_layout(DEMO).layout
    beyond = 0
    for death in range(DEATHS):
        folder = tmp_path / str(death)
        folder.mkdir()
        shutil.copy(DEMO, folder / "drawn.layout.json")
        done = killed(dragger, folder, moments.randint(1, 8), moments.random() * 0.03)
        (recovery,) = recoverable(folder / "journal")
        assert recovery.edited
        got = recover(recovery.journal)
        x_mm = got.nodes["n2"].x_mm - first.nodes["n2"].x_mm
        # What was kept but not shown yet may be there too; never what was still in the hand.
        assert x_mm in (place_mm(done), place_mm(done + 1))
        assert got.nodes["n3"].x_mm == got.nodes["n2"].x_mm
        assert got.legs == first.legs
        beyond += x_mm != place_mm(done)
    assert beyond < DEATHS
