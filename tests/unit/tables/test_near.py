"""Names offered in place of a mistyped one."""

from __future__ import annotations

import pytest

from layoutest.tables.near import near
from layoutest.tables.reference import shipped_pipes


@pytest.mark.parametrize(
    ("name", "told"),
    [
        ("copper 23", "; near: 'copper 22', 'copper 28'"),
        ("Steel dn50", "; near: 'steel DN50', 'steel DN150'"),
        ("press22", "; near: 'press 22', 'press 12'"),
        ("duct", ""),
        ("", ""),
        ("copper 2" * 20, ""),
    ],
)
def test_the_nearest_pipes_are_offered(name, told):
    assert near(name, shipped_pipes()) == told


def test_the_order_of_the_known_names_does_not_matter():
    names = ["xbc", "abe", "abd", "abf"]
    assert near("abc", names) == near("abc", names[::-1]) == "; near: 'abd', 'abe'"
