"""The journal: what it keeps, whose it is, and what is told when it cannot be written."""

import errno
import hashlib
import os
from dataclasses import replace
from types import MappingProxyType

import pytest

from layoutest.errors import LayoutestError
from layoutest.files import journal as journal_module
from layoutest.files.journal import Journal, forget, recover, recoverable
from layoutest.files.journal_lines import change_text
from layoutest.files.layout_write import save_layout
from layoutest.layout.document import Layout, Leg, Node, Settings

START = Layout(
    title="Attic",
    nodes=MappingProxyType({"n1": Node(0, 0, 0), "n2": Node(4000, 0, 0)}),
    legs=MappingProxyType({"l1": Leg("n1", "n2", "HF", "copper 35", extra=(("note", '"kept"'),))}),
    extra=(("author", '"us"'),),
)


def with_node(layout, name, x_mm):
    return replace(layout, nodes=MappingProxyType({**layout.nodes, name: Node(x_mm, 0, 0)}))


def test_every_kind_of_change_comes_back(tmp_path):
    steps = [
        with_node(START, "n3", 9000),
        replace(START, legs=MappingProxyType({})),
        replace(START, title="Loft", times=3, settings=Settings(kerf_mm=4, extra=(("mine", "[1,2.5]"),))),
        replace(START, extra=(("reviewer", "null"),)),
        replace(START, legs=MappingProxyType({"l1": replace(START.legs["l1"], measured_mm=3990)})),
        START,
    ]
    journal = Journal.start(tmp_path, "", START)
    (place,) = tmp_path.iterdir()
    for layout in steps:
        journal.keep(layout)
        assert recover(place) == layout
    journal.leave()


def test_an_action_is_one_line_with_what_changed_alone(tmp_path):
    journal = Journal.start(tmp_path, "", START)
    (place,) = tmp_path.iterdir()
    journal.keep(with_node(START, "n3", 9000))
    _, line, rest = place.read_bytes().split(b"\n")
    assert rest == b""
    assert line.partition(b" ")[2] == b'{"put": {"nodes": {"n3": [9000, 0, 0]}}}'
    journal.leave()


def test_nothing_changed_is_no_line(tmp_path):
    journal = Journal.start(tmp_path, "", START)
    (place,) = tmp_path.iterdir()
    before = place.read_bytes()
    journal.keep(replace(START, nodes=MappingProxyType(dict(START.nodes))))
    assert place.read_bytes() == before
    journal.leave()


def test_records_that_are_the_same_object_are_not_compared():
    class Never(Node):
        def __eq__(self, other):
            raise AssertionError("compared")

        __hash__ = Node.__hash__

    nodes = {"n1": Never(0, 0, 0)}
    before = replace(START, nodes=MappingProxyType(nodes))
    after = replace(before, nodes=MappingProxyType({**nodes, "n2": Node(1, 2, 3)}))
    assert change_text(before, after) == '{"put": {"nodes": {"n2": [1, 2, 3]}}}'


def test_a_running_window_is_left_alone(tmp_path):
    running = Journal.start(tmp_path, "", START)
    running.keep(with_node(START, "n3", 1))
    gone = Journal.start(tmp_path, "", START)
    gone.keep(with_node(START, "n3", 2))
    gone.leave()
    (recovery,) = recoverable(tmp_path)
    assert recovery.edited
    assert recover(recovery.journal) == with_node(START, "n3", 2)
    forget(running._place)
    assert running._place.exists()
    forget(recovery.journal)
    assert recoverable(tmp_path) == ()
    running.keep(with_node(START, "n3", 3))
    running.leave()
    (recovery,) = recoverable(tmp_path)
    assert recover(recovery.journal) == with_node(START, "n3", 3)


def test_what_it_belongs_to(tmp_path):
    path = tmp_path / "attic.layout.json"
    save_layout(START, path)
    Journal.start(tmp_path / "journal", str(path), START).leave()
    (recovery,) = recoverable(tmp_path / "journal")
    assert recovery.path == str(path)
    assert recovery.sha256 == hashlib.sha256(path.read_bytes()).hexdigest()
    assert not recovery.edited


def test_edits_it_begins_with(tmp_path):
    Journal.start(tmp_path, "", START, edited=True).leave()
    (recovery,) = recoverable(tmp_path)
    assert (recovery.path, recovery.sha256, recovery.edited) == ("", "", True)


def test_newest_first(tmp_path):
    for number in range(3):
        journal = Journal.start(tmp_path, f"/job/{number}", START)
        os.utime(journal._place, ns=(number, 10**18 + (1, 3, 2)[number] * 10**9))
        journal.leave()
    assert [recovery.path for recovery in recoverable(tmp_path)] == ["/job/1", "/job/2", "/job/0"]


def test_dropped(tmp_path):
    journal = Journal.start(tmp_path, "", START)
    journal.drop()
    assert list(tmp_path.iterdir()) == []


def test_no_folder_no_journals(tmp_path):
    assert recoverable(tmp_path / "nowhere") == ()
    assert recover(tmp_path / "nowhere.journal") is None


@pytest.mark.parametrize("tail", [b"0123456789abcdef {", b"\x00" * 600, b'0123456789abcdef {"put": {}}\n', b"\n\n"])
def test_a_torn_tail_is_left_out(tmp_path, tail):
    journal = Journal.start(tmp_path, "", START)
    done = with_node(START, "n3", 1)
    journal.keep(done)
    journal.leave()
    with journal._place.open("ab") as stream:
        stream.write(tail)
    assert recover(journal._place) == done


def test_a_lost_line_ends_what_can_be_read(tmp_path):
    journal = Journal.start(tmp_path, "", START)
    for number in range(3):
        journal.keep(with_node(START, "n3", number))
    journal.leave()
    lines = journal._place.read_bytes().split(b"\n")
    journal._place.write_bytes(b"\n".join([*lines[:2], *lines[3:]]))
    assert recover(journal._place) == with_node(START, "n3", 0)


def test_an_action_that_no_file_could_hold_is_passed_over(tmp_path):
    journal = Journal.start(tmp_path, "", START)
    journal.keep(with_node(START, "n3", 1))
    journal.keep(with_node(START, "n3", 5_000_000))
    journal.leave()
    assert recover(journal._place) == with_node(START, "n3", 1)


def test_a_long_journal_starts_anew(tmp_path, monkeypatch):
    monkeypatch.setattr(journal_module, "ROOM_BYTES", 1000)
    journal = Journal.start(tmp_path, "/job/attic", START)
    places = {journal._place}
    for number in range(100):
        journal.keep(with_node(START, f"n{number % 4}", number))
        places.add(journal._place)
        (place,) = tmp_path.iterdir()
        assert recover(place) == journal._kept
    assert len(places) > 2
    journal.leave()
    (recovery,) = recoverable(tmp_path)
    assert recovery.edited
    assert recovery.path == "/job/attic"


def test_a_crash_while_it_starts_anew_leaves_one(tmp_path, monkeypatch):
    monkeypatch.setattr(journal_module, "ROOM_BYTES", 100)
    journal = Journal.start(tmp_path, "", START)
    old = journal._place
    monkeypatch.setattr(Journal, "drop", Journal.leave)
    number = 0
    while journal._place == old:
        number += 1
        journal.keep(with_node(START, "n3", number))
    journal.leave()
    assert len(list(tmp_path.iterdir())) == 2
    (recovery,) = recoverable(tmp_path)
    assert recovery.journal == journal._place != old
    assert recover(recovery.journal) == with_node(START, "n3", number)


class Full:
    """A disk that takes half a line and no more, until there is room."""

    def __init__(self, monkeypatch):
        self.full = True
        self.fsync = os.fsync
        monkeypatch.setattr(os, "fsync", self)

    def __call__(self, number):
        if self.full:
            os.truncate(number, os.fstat(number).st_size - 10)
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
        self.fsync(number)


def test_a_full_disk_is_told_and_work_goes_on(tmp_path, monkeypatch):
    journal = Journal.start(tmp_path, "", START)
    journal.keep(with_node(START, "n3", 1))
    disk = Full(monkeypatch)
    wide = with_node(with_node(START, "n3", 2), "n4", 123_456)
    for _ in range(2):
        with pytest.raises(LayoutestError) as told:
            journal.keep(wide)
        says = "the journal cannot be written: no space left on device; a crash would lose what is not saved"
        assert str(told.value) == f"'{tmp_path}': {says}"
        assert recover(journal._place) == with_node(START, "n3", 1)
    disk.full = False
    journal.keep(with_node(wide, "n3", 3))
    assert recover(journal._place) == with_node(wide, "n3", 3)
    journal.leave()


def test_a_full_disk_at_the_start_leaves_nothing(tmp_path, monkeypatch):
    Full(monkeypatch)
    with pytest.raises(LayoutestError, match="the journal cannot be written: no space left on device"):
        Journal.start(tmp_path, "", START)
    assert list(tmp_path.iterdir()) == []


def test_a_folder_that_cannot_be_made_is_told(tmp_path):
    (tmp_path / "file").write_text("")
    with pytest.raises(LayoutestError, match="the journal cannot be written: not a directory"):
        Journal.start(tmp_path / "file" / "journal", "", START)


def test_half_a_character_is_told(tmp_path):
    journal = Journal.start(tmp_path, "", START)
    with pytest.raises(LayoutestError, match=r"the journal cannot be written: .*surrogates not allowed"):
        journal.keep(replace(START, title="\ud800"))
    journal.keep(replace(START, title="mended"))
    assert recover(journal._place) == replace(START, title="mended")
    journal.leave()
