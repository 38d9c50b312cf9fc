"""The first five minutes at a person's pace, in a real window: how many seconds they take. Run it by hand.

A second's rest after each thing the hand does: a key, a word typed, a press.
"""

import sys
import tempfile
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "editor"))

from first_five_minutes import branch, draw
from real_window import RealWindow, screen

PACE_S, WANTED_S = 1.0, 180

with screen(78) as display, tempfile.TemporaryDirectory() as home:
    window = RealWindow(display, Path(home), str(Path(home) / "five.layout.json"), pace_s=PACE_S)
    begin = time.monotonic()
    draw(window)
    branch(window)
    window.key("ctrl+s")
    spent = time.monotonic() - begin
    window.kill()
    print(f"{spent:.0f} s, wanted under {WANTED_S}")
