"""Runs from plain lines, and every fault of a list at once."""

from __future__ import annotations

import pytest

from layoutest.errors import UnreadableError
from layoutest.pack import lines
from layoutest.pack.lines import runs_from_lines
from layoutest.pack.problem import PackRun


def faults(text, radius_mm=50.0):
    with pytest.raises(UnreadableError) as raised:
        runs_from_lines(text, "list.txt", radius_mm)
    return list(raised.value.faults)


def test_a_line_is_a_length_a_count_and_two_ends():
    text = "# a comment\n1960,2,square,45  # two bends\n\n480\n 1200.5 , 1 , 22.5 \n"
    assert runs_from_lines(text, "x", 50.0) == (
        PackRun("line 2", 1960, (0.0, 45.0)),
        PackRun("line 2#2", 1960, (0.0, 45.0)),
        PackRun("line 4", 480),
        PackRun("line 5", 1201, (22.5, 0.0)),
    )


def test_a_run_shorter_than_both_its_wedges_is_one_piece():
    assert [run.one_piece for run in runs_from_lines("100,1,45,45\n101,1,45,45", "x", 50.0)] == [True, False]


def test_all_faults_come_at_once_with_their_lines():
    assert faults("48o\n7000,2.5,slanted\n120,4,45,45,4\n3,1,45\n-5,0,90,80\n1e999\n1_5\n") == [
        "list.txt: line 1: the length is '48o'; expected millimetres over 0, at most 10000000",
        "list.txt: line 2: the count is '2.5'; expected a whole number from 1 to 1000000",
        "list.txt: line 2: the left end is 'slanted'; expected 'square' or an angle over 0 and under 80 degrees",
        "list.txt: line 3: '120,4,45,45,4' has 5 fields; expected length[,count[,left[,right]]]",
        "list.txt: line 4: the length is 3 mm; its mitres need more than 50 mm on a radius of 50 mm",
        "list.txt: line 5: the length is '-5'; expected millimetres over 0, at most 10000000",
        "list.txt: line 5: the count is '0'; expected a whole number from 1 to 1000000",
        "list.txt: line 5: the left end is '90'; expected 'square' or an angle over 0 and under 80 degrees",
        "list.txt: line 5: the right end is '80'; expected 'square' or an angle over 0 and under 80 degrees",
        "list.txt: line 6: the length is '1e999'; expected millimetres over 0, at most 10000000",
        "list.txt: line 7: the length is '1_5'; expected millimetres over 0, at most 10000000",
    ]


def test_a_mitre_needs_the_diameter():
    assert faults("500,1,45", 0.0) == [
        "list.txt: line 1: a mitre of 45 degrees needs the diameter over the covering, --diameter"
    ]


def test_an_empty_list_and_an_endless_one(monkeypatch):
    assert faults("# nothing\n") == [
        "list.txt: there is no run in it; expected lines of the form length[,count[,left[,right]]]"
    ]
    monkeypatch.setattr(lines, "MOST_RUNS", 10)
    assert faults("5,10\n5,10\n") == ["list.txt: there are more than 10 runs in it"]
