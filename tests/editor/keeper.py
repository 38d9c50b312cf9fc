"""A process that keeps actions in a journal and tells each one that is completed, to be killed at any moment.

It reads names of folders. For each it starts a process of its own that keeps actions there without end: the number of
each comes out when the journal says that it is kept. When that process was killed, `gone` comes out.
"""

import os
import sys
from dataclasses import replace
from pathlib import Path
from types import MappingProxyType

from layoutest.files import journal as journal_module
from layoutest.files.journal import Journal
from layoutest.layout.document import Layout, Leg, Node

START = Layout(
    title="Attic",
    nodes=MappingProxyType({f"n{number}": Node(1000 * number, 0, 0) for number in range(40)}),
    legs=MappingProxyType(
        {f"l{number}": Leg(f"n{number}", f"n{number + 1}", "HF", "copper 35") for number in range(39)}
    ),
)


def after(number):
    """The layout after so many actions: a node of it moves, some legs are taken away, and its revision tells which."""
    moved = {**START.nodes, f"n{number % 40}": Node(number, number, 0)}
    left = {name: leg for name, leg in START.legs.items() if (int(name[1:]) + number) % 7}
    # Now and then a long line, so that many a process dies in the middle of one.
    revision = f"{number}" + " long" * (20_000 if number % 5 == 4 else 0)
    nodes, legs = MappingProxyType(moved), MappingProxyType(left)
    return replace(START, revision=revision, nodes=nodes, legs=legs) if number else START


def keep_on(folder):
    journal = Journal.start(folder, "", START)
    number = 0
    while True:
        os.write(1, b"%d\n" % number)
        number += 1
        journal.keep(after(number))


if __name__ == "__main__":
    # It starts anew every dozen actions.
    journal_module.ROOM_BYTES = 200_000
    for line in sys.stdin:
        child = os.fork()
        if not child:
            keep_on(Path(line.strip()))
        os.write(1, b"pid %d\n" % child)
        os.waitpid(child, 0)
        os.write(1, b"gone\n")
