"""What is loaded when, and what the package offers."""

import subprocess
import sys

import pytest

import layoutest

HEAVY = ("numpy", "networkx", "pydantic", "shapely", "pygame", "rich")


def loaded_after(code):
    script = f"import sys\n{code}\nprint(*sorted({{name.partition('.')[0] for name in sys.modules}}))"
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    return set(done.stdout.splitlines()[-1].split())


def test_help_loads_nothing_heavy():
    code = "from layoutest.cli import run\nassert run(['--help']) == 0"
    loaded = loaded_after(code)
    assert "click" in loaded
    assert not set(HEAVY) & loaded


def test_import_loads_nothing_heavy():
    assert not set(HEAVY) & loaded_after("import layoutest")


def test_an_estimate_never_loads_the_window():
    code = (
        "import layoutest\n"
        "layout = layoutest.load('demo_layouts/first-five-minutes.layout.json')\n"
        "layoutest.estimate(layout, layoutest.load_prices())"
    )
    loaded = loaded_after(code)
    assert "networkx" in loaded
    assert "pygame" not in loaded


def test_public_names_are_the_exported_ones():
    assert sorted(layoutest.__all__) == ["estimate", "load", "load_prices", "save"]
    for name in layoutest.__all__:
        assert callable(getattr(layoutest, name))


def test_unknown_public_name():
    with pytest.raises(AttributeError, match="module 'layoutest' has no attribute 'nothing'"):
        layoutest.nothing  # noqa: B018


def test_the_command_as_a_module():
    done = subprocess.run([sys.executable, "-m", "layoutest", "--version"], capture_output=True, text=True, check=True)
    assert done.stdout.startswith("layoutest ")
