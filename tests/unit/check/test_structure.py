"""Covered pipes that pass walls and slabs."""

from __future__ import annotations

import pytest

from layoutest.layout.document import Outline

WALL = Outline("wall", ((0, 300), (9000, 300), (9000, 500), (0, 500)), (0, 3000))
SLAB = Outline("slab", ((0, 0), (9000, 0), (9000, 9000), (0, 9000)), (2800, 3000))
TOLD = [("crosses-structure", "l1", "w1")]


@pytest.fixture
def crossed(sketch):
    def make(start, end, outline, **fields):
        return sketch({"n1": start, "n2": end}, {"l1": ("n1 n2", fields)}, structure={"w1": outline}).codes()

    return make


def test_the_words(sketch):
    made = sketch({"n1": (50, 0, 900), "n2": (50, 900, 900)}, {"l1": "n1 n2"}, structure={"w1": WALL})
    snag = made.only("crosses-structure")
    assert (snag.severity, snag.where) == ("note", ("l1", "w1"))
    assert snag.says == "A covered pipe passes a wall; the covering inside it is counted."
    assert snag.group == "mid, stone-wool-foil 60x40, wall"
    assert snag.do == "Fire stopping and sleeve are by others: a tested system, fitted by a competent installer."


@pytest.mark.parametrize(
    ("start", "end"),
    [
        pytest.param((50, 0, 900), (50, 900, 900), id="straight through"),
        pytest.param((50, 0, 900), (7000, 900, 2000), id="slanting"),
        pytest.param((50, 0, 900), (50, 400, 900), id="ending inside"),
        pytest.param((50, 400, 900), (8000, 400, 900), id="along its middle"),
        pytest.param((50, 400, 900), (50, 400, 5000), id="upright, inside it"),
        pytest.param((50, 0, 2000), (50, 900, 4000), id="rising, through below its top"),
    ],
)
def test_a_wall_passed(crossed, start, end):
    assert crossed(start, end, WALL) == TOLD


@pytest.mark.parametrize(
    ("start", "end"),
    [
        pytest.param((50, 0, 900), (50, 200, 900), id="short of it"),
        pytest.param((50, 0, 900), (50, 300, 900), id="ending at its face"),
        pytest.param((50, 300, 900), (9000, 300, 900), id="along its face"),
        pytest.param((0, 0, 900), (0, 900, 900), id="along its end"),
        pytest.param((50, 0, 3200), (50, 900, 3200), id="above it"),
        pytest.param((50, 0, 3000), (50, 900, 3000), id="on its top"),
        pytest.param((50, 0, 0), (50, 900, 0), id="at its foot"),
        pytest.param((50, 0, 2700), (50, 900, 5000), id="rising, over it"),
        pytest.param((50, 100, 900), (50, 100, 5000), id="upright, beside it"),
        pytest.param((50, 300, 900), (50, 300, 2000), id="upright, at its face"),
        pytest.param((50, 400, 3000), (50, 400, 5000), id="upright, from its top"),
    ],
)
def test_a_wall_not_passed(crossed, start, end):
    assert crossed(start, end, WALL) == []


@pytest.mark.parametrize(
    ("start", "end", "told"),
    [
        pytest.param((500, 500, 0), (500, 500, 5000), TOLD, id="a riser through"),
        pytest.param((500, 500, 5000), (500, 500, 0), TOLD, id="a drop through"),
        pytest.param((500, 500, 0), (2000, 700, 5000), TOLD, id="slanting"),
        pytest.param((500, 500, 0), (500, 500, 2800), [], id="up to it"),
        pytest.param((500, 500, 2400), (1100, 1100, 2800), [], id="slanting, up to it"),
        pytest.param((-500, 500, 0), (-500, 500, 5000), [], id="outside it"),
        pytest.param((500, 500, 1000), (5000, 500, 1000), [], id="under it"),
    ],
)
def test_a_slab(crossed, start, end, told):
    assert crossed(start, end, SLAB) == told


def test_a_slab_is_told_apart_from_a_wall_of_the_same_pipe(sketch):
    nodes = {"n1": (50, 400, 0), "n2": (50, 400, 5000)}
    made = sketch(nodes, {"l1": "n1 n2"}, structure={"w1": WALL, "sl1": SLAB})
    told = {snag.where: (snag.group, snag.says) for snag in made.snags()}
    assert told == {
        ("l1", "sl1"): (
            "mid, stone-wool-foil 60x40, slab",
            "A covered pipe passes a slab; the covering inside it is counted.",
        ),
        ("l1", "w1"): (
            "mid, stone-wool-foil 60x40, wall",
            "A covered pipe passes a wall; the covering inside it is counted.",
        ),
    }


def test_an_outline_without_levels_is_at_all_levels(crossed):
    endless = Outline("wall", WALL.outline)
    assert crossed((50, 0, 99_000), (50, 900, 99_000), endless) == TOLD
    assert crossed((50, 400, -100), (50, 400, 100), endless) == TOLD


def test_plant_is_not_told(crossed):
    assert crossed((50, 0, 900), (50, 900, 900), Outline("plant", WALL.outline, (0, 3000))) == []


def test_a_bare_leg_is_not_told(crossed):
    assert crossed((50, 0, 900), (50, 900, 900), WALL, covered=False) == []


def test_a_measured_leg_is_not_judged(crossed):
    assert crossed((50, 0, 900), (50, 900, 900), WALL, measured_mm=950) == [("measured-not-checked", "l1")]


@pytest.mark.parametrize(
    "outline",
    [
        pytest.param(((0, 300), (9000, 500), (9000, 300), (0, 500)), id="a bow tie"),
        pytest.param(((0, 400), (9000, 400), (4000, 400)), id="without any width"),
        pytest.param(((0, 400), (4000, 400), (4000, 700), (4000, 400), (0, 400)), id="lines only"),
        pytest.param(((0, 300), (1000, 300), (1000, 500), (0, 500), (0, 300), (-900, 300)), id="with a spur"),
    ],
)
def test_a_careless_outline_is_passed_all_the_same(crossed, outline):
    assert crossed((50, 0, 900), (50, 900, 900), Outline("wall", outline, (0, 3000))) == TOLD
    assert crossed((50, 0, 900), (50, 200, 900), Outline("wall", outline, (0, 3000))) == []


def test_an_outline_of_one_point(crossed):
    post = Outline("wall", ((50, 400), (50, 400), (50, 400)), (0, 3000))
    assert crossed((0, 400, 900), (90, 400, 900), post) == TOLD
    assert crossed((0, 410, 900), (90, 410, 900), post) == []
    assert crossed((50, 400, 900), (50, 400, 950), post) == TOLD
    assert crossed((50, 401, 900), (50, 401, 950), post) == []


def test_an_upright_leg_in_an_outline_without_any_width(crossed):
    line = Outline("wall", ((0, 400), (9000, 400), (4000, 400)), (0, 3000))
    assert crossed((50, 400, 900), (50, 400, 950), line) == TOLD
    assert crossed((50, 401, 900), (50, 401, 950), line) == []


def test_each_leg_and_each_wall_is_told_in_order(sketch):
    nodes = {"n1": (50, 0, 900), "n2": (50, 900, 900), "n3": (90, 0, 900), "n4": (90, 900, 900)}
    second = Outline("wall", ((0, 600), (9000, 600), (9000, 700), (0, 700)))
    made = sketch(nodes, {"l10": "n1 n2", "l9": "n3 n4"}, structure={"w10": WALL, "w2": second})
    assert [snag.where for snag in made.snags()] == [("l9", "w2"), ("l9", "w10"), ("l10", "w2"), ("l10", "w10")]
