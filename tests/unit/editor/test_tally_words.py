"""The words and figures of the tally, and what the status bar reads."""

from __future__ import annotations

import sys
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))
from desk import Desk, book, demo, words_of

from layoutest.edit.assign import set_legs
from layoutest.editor.rail import rail_parts
from layoutest.editor.status import level_of
from layoutest.editor.tally import cost_change, money_words, rows_of
from layoutest.live.live import live_of


@pytest.mark.parametrize(
    ("amount", "currency", "signed", "words"),
    [
        ("1386.40", "GBP", False, "£1,386.40"),
        ("-15.22", "GBP", True, "−£15.22"),
        ("15.22", "EUR", True, "+€15.22"),
        ("0.00", "USD", True, "$0.00"),
        ("1234567.8", "CHF", False, "CHF 1,234,567.8"),
        ("-3", "GBP", False, "−£3"),
    ],
)
def test_money(amount, currency, signed, words):
    assert money_words(Decimal(amount), currency, signed=signed) == words


def test_rows_tell_what_is_there_and_how_it_changed():
    tally = live_of(demo("first-five-minutes"), book()).tally
    more = replace(
        tally,
        sections=tally.sections + 1200,
        joints=tally.joints - 2,
        tape_mm=tally.tape_mm + 1500,
        waste_percent=tally.waste_percent - Decimal("1.5"),
        net=tally.net + 5,
    )
    rows = {row.name: row for row in rows_of(more, tally)}
    assert rows["Sections"][1:] == (f"{tally.sections + 1200:,}", "+1,200", True)
    assert rows["Joints taped"][2:] == ("−2", False)
    assert rows["Tape, m"].change == "+1.5"
    assert rows["Waste of sections, %"].change == "−1.5"
    assert rows["Labour, hours"].change == ""
    assert cost_change(more, tally) == 5
    assert cost_change(replace(more, net=None), tally) is None
    assert all(row.change == "" for row in rows_of(tally, tally))


def panel_words(desk, name="panel"):
    return words_of(next(panel for panel in desk.scene.panels if panel.name == name).parts)


def test_a_change_of_tape_is_the_difference_of_what_is_shown():
    desk = Desk().packed()
    before = {row.name: row.value for row in rows_of(desk.state.live.tally, desk.state.live.tally)}
    desk.drag((3400, 1100), (3900, 1100), (4400, 1100)).packed()
    for row in rows_of(desk.state.live.tally, desk.state.basis.tally):
        shown = Decimal(row.change.replace("−", "-").replace(",", "") or 0)
        assert Decimal(row.value.replace(",", "")) - Decimal(before[row.name].replace(",", "")) == shown


def test_the_standing_of_the_figure_is_told():
    desk = Desk()
    assert "quick, proof running" in panel_words(desk)
    desk.packed()
    assert {"proven: no plan costs less", "packed, not proven"} & set(panel_words(desk))


def test_what_is_not_complete_has_no_total():
    desk = Desk(set_legs(demo("first-five-minutes"), ("l2",), pipe="no such pipe"))
    words = panel_words(desk)
    assert "NOT COMPLETE" in words
    assert "known so far" in words
    assert "Net cost" not in words
    rail = words_of(rail_parts(desk.state, desk.state.regions.panel))
    assert {"NOT", "COMPLETE"} <= set(rail)


def test_the_rail_of_a_narrow_window_tells_counts_money_and_what_is_picked():
    desk = Desk(size=(1000, 700)).packed()
    words = panel_words(desk, "rail")
    assert f"{desk.state.live.tally.sections}" in words
    assert "nothing" in words
    desk.click(800, 0).key("shift+t")
    words = panel_words(desk, "rail")
    assert "l1" in words
    desk.key("ctrl+a")
    assert "4 parts" in panel_words(desk, "rail")
    desk.key("delete", "ctrl+z")
    words = panel_words(desk, "rail")
    assert any(word.startswith("+") for word in words)
    assert "+£" in " ".join(words)


@pytest.mark.parametrize(
    ("text", "from_mm", "level"),
    [
        ("2400", 0, 2400),
        ("2.4 m", 0, 2400),
        ("+600", 2400, 3000),
        ("-1200", 2400, 1200),
        ("−1200", 2400, 1200),
        (" +1' ", 1000, 1305),
        ("=-500", 2400, -500),
        ("=2400", 99, 2400),
        ("= −2 m", 99, -2000),
        ("0", 2400, 0),
    ],
)
def test_levels_as_they_are_typed(text, from_mm, level):
    assert level_of(text, from_mm) == level


@pytest.mark.parametrize("text", ["", "+", "-", "=", "five", "+-5", "=+", "2400 mmm"])
def test_what_is_no_level_is_refused(text):
    with pytest.raises(ValueError, match=r"length|missing"):
        level_of(text, 0)


def status_words(desk):
    return words_of(next(panel for panel in desk.scene.panels if panel.name == "status").parts)


def test_the_status_bar_tells_place_step_grid_and_scale():
    desk = Desk().point(1020, 690)
    words = status_words(desk)
    assert "x 1000  y 700  level 2400" in words
    assert "snap 50" in words
    assert "grid 100" in words
    desk.point("n4")
    assert any(word in ("x 3400  y 2200  level 2400", "x 3400  y 2200  level 1200") for word in status_words(desk))
    assert "snap off" in status_words(desk.key("f"))
    riser = Desk("riser")
    sheet = riser.state.regions.sheet
    at = riser.state.view.to_mm((sheet.low_x + 20, sheet.low_y + 20))
    assert any(word.startswith("x ") and "level" in word and " y " in word for word in status_words(riser.point(*at)))
    assert "y" in status_words(riser)


def test_the_status_bar_shows_the_length_in_hand():
    desk = Desk().click(800, 0)
    assert "3400" in status_words(desk)
    desk.drag((3400, 1100), (3900, 1100), release=False)
    assert "3900" in status_words(desk)
    desk.key("escape", "escape", "l").click(0, 1000).point(750, 1000)
    assert "750" in status_words(desk)
    assert Desk().click(800, 0).fill("status.length", "4000").document.nodes["n2"] == (4000, 0, 2400)


def test_a_length_typed_for_several_legs_at_once_says_what_to_pick():
    desk = Desk().key("ctrl+a").type("5000", "return")
    assert desk.document is desk.first
    assert "one leg" in desk.state.message
