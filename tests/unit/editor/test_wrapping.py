"""Words that must fit a width."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from layoutest.editor.wrapping import shortened, wrapped


def measure(words, size, bold):
    return 10.0 * len(words)


def test_words_go_into_lines_and_no_word_is_cut():
    assert wrapped("one two three four", 90, measure) == ["one two", "three", "four"]


def test_a_word_longer_than_a_line_is_broken():
    assert wrapped("a reinforcement b", 60, measure) == ["a", "reinfo", "rcemen", "t b"]


def test_line_ends_are_kept():
    assert wrapped("one\n\ntwo", 90, measure) == ["one", "", "two"]


def test_what_does_not_fit_ends_in_an_ellipsis():
    assert shortened("stone wool", 100, measure) == "stone wool"
    assert shortened("stone wool", 70, measure) == "stone…"
    assert shortened("stone wool", 5, measure) == "…"


@settings(max_examples=200, deadline=None, derandomize=True)
@given(st.text(alphabet="ab \n", max_size=60), st.integers(10, 200))
def test_no_line_is_too_wide_and_nothing_is_lost(words, width):
    lines = wrapped(words, width, measure)
    assert all(measure(line, "base", False) <= width for line in lines)
    assert "".join("".join(lines).split()) == "".join(words.split())
    assert measure(shortened(words, width, measure), "base", False) <= max(width, 10)
