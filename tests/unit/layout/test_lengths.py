"""Lengths as people write them, against conversions known on paper."""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from layoutest.layout.lengths import LONGEST_MM, parse_length, show_length


@pytest.mark.parametrize(
    ("text", "length_mm"),
    [
        ("5200", 5200),
        (" 5 200 ", 5200),
        ("5200 mm", 5200),
        ("5200MM", 5200),
        ("520 cm", 5200),
        ("5.2 m", 5200),
        ("5,2 m", 5200),
        ("0.59m", 590),
        (".5 m", 500),
        ("1,234 m", 1234),
        ("0,5", 1),
        ("0.4", 0),
        # 1 in = 25.4 mm, 1 ft = 304.8 mm exactly: NIST SP 811 (2008), appendix B.8.
        ("10 in", 254),
        ("5 ft", 1524),
        ("17'", 5182),  # 5181.6
        ("17' 3 1/2\"", 5271),  # 5181.6 + 88.9 = 5270.5, the half rounds up
        ("17'-3 1/2\"", 5271),
        ("17 ft 3.5 in", 5271),
        ("17′ 3½″", 5271),
        ("17’3½”", 5271),
        ("1'11\"", 584),  # 304.8 + 279.4 = 584.2
        ("1' 11", 584),
        ("205 1/4 in", 5213),  # 5213.35
        ("205-1/4 inches", 5213),
        ("1.125 in", 29),  # 28.575
        ('¾"', 19),  # 19.05
        ("1''", 25),
        ("1 foot", 305),
        ("3 / 4 in", 19),
    ],
)
def test_what_people_write(text, length_mm):
    assert parse_length(text) == length_mm


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("52oo", "'52oo' is no length"),
        ("", "a length is missing"),
        ("  ", "a length is missing"),
        ("-", "'-' is no length"),
        ("--5", "'--5' is no length"),
        ("5.", "'5.' is no length"),
        ("1 2 m", "'1 2 m' is no length"),
        ("1e3", "'1e3' is no length"),
        ("1/0 in", "'1/0 in' is no length"),
        ("5 yards", "'5 yards' is no length"),
        ("-5", "'-5' is below zero"),
        ("−2 m", "'−2 m' is below zero"),
        ("1001 m", "'1001 m' is over 1 km"),
        ("1,234", "'1,234' can be read as 1234 mm or 1.234 mm; write 1234 or round it"),
        ("1.234", "'1.234' can be read as 1234 mm or 1.234 mm; write 1234 or round it"),
        ("12,345 in", "'12,345 in' can be read as 12345 in or 12.345 in; write 12345 or round it"),
        ("9" * 5000, f"'{'9' * 40} …' is no length"),
    ],
)
def test_what_is_refused(text, says):
    with pytest.raises(ValueError) as caught:  # noqa: PT011 - the sentence is compared below
        parse_length(text)
    assert str(caught.value) == says


@pytest.mark.parametrize(("text", "level_mm"), [("-5", -5), ("−2 m", -2000), ("+5", 5), ("- 1'", -305), ("0", 0)])
def test_levels_have_a_sign(text, level_mm):
    assert parse_length(text, signed=True) == level_mm


@pytest.mark.parametrize("text", ["+-5", "--5", "+", "5-"])
def test_only_one_sign(text):
    with pytest.raises(ValueError, match="is no length"):
        parse_length(text, signed=True)


@pytest.mark.parametrize(
    ("length_mm", "unit", "shown"),
    [
        (5200, "mm", "5200 mm"),
        (5275, "cm", "527.5 cm"),
        (5200, "m", "5.2 m"),
        (5, "m", "0.005 m"),
        (-590, "m", "-0.59 m"),
        (5182, "ft", "17' 1/32\""),  # 5182 / 25.4 = 204.0157 in
        (3048, "ft", "10'"),
        (0, "ft", '0"'),
        (19, "in", "3/4 in"),
        (254, "in", "10 in"),
        (590, "in", "23 7/32 in"),
    ],
)
def test_how_lengths_are_shown(length_mm, unit, shown):
    assert show_length(length_mm, unit) == shown


@settings(max_examples=400, deadline=None, derandomize=True)
@given(st.integers(-LONGEST_MM, LONGEST_MM), st.sampled_from(["mm", "cm", "m", "in", "ft"]))
def test_what_is_shown_reads_back(length_mm, unit):
    assert parse_length(show_length(length_mm, unit), signed=True) == length_mm


@settings(max_examples=300, deadline=None, derandomize=True)
@given(st.decimals(0, 900, places=5), st.sampled_from([("m", 1000), ("in", Decimal("25.4")), ("ft", Decimal("304.8"))]))
def test_decimals_agree_with_decimal_arithmetic(amount, unit):
    exact = (amount * unit[1]).quantize(Decimal(1), ROUND_HALF_UP)
    assert parse_length(f"{amount} {unit[0]}") == exact


@settings(max_examples=500, deadline=None, derandomize=True)
@given(st.text(alphabet="0123456789 .,'\"/-+−½′mincft", max_size=12) | st.text(max_size=12), st.booleans())
def test_any_text_is_a_length_or_gives_a_sentence(text, signed):
    sentence = ""
    try:
        length_mm = parse_length(text, signed=signed)
    except ValueError as error:
        sentence = str(error)
    if sentence:
        assert "'" in sentence or sentence == "a length is missing"
    else:
        assert abs(length_mm) <= LONGEST_MM
        assert signed or length_mm >= 0
