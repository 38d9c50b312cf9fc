"""The tree and the words of the house."""

import tomllib
from pathlib import Path

TOP = Path(__file__).parents[2]
LAYERS = tomllib.loads((TOP / "pyproject.toml").read_text())["tool"]["importlinter"]["contracts"][0]["layers"]


def test_every_room_is_in_the_picture_of_the_layers():
    rooms = {name.strip() for layer in LAYERS for name in layer.split("|")}
    text = (TOP / "DEVELOPERS.md").read_text()
    picture = text.split("## The layers")[1].split("```")[1]
    drawn = {name.strip() for line in picture.strip().splitlines() for name in line.split("  ")[0].split("|")}
    assert rooms <= drawn


def test_every_verb_is_in_the_readme():
    from layoutest.cli import VERBS

    readme = (TOP / "README.md").read_text()
    for verb in VERBS:
        assert f"`layoutest {verb}" in readme
