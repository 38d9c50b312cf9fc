"""A sitting played again: what the state asks for is answered, once, and nothing is written."""

import pytest

from layoutest.book.reader import example_book_folder, read_book
from layoutest.editor import events as ev
from layoutest.editor.begin import first_of
from layoutest.editor.recording import event_text, read_events
from layoutest.editor.replay import packed, replayed
from layoutest.editor.update import update
from layoutest.files.layout_read import read_layout
from layoutest.files.layout_write import save_layout
from layoutest.pack.plan import pack
from layoutest.tables.shipped import demo_folder

DEMO = demo_folder() / "first-five-minutes.layout.json"


@pytest.fixture(scope="module")
def empty():
    """A window with an empty sheet; every letter is 7 px wide."""
    book = read_book(example_book_folder())
    return first_of((1600, 1000), book, lambda words, size, bold: 7.0 * len(words))


@pytest.fixture
def demo(empty):
    return replayed(empty, [ev.LayoutOpened(str(DEMO), read_layout(DEMO).layout)])


COPIED = (ev.KeyPressed("a", "ctrl"), ev.KeyPressed("c", "ctrl"))
PASTE = ev.KeyPressed("v", "ctrl")


def test_what_is_opened_is_packed_at_once(demo):
    assert demo.document == read_layout(DEMO).layout
    assert {stock.state for stock in demo.live.stocks.values()} <= {"packed", "proven"}
    for stock in demo.live.stocks.values():
        assert stock.plan == pack(stock.task.problem)


def test_paths_are_opened(empty):
    assert replayed(empty, [ev.FileDropped(str(DEMO))]).document == read_layout(DEMO).layout
    state = replayed(empty, [ev.FileDropped("nowhere.layout.json")])
    assert state.dialog.title == "The file cannot be opened"


def test_what_was_copied_is_pasted_once(demo):
    legs = len(demo.document.legs)
    hand_written = replayed(demo, [*COPIED, PASTE])
    assert len(hand_written.document.legs) == 2 * legs
    # As the window records it: the clipboard's answer stands behind the key.
    text = "".join(map(event_text, [*COPIED, PASTE, ev.ClipboardRead(clip_of(demo))]))
    recorded = replayed(demo, read_events(text))
    assert recorded.document == hand_written.document


def clip_of(state):
    """What copying everything puts on the clipboard."""
    _, (request,) = update(replayed(state, COPIED[:1]), COPIED[1])
    return request.text


def test_saving_writes_nothing(demo, tmp_path):
    path = tmp_path / "copy.layout.json"
    save_layout(read_layout(DEMO).layout, path)
    before = path.read_bytes()
    opened = replayed(demo, [ev.FileDropped(str(path))])
    edited = replayed(opened, [*COPIED, PASTE])
    assert edited.is_dirty
    saved = replayed(edited, [ev.KeyPressed("s", "ctrl")])
    assert not saved.is_dirty
    assert path.read_bytes() == before
    assert [file.name for file in tmp_path.iterdir()] == ["copy.layout.json"]


def test_the_same_sitting_ends_in_the_same_state(empty):
    events = [ev.FileDropped(str(DEMO)), *COPIED, PASTE, ev.KeyPressed("z", "ctrl"), ev.KeyPressed("y", "ctrl")]
    one, other = replayed(empty, events), replayed(empty, events)
    assert one.document == other.document
    assert one.live.tally == other.live.tally
    assert packed(one).live.tally == one.live.tally
