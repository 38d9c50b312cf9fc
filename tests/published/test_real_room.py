"""A real heating plant room, joined by its port table (source and licence: shared/real/NOTICE.md)."""

import math
import sys
from collections import Counter, defaultdict
from itertools import pairwise
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))
import real_room

from layoutest.book.reader import example_book_folder, read_book
from layoutest.job import Source, estimate_job

# Outside diameter: number of pipes and their length in metres, reckoned from the model itself.
SUMS = {
    26.9: (28, 8.854),
    33.7: (22, 15.969),
    60.3: (12, 17.608),
    88.9: (22, 19.139),
    165.1: (15, 14.787),
    168.3: (1, 0.531),
}
# Reducing elbows: their two sides differ, and the tables give one radius that is neither side's.
REDUCING_ELBOWS = {"F099", "F102", "F103", "F104"}


# Tees of which one pipe size is on the run and on the branch, with arms that differ.
TWO_ARMS = {"T-Stück DN150/150/150", "T-Stück DN50/25/25", "T-Stück DN80/50/50"}


@pytest.fixture(scope="module", name="room")
def estimated_room():
    return estimate_job([Source("room", "", real_room.layout())], read_book(example_book_folder()))


@pytest.fixture(scope="module", name="joints")
def named_joints():
    return {joint.name: joint for joint in real_room.joints()[0]}


def network(room):
    return room.copies[0].covering.network


def test_what_could_not_be_joined():
    """The port table has nothing for one end of two pipes, nor for one cap; everything else is joined."""
    joints, free = real_room.joints()
    assert sorted(pipe for pipe, _ in free) == ["S170", "S189"]
    parts = {part for joint in joints for part in joint.parts}
    assert set(real_room.fittings()) - parts == {"F106"}
    ends = Counter(pipe for joint in joints for pipe in joint.ends)
    assert set(ends) == set(real_room.segments()[0])
    assert set(ends.values()) == {2}


def test_facing_ends_stand_as_far_apart_as_the_ports_of_what_is_between():
    """chord_ports of the parts and the gaps between ports, against the end points of the pipes."""
    parts, gaps = real_room.fittings(), real_room.table("connections")
    checked = 0
    for joint in real_room.joints()[0]:
        if len(joint.ends) == 2:
            own = {*joint.parts, *joint.ends}
            wanted_mm = sum(float(parts[part]["chord_ports"]) for part in joint.parts)
            wanted_mm += sum(float(row["port_gap_mm"]) for row in gaps if {row["a"], row["b"]} <= own)
            assert math.dist(*joint.ends.values()) == pytest.approx(wanted_mm, abs=0.05), joint.parts
            checked += 1
    # 34 bends, 14 radiator valves and unions, 4 pumps, 9 valves, and a pipe on a pipe
    assert checked == 62


def test_fittings_of_one_type_have_arms_of_one_length():
    """Arms of tees and reducing elbows, which the tables do not give, do not differ within a type, side and size."""
    parts, (rows, _) = real_room.fittings(), real_room.segments()
    arms = defaultdict(list)
    for joint in real_room.joints()[0]:
        row = parts[joint.parts[0]] if len(joint.parts) == 1 else {}
        if row.get("kind") == "tee" or row.get("id") in REDUCING_ELBOWS:
            for pipe, end in joint.ends.items():
                arms[row["type"], rows[pipe]["od_profile"]].append(math.dist(end, joint.place))
    # A pipe size that stands both on the run and on the branch of a type has two lengths, told apart by their gap.
    for key, found in arms.items():
        found.sort()
        steps = [after - before for before, after in pairwise(found)]
        assert sum(step > 0.05 for step in steps) <= (key[0] in TWO_ARMS), key


def derived_lengths(room, joints):
    """Each pipe's length from its derived straight, less the allowances at its two ends."""
    found = {}
    for straight in network(room).straights.values():
        for leg, start, end in zip(straight.legs, straight.offsets_mm, straight.offsets_mm[1:], strict=False):
            taken = (real_room.allowance_mm(joints[node], leg.id)[0] for node in (leg.start, leg.end))
            found[leg.id] = end - start - sum(taken)
    return found


def test_straights_less_their_fittings_are_the_pipes(room, joints):
    rows, _ = real_room.segments()
    found = derived_lengths(room, joints)
    assert found.keys() == rows.keys()
    for name, row in rows.items():
        assert found[name] == pytest.approx(float(row["len_solid"]), abs=1.0), name


def test_sums_by_diameter(room, joints):
    rows, _ = real_room.segments()
    lengths = defaultdict(list)
    for name, found_mm in derived_lengths(room, joints).items():
        lengths[float(rows[name]["od_profile"])].append(found_mm)
    assert {diameter: len(found) for diameter, found in lengths.items()} == {d: n for d, (n, _) in SUMS.items()}
    for diameter, (count, metres) in SUMS.items():
        printed = sum(float(row["len_solid"]) for row in rows.values() if float(row["od_profile"]) == diameter)
        assert printed / 1000 == pytest.approx(metres, abs=0.0006)
        # within 1 mm each, and half a unit of the last place printed
        assert sum(lengths[diameter]) == pytest.approx(1000 * metres, abs=1.0 * count + 0.5)


def test_bends_are_derived_with_the_turns_of_the_table(room, joints):
    parts = real_room.fittings()
    named = {joint.parts[0]: name for name, joint in joints.items() if joint.parts}
    bends = {part: name for part, name in named.items() if parts[part]["kind"] == "bend"}
    assert len(bends) == sum(row["kind"] == "bend" for row in parts.values()) == 34
    drawn = {
        part
        for part, node in bends.items()
        if not all(real_room.allowance_mm(joints[node], pipe)[1] for pipe in joints[node].ends)
    }
    assert drawn == REDUCING_ELBOWS
    for part, node in bends.items():
        junction = network(room).junctions[node]
        assert junction.kind == "bend"
        assert junction.turn_deg == pytest.approx(float(parts[part]["angle_pset"]), abs=0.5)


def test_tees_are_derived_as_tees(room, joints):
    """14 tees of the table and one three-way valve; the reducing ones are a reducer with a branch."""
    parts = real_room.fittings()
    tees = [name for name, joint in joints.items() if any(parts[part]["kind"] == "tee" for part in joint.parts)]
    assert len(tees) == 14
    for node in tees:
        junction = network(room).junctions[node]
        assert junction.kind in ("tee", "reducer")
        assert [branch.angle_deg for branch in junction.branches] == [90.0]


def test_the_room_is_estimated(room):
    """DN150 pipes of 165.1 mm are loose in the bore of 168; DN25 branches are larger than the DN20 pipes they leave."""
    assert {snag.code for snag in room.snags if snag.severity != "note"} == {"branch-larger", "loose-bore"}
    assert room.complete
    laid = Counter(placed.named.name for stock in room.stocks for placed in stock.placed)
    assert set(laid.values()) == {1}
    assert len(laid) == sum(len(copy.runs) for copy in room.copies)
    assert sum(line.amount for line in room.cost.lines) == room.cost.net


def test_the_script_writes_a_layout(tmp_path):
    import runpy

    import layoutest

    path = tmp_path / "room.layout.json"
    argv, sys.argv = sys.argv, ["real_room.py", str(path)]
    try:
        runpy.run_path(real_room.__file__, run_name="__main__")
    finally:
        sys.argv = argv
    assert layoutest.load(path) == real_room.layout()
