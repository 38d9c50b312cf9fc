from __future__ import annotations

from layoutest.edit.history import History


def test_what_can_be_undone_and_done_again_has_a_name():
    history = History("empty").do("one leg", "Draw a leg").do("none", "Delete")
    assert (history.undo_name, history.redo_name) == ("Delete", "")
    back = history.undo()
    assert (back.now, back.undo_name, back.redo_name) == ("one leg", "Draw a leg", "Delete")
    assert back.redo().now == "none"


def test_nothing_happens_at_both_ends():
    history = History("empty")
    assert history.undo() is history
    assert history.redo() is history


def test_an_equal_value_adds_nothing():
    history = History((1, 2))
    assert history.do((1, 2), "Nothing") is history
    kept = history.do((1, 3), "Change").undo()
    assert kept.do((1, 2), "Nothing").redo().now == (1, 3)


def test_something_new_after_undo_ends_what_could_be_done_again():
    history = History(0).do(1, "One").do(2, "Two").undo().do(3, "Three")
    assert history.redo() is history
    assert history.undo().undo().now == 0


def test_a_hundred_thousand_steps_lead_back_to_the_same_object():
    first = object()
    history = History(first)
    for number in range(100_000):
        history = history.do(number, f"Step {number}")
    last = history
    for _ in range(100_000):
        history = history.undo()
    assert history.now is first
    assert history.past is None
    assert last.past.value == 99_998
    assert "99999" in repr(last)
