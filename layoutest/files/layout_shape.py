"""The shape of a layout file: which keys there are, what each may hold, and the JSON Schema made from that.

One model a record of the document; the names and defaults of its fields are those of the record, so that a checked
model fills the record as it is. What refers to something else in the file is not shape and is judged elsewhere.
"""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field

from layoutest.files.layout_keys import FORMAT, VERSION
from layoutest.layout.document import ItemCover, ItemKind, Joints, OutlineKind, Slit, View  # noqa: TC001 - read when a model is built

# A key that may be left out but, where it stands, must hold a value: null is not one.
_NOT_GIVEN: Any = None
_DRAFT = "https://json-schema.org/draft/2020-12/schema"


def _whole(value: object) -> object:
    """Return 5200.0 as 5200, as JSON Schema has it; leave anything else alone."""
    return int(value) if isinstance(value, float) and value.is_integer() else value


Text = Annotated[str, Field(strict=True)]
Flag = Annotated[bool, Field(strict=True)]
WHOLE = BeforeValidator(_whole)  # stands last, so that the limits before it reach the schema
Number = Annotated[float, Field(strict=True, allow_inf_nan=False)]
Coordinate = Annotated[int, Field(strict=True, ge=-1_000_000, le=1_000_000), WHOLE]
Celsius = Annotated[Number, Field(ge=-273, le=1000)]
Thickness = Annotated[Number, Field(gt=0, le=500)] | Literal["auto"]
ElbowRadius = Annotated[Number, Field(ge=0, le=5000)]
NodeShape = tuple[Coordinate, Coordinate, Coordinate]

_NAME = {"minLength": 1, "maxLength": 60, "not": {"pattern": "[\\u0000-\\u001f\\u007f-\\u009f]"}}
_ID = {"minLength": 1, "maxLength": 60, "not": {"pattern": "[\\u0000-\\u001f\\u007f-\\u009f:]"}}
NAMED: dict[str, Any] = {"propertyNames": _NAME}
IDENTIFIED: dict[str, Any] = {"propertyNames": _ID}


class Shape(BaseModel):
    """What all records of a file share: unknown keys are no fault, and nothing is built before it is used."""

    model_config = ConfigDict(defer_build=True, extra="ignore")


class SettingsShape(Shape):
    """How pipes are covered and sections are cut in this layout."""

    bend_gap_mm: Annotated[
        Number, Field(gt=0, le=100, description="Furthest a mitred cover may stand off a bend, in millimetres.")
    ] = 10
    least_piece_mm: Annotated[
        int,
        Field(strict=True, ge=0, le=500, description="Shortest piece that may be used, in whole millimetres."),
        WHOLE,
    ] = 150
    kerf_mm: Annotated[
        int, Field(strict=True, ge=0, le=20, description="Width lost by one cut, in whole millimetres."), WHOLE
    ] = 0
    slit: Annotated[
        Slit, Field(description="Whether the slit may change sides at a mitre (free) or must stay in line (in-line).")
    ] = "free"
    joints: Annotated[
        Joints,
        Field(description="Joints where they save money (priced), as few as can be (fewest), or auto: by service."),
    ] = "auto"
    joint_overlap_mm: Annotated[
        Number, Field(ge=0, le=500, description="Tape added to each joint for its overlap, in millimetres.")
    ] = 50
    angle_tolerance_deg: Annotated[
        Number, Field(ge=0, le=5, description="Directions that differ by less than this are the same, in degrees.")
    ] = 0.5


class PipeShape(Shape):
    """A pipe of the layout's own, or the values that replace those of a shipped one; either key or both."""

    outside_diameter_mm: Annotated[
        Number, Field(ge=1, le=2000, description="Outside diameter of the pipe, in millimetres.")
    ] = _NOT_GIVEN
    elbow_radius_mm: Annotated[
        ElbowRadius, Field(description="Centre-line radius of its elbows, in millimetres; 0 means tight elbows.")
    ] = _NOT_GIVEN


class CriterionShape(Shape):
    """What the thickness of a service is to achieve."""

    criterion: Annotated[Text, Field(description="Name of the criterion, such as heat-loss.")]
    limit: Annotated[
        Number, Field(description="Value to keep to, in the unit of the criterion (heat loss: watts per metre).")
    ] = _NOT_GIVEN


class ServiceShape(Shape):
    """What flows in a pipe and how the pipe is to be covered."""

    name: Annotated[Text, Field(description="Name of the service in full.")] = ""
    contents: Annotated[Text, Field(description="What flows in the pipe, such as water.")] = ""
    fluid_c: Annotated[Celsius, Field(description="Temperature of what flows, in degrees Celsius.")] = _NOT_GIVEN
    ambient_c: Annotated[Celsius, Field(description="Temperature of the air around, in degrees Celsius.")] = _NOT_GIVEN
    relative_humidity: Annotated[
        Number, Field(ge=0, le=1, description="Relative humidity of the air around, as a fraction from 0 to 1.")
    ] = _NOT_GIVEN
    setting: Annotated[Text, Field(description="Where the pipes are, such as indoors.")] = "indoors"
    covering: Annotated[Text, Field(description="Covering, by its name in the price book.")] = _NOT_GIVEN
    thickness_mm: Annotated[
        Thickness, Field(description="Thickness of the covering in millimetres, or auto: chosen by the criteria.")
    ] = _NOT_GIVEN
    criteria: Annotated[
        tuple[CriterionShape, ...], Field(description="What the thickness is to achieve; all must be met.")
    ] = ()


class LegShape(Shape):
    """One straight line drawn between two nodes."""

    start: Annotated[Text, Field(alias="from", description="Id of the node where the leg starts.")]
    end: Annotated[Text, Field(alias="to", description="Id of the node where the leg ends.")]
    service: Annotated[Text, Field(description="Service, by its key under services.")]
    pipe: Annotated[Text, Field(description="Pipe, by its name under pipes or in the shipped table.")]
    measured_mm: Annotated[
        int,
        Field(
            strict=True,
            ge=1,
            le=1_000_000,
            description="Length taped on site from corner to corner, in whole millimetres.",
        ),
        WHOLE,
    ] = _NOT_GIVEN
    covered: Annotated[Flag, Field(description="Whether the leg is covered; false leaves it bare.")] = True
    covering: Annotated[Text, Field(description="Covering in place of the service's.")] = _NOT_GIVEN
    thickness_mm: Annotated[
        Thickness, Field(description="Thickness in millimetres in place of the service's, or auto.")
    ] = _NOT_GIVEN
    area: Annotated[Text, Field(description="Part of the building; bills are grouped by it.")] = ""
    access: Annotated[Text, Field(description="How the leg is reached, by its name in the price book.")] = ""


class FittingShape(Shape):
    """What the user wants at one bend in place of what would be chosen."""

    mitres: Annotated[
        int, Field(strict=True, ge=1, le=12, description="Number of mitres that make the bend."), WHOLE
    ] = _NOT_GIVEN
    elbow_radius_mm: Annotated[
        ElbowRadius, Field(description="Centre-line radius of this elbow, in millimetres; 0 means a tight elbow.")
    ] = _NOT_GIVEN
    cover: Annotated[Literal["preformed"], Field(description="A pre-formed cover in place of mitred pieces.")] = (
        _NOT_GIVEN
    )


class ItemShape(Shape):
    """Something in the line of a leg."""

    leg: Annotated[Text, Field(description="Id of the leg in which the item sits.")]
    at_mm: Annotated[
        Coordinate,
        Field(description="Distance of its middle from the leg's start along the drawn leg, in whole millimetres."),
    ]
    kind: Annotated[ItemKind, Field(description="What it is.")] = "valve"
    length_mm: Annotated[
        int,
        Field(
            strict=True,
            ge=1,
            le=1_000_000,
            description="Length along the pipe, in whole millimetres; left out: from a table.",
        ),
        WHOLE,
    ] = _NOT_GIVEN
    covered: Annotated[
        ItemCover,
        Field(description="Its cover: a removable jacket, the covering through over it, bare, or a hard insert."),
    ] = "jacket"
    clear_mm: Annotated[
        int,
        Field(strict=True, ge=0, le=1_000_000, description="Left free on both sides of it, in whole millimetres."),
        WHOLE,
    ] = 0


class OutlineShape(Shape):
    """A wall, a slab or a piece of plant."""

    kind: Annotated[OutlineKind, Field(description="What it is.")]
    outline: Annotated[
        tuple[tuple[Coordinate, Coordinate], ...],
        Field(min_length=3, description="Corners of the closed outline, each [x, y] in whole millimetres."),
    ]
    levels_mm: Annotated[
        tuple[Coordinate, Coordinate],
        Field(description="Level of its foot and of its top, the lower first, in whole millimetres; left out: all."),
    ] = _NOT_GIVEN


class SheetShape(Shape):
    """The single values at the top of a layout."""

    title: Annotated[Text, Field(description="Title of the sheet.")] = ""
    revision: Annotated[Text, Field(description="Revision of the sheet.")] = ""
    view: Annotated[View, Field(description="A plan shows x and y, an elevation shows x and level.")] = "plan"
    grid_mm: Annotated[
        int,
        Field(strict=True, ge=1, le=10_000, description="Spacing of the drawing grid, in whole millimetres."),
        WHOLE,
    ] = 100
    times: Annotated[
        int, Field(strict=True, ge=1, le=1000, description="How many times the layout is built in a job."), WHOLE
    ] = 1


class LayoutShape(SheetShape):
    """A network of pipes as it was drawn, with what its covering needs. Unknown keys are kept."""

    model_config = ConfigDict(title="Layout")

    format: Annotated[Literal["layoutest-layout"], Field(description="Tells that this file is a layout.")]
    version: Annotated[Literal[1], Field(description="Version of the shape of the file.")]
    settings: Annotated[SettingsShape, Field(description="Rules for covering pipes and cutting sections.")] = _NOT_GIVEN
    pipes: Annotated[
        dict[str, PipeShape],
        Field(json_schema_extra=NAMED, description="Pipes by name, added to or in place of the shipped table."),
    ] = _NOT_GIVEN
    services: Annotated[dict[str, ServiceShape], Field(json_schema_extra=NAMED, description="Services by key.")]
    nodes: Annotated[
        dict[str, NodeShape],
        Field(json_schema_extra=IDENTIFIED, description="Nodes by id, each [x, y, level] in whole millimetres."),
    ]
    legs: Annotated[dict[str, LegShape], Field(json_schema_extra=IDENTIFIED, description="Legs by id.")]
    fittings: Annotated[
        dict[str, FittingShape],
        Field(json_schema_extra=IDENTIFIED, description="Wishes for single bends, by the id of the node."),
    ] = _NOT_GIVEN
    items: Annotated[
        dict[str, ItemShape], Field(json_schema_extra=IDENTIFIED, description="Valves and other items in line, by id.")
    ] = _NOT_GIVEN
    structure: Annotated[
        dict[str, OutlineShape], Field(json_schema_extra=IDENTIFIED, description="Walls, slabs and plant, by id.")
    ] = _NOT_GIVEN


def layout_schema() -> dict[str, Any]:
    """Return the JSON Schema (draft 2020-12) of a layout file.

    It accepts what the reader accepts, but for what refers to something else in the file: ids that name nothing,
    ids used twice and levels in the wrong order.
    """
    made = LayoutShape.model_json_schema()
    for record in (made, *made["$defs"].values()):
        for value in record["properties"].values():
            value.pop("title", None)
            if value.get("default", value) is None:
                del value["default"]
    for name, record in made["$defs"].items():
        record["title"] = name.removesuffix("Shape")
    order = {key: made["properties"][key] for key in ("format", "version", *made["properties"])}
    return {"$schema": _DRAFT, "$id": f"urn:{FORMAT}:{VERSION}", **made, "properties": order}
