"""Order along the run: joints keep off zones where they can."""

from __future__ import annotations

from itertools import permutations

from layoutest.pack.order import order_along, places_along
from layoutest.pack.plan import pack
from layoutest.pack.problem import PackRun, Piece, Problem


def pieces_of(*lengths):
    last = len(lengths) - 1
    return [Piece(0, at == 0, at == last, length, False, 0) for at, length in enumerate(lengths)]


def order(lengths, ends=(0.0, 0.0), zones=()):
    found = order_along(PackRun("r", sum(lengths), ends), pieces_of(*lengths), zones)
    return [lengths[index] for index in found.pieces], list(found.from_mm), list(found.missed_mm)


def test_without_zones_the_order_is_the_natural_one():
    run = PackRun("r", 2500)
    pieces = pieces_of(1000, 900, 600)
    assert order_along(run, pieces[::-1]).pieces == (2, 1, 0)
    assert order([1000, 900, 600]) == ([1000, 900, 600], [0, 1000, 1900], [])


def test_a_joint_moves_off_a_branch():
    assert order([1000, 1000, 500], zones=[(950, 1050)]) == ([500, 1000, 1000], [0, 500, 1500], [])


def test_the_edge_of_a_zone_is_free():
    assert order([1000, 500], zones=[(1000, 1100)]) == ([1000, 500], [0, 1000], [])


def test_a_mitred_piece_stays_at_its_end():
    assert order([1000, 1000, 500], ends=(45.0, 0.0), zones=[(950, 1050)])[2] == [1000]
    assert order([1000, 700, 500, 300], ends=(45.0, 45.0), zones=[(1650, 1750)])[0] == [1000, 500, 700, 300]


def test_up_to_seven_pieces_no_order_misses_less():
    lengths = [1000, 810, 640, 450, 330, 220, 150]
    zones = [(at, at + 190) for at in range(120, 3600, 300)]

    def missed(row):
        joints = [sum(row[:cut]) for cut in range(1, len(row))]
        return sum(any(low < at < high for low, high in zones) for at in joints)

    least = min(missed(row) for row in permutations(lengths))
    assert len(order(lengths, zones=zones)[2]) == least


def test_a_run_of_a_kilometre_is_ordered_too():
    lengths = [1000] * 1200 + [600]
    row, from_mm, missed = order(lengths, zones=[(4950, 5050), (900_950, 901_050)])
    assert sorted(row) == sorted(lengths)
    assert missed == []
    assert from_mm[-1] + row[-1] == sum(lengths)


def test_every_piece_of_a_plan_has_its_place():
    runs = (PackRun("a", 3300, (45.0, 0.0)), PackRun("b", 400))
    plan = pack(Problem("x", 1000, 55.0, runs, rule="fewest"))
    from_mm, missed = places_along(plan, {0: [(0, 3300)]})
    covered = sorted(
        (piece.run, from_mm[number, at], piece.length_mm)
        for number, section in enumerate(plan.sections)
        for at, piece in enumerate(section.pieces)
    )
    assert covered == [(0, 0, 300), (0, 300, 1000), (0, 1300, 1000), (0, 2300, 1000), (1, 0, 400)]
    assert missed == {0: (300, 1300, 2300)}
