from __future__ import annotations

import pytest

from layoutest.edit.tables import FARTHEST_MM, changed
from layoutest.files.layout_shape import layout_schema
from layoutest.layout.document import Node


def test_the_farthest_place_is_that_of_a_file():
    place = layout_schema()["properties"]["nodes"]["additionalProperties"]["prefixItems"][0]
    assert (place["minimum"], place["maximum"]) == (-FARTHEST_MM, FARTHEST_MM)


def test_what_does_not_change_stays_the_same_object(pipe):
    moved = changed(pipe, {"nodes": {"n1": Node(0, 0, 2400), "n2": Node(5, 0, 2400)}, "legs": dict(pipe.legs)})
    assert moved.legs is pipe.legs
    assert moved.nodes["n1"] is pipe.nodes["n1"]
    with pytest.raises(TypeError):
        moved.nodes["n3"] = Node(0, 0, 0)


def test_no_change_gives_the_same_layout(pipe):
    assert changed(pipe, {"nodes": dict(pipe.nodes)}, {"legs": ("l9",), "items": ()}) is pipe
