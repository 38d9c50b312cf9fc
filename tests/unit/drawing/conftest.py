"""Small layouts, drawn in a few words and pictured on the sheet."""

from __future__ import annotations

import pytest

from layoutest.cover.covering import cover
from layoutest.drawing.pipes import sheet_groups
from layoutest.drawing.primitives import Polygon, Polyline


class Pictured:
    """A layout with its covering and its picture."""

    def __init__(self, sketched, joints):
        self.layout = sketched.layout
        self.covering = cover(sketched.network)
        self.picture = sheet_groups(self.covering, joints)

    def parts(self, name, detail=3):
        """The primitives of a group, the coarsest at 0."""
        return self.picture.groups[name].details[detail]

    def body(self, name):
        """The corners of the only body of a straight."""
        (body,) = self.bodies(name)
        return body

    def bodies(self, name):
        return [part.points for part in self.parts(name) if isinstance(part, Polygon) and part.fill.startswith("body:")]

    def lines(self, name, style, detail=3):
        return [part for part in self.parts(name, detail) if isinstance(part, Polyline) and part.style == style]


@pytest.fixture
def pictured(sketch):
    """Make a layout as `sketch` does, and its picture with joints at the places given for each straight."""

    def make(nodes, legs, *, joints=None, **parts):
        return Pictured(sketch(nodes, legs, **parts), joints or {})

    return make
