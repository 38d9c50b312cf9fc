"""Finding the demo layouts, in a checkout and in an installed package."""

from __future__ import annotations

import pytest

from layoutest.errors import InternalError
from layoutest.tables import shipped


def test_the_folder_holds_the_example_book():
    assert (shipped.demo_folder() / "prices" / "book.toml").is_file()


def test_an_installed_package_has_its_own_and_a_checkout_has_it_beside(tmp_path, monkeypatch):
    package = tmp_path / "layoutest"
    monkeypatch.setattr(shipped, "_PACKAGE", package)
    with pytest.raises(InternalError) as caught:
        shipped.demo_folder()
    told = "the demo layouts are missing from this installation; install layoutest again"
    assert str(caught.value) == f"{package / '_demo_layouts'}: {told}"
    (tmp_path / "demo_layouts").mkdir()
    assert shipped.demo_folder() == tmp_path / "demo_layouts"
    (package / "_demo_layouts").mkdir(parents=True)
    assert shipped.demo_folder() == package / "_demo_layouts"
