"""The draft of a field: typing, marking, word by word, and an undo of its own."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from layoutest.editor.field import LONGEST, draft_of, erased, keyed, moved, redone, typed, undone, word_marked


def keys(draft, *presses):
    for press in presses:
        *mods, key = press.split("+")
        draft = keyed(draft, key, "+".join(mods)) or draft
    return draft


def test_a_new_draft_is_marked_so_that_it_is_typed_over():
    draft = typed(draft_of("5200"), "4")
    assert (draft.text, draft.caret, draft.marked) == ("4", 1, (1, 1))
    assert undone(draft).text == "5200"


@pytest.mark.parametrize(
    ("presses", "caret", "marked_text"),
    [
        (["home"], 0, ""),
        (["end", "left"], 10, ""),
        (["home", "shift+right", "shift+right"], 2, "17"),
        (["home", "ctrl+right"], 2, ""),
        (["home", "ctrl+right", "ctrl+right", "ctrl+right"], 5, ""),
        (["end", "ctrl+left"], 10, ""),
        (["end", "ctrl+shift+left", "ctrl+shift+left"], 8, "2 m"),
        (["shift+home"], 0, ""),
        (["ctrl+a"], 11, "17' 3 1/2 m"),
        (["ctrl+a", "left"], 0, ""),
        (["ctrl+a", "right"], 11, ""),
        (["home", "left"], 0, ""),
    ],
)
def test_keys_move_the_caret_and_mark(presses, caret, marked_text):
    draft = keys(moved(draft_of("17' 3 1/2 m"), 0), *presses)
    assert (draft.caret, draft.marked_text) == (caret, marked_text)


def test_words_are_walked_from_their_ends():
    draft = moved(draft_of("5.2 m, wall side"), 0)
    assert [(draft := keys(draft, "ctrl+right")).caret for _ in range(5)] == [3, 6, 11, 16, 16]
    assert [(draft := keys(draft, "ctrl+left")).caret for _ in range(5)] == [12, 7, 4, 0, 0]


def test_erasing_by_character_by_word_and_what_is_marked():
    draft = moved(draft_of("stone wool, foil"), 16)
    assert erased(draft, -1).text == "stone wool, foi"
    assert erased(draft, -1, word=True).text == "stone wool, "
    assert erased(moved(draft, 0), 1).text == "tone wool, foil"
    assert erased(moved(draft, 0), 1, word=True).text == " wool, foil"
    assert erased(moved(moved(draft, 0), 6, marking=True), -1).text == "wool, foil"
    assert erased(draft, 1) is draft


@pytest.mark.parametrize(("at", "word"), [(0, "stone"), (5, "stone"), (8, "wool,"), (13, "foil"), (16, "foil")])
def test_a_double_click_marks_a_word(at, word):
    assert word_marked(draft_of("stone wool, foil", 0), at).marked_text == word


def test_a_double_click_between_words_marks_what_lies_there():
    assert word_marked(draft_of("a   b", 0), 2).marked_text == "   "
    assert word_marked(draft_of("", 0), 0).marked_text == ""


def test_typing_in_a_row_is_one_step_of_undo():
    draft = moved(draft_of("5"), 1)
    for letter in "200":
        draft = typed(draft, letter)
    draft = erased(erased(draft, -1), -1)
    assert draft.text == "52"
    assert (undone(draft).text, undone(undone(draft)).text) == ("5200", "5")
    assert redone(redone(undone(undone(draft)))).text == "52"
    assert keyed(undone(undone(draft)), "z", "ctrl") is None
    assert keyed(draft, "y", "ctrl") is None
    assert keys(draft, "ctrl+z", "ctrl+shift+z").text == "52"


def test_a_moved_caret_begins_another_step():
    draft = typed(moved(typed(moved(draft_of("ab"), 2), "c"), 0), "x")
    assert [undone(draft).text, undone(undone(draft)).text] == ["abc", "ab"]


def test_what_is_pasted_becomes_one_line_without_controls():
    draft = typed(draft_of(""), "5.2\r\n m\t\x00\ud800")
    assert draft.text == "5.2 m "


def test_a_text_is_never_longer_than_its_limit():
    draft = typed(draft_of("x"), "y" * 5000)
    assert len(draft.text) == LONGEST
    assert typed(moved(draft, 0), "z").text == draft.text


def test_the_caret_stays_out_of_a_letter_with_its_accent():
    draft = moved(draft_of("e\u0301x"), 0)
    assert keys(draft, "right").caret == 2
    assert keys(draft, "right", "left").caret == 0


PRESSES = st.tuples(
    st.sampled_from(["left", "right", "home", "end", "backspace", "delete", "z", "y", "a", "up"]),
    st.sampled_from(["", "shift", "ctrl", "ctrl+shift", "alt"]),
)


@settings(max_examples=300, deadline=None, derandomize=True)
@given(st.text(max_size=8), st.lists(PRESSES | st.text(max_size=3), max_size=20))
def test_undoing_all_gives_the_first_text_and_redoing_all_the_last(value, steps):
    draft = draft_of(value)
    for step in steps:
        draft = typed(draft, step) if isinstance(step, str) else keyed(draft, *step) or draft
        low, high = draft.marked
        assert 0 <= low <= high <= len(draft.text)
    last = draft
    while draft.past:
        draft = undone(draft)
    assert draft.text == value
    while draft.future:
        draft = redone(draft)
    assert last.future or draft.text == last.text


def test_what_a_key_does_not_do_is_left_to_others():
    draft = draft_of("a", 1)
    assert keyed(draft, "p", "") is None
    assert undone(draft) is draft
    assert redone(draft) is draft
