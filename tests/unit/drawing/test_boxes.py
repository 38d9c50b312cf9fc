"""Boxes found by place, in the order of drawing, while groups come and go."""

from layoutest.drawing.boxes import MANY, Boxes
from layoutest.drawing.primitives import Box, Group


def group(name, x, y=0.0, size=10.0):
    return Group(name, Box(x, y, x + size, y + size), ((),))


def test_touching_goes_by_the_order_of_drawing():
    groups = {name: group(name, x) for name, x in (("a", 0), ("b", 5), ("c", 40))}
    boxes = Boxes.of(groups, ("c", "b", "a"))
    assert boxes.touching(Box(4, 4, 6, 6)) == ["b", "a"]
    assert boxes.touching(Box(-9, 0, 99, 1)) == ["c", "b", "a"]
    assert boxes.touching(Box(20, 0, 30, 1)) == []
    assert boxes.touching(Box(10, 10, 10, 10)) == ["b", "a"]  # edges belong to a box
    assert boxes.whole() == (0, 0, 50, 10)


def test_no_boxes():
    boxes = Boxes.of({}, ())
    assert boxes.whole() is None
    assert boxes.touching(Box(0, 0, 1, 1)) == boxes.in_order() == []


def test_changes_leave_the_old_boxes_as_they_were():
    groups = {name: group(name, x) for name, x in (("a", 0), ("b", 5))}
    before = Boxes.ranked(groups, {"a": (1.0, 0, "a"), "b": (2.0, 0, "b")})
    moved = before.changed({"a": (group("a", 100), (3.0, 0, "a")), "c": (group("c", 100), (2.5, 0, "c"))}, {"b"})
    assert moved.in_order() == ["c", "a"]
    assert moved.touching(Box(100, 0, 101, 1)) == ["c", "a"]
    assert moved.touching(Box(0, 0, 20, 1)) == []
    assert before.in_order() == ["a", "b"]
    assert before.touching(Box(0, 0, 20, 1)) == ["a", "b"]
    assert moved.rank("b") is None
    assert before.changed({}, ()) is before


def test_many_are_found_in_the_same_order_as_few():
    groups = {f"g{n}": group(f"g{n}", n % 7) for n in range(2 * MANY)}
    ranks = {name: (float(int(name[1:]) * 7919 % 101), 0, name) for name in groups}
    boxes = Boxes.ranked(groups, ranks)
    wanted = sorted(groups, key=ranks.__getitem__)
    assert boxes.touching(Box(0, 0, 99, 9)) == wanted == boxes.in_order()


def test_slots_are_used_again():
    boxes = Boxes.of({}, ())
    for turn in range(50):
        names = [f"t{turn}.{n}" for n in range(30)]
        boxes = boxes.changed({name: (group(name, turn), (0.0, 0, name)) for name in names}, boxes.in_order())
        assert boxes.in_order() == sorted(names)
        assert boxes.whole() == (turn, 0, turn + 10, 10)
