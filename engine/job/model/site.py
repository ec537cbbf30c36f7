"""The site: what stands, grows, lies buried or may not be crossed, each drawn by the names of surveyed points."""

from typing import Annotated, Literal

from pydantic import Field

from engine.job.model.base import Feet, Id, Inches, LongFeet, LongInches, Part, ShortText, Side, Text

UtilityKind = Literal["gas", "electric", "water", "sewer", "septic", "communication", "irrigation", "lighting", "overhead", "other"]
ObstacleKind = Literal["rock", "roots", "slab", "wall", "pit", "bed", "other"]

Corners = Annotated[tuple[Id, ...], Field(min_length=2, max_length=200)]


class Structure(Part):
    """A wall or building face through points; `holds_eyes` where solid wood or masonry may carry a cable eye."""

    kind: Literal["house", "shed", "wall", "deck post", "other"] = "house"
    points: Corners
    height_ft: LongFeet | None = None
    holds_eyes: bool = True
    note: Text = ""


class Tree(Part):
    """A tree at a point, its diameter at the height of the eyes."""

    point: Id
    diameter_in: LongInches
    sound: bool = True
    species: ShortText = ""
    note: Text = ""


class Obstacle(Part):
    """Ground where nothing may be driven: round about one point, or the area between three or more. One with a height can be stood on."""

    kind: ObstacleKind
    points: Annotated[tuple[Id, ...], Field(min_length=1, max_length=200)]
    radius_ft: Feet = 0.0
    height_ft: LongFeet | None = None
    note: Text = ""


class Utility(Part):
    """A buried (or overhead) line through points; the tolerance is added each side of its own width."""

    kind: UtilityKind
    points: Corners
    width_in: Inches = 0.0
    tolerance_in: Annotated[
        Inches, Field(description="hand-dig zone each side beyond the width; Common Ground Alliance Best Practices 5.19: 18 in")
    ] = 18.0
    depth_in: Inches | None = None
    note: Text = ""


class Boundary(Part):
    """A property line through points; `client_side` is seen walking along it in the order of the points."""

    points: Corners
    client_side: Side
    setback_ft: Feet = 0.0
    note: Text = ""


class Deck(Part):
    """A deck or other flooring the fence passes or protects."""

    points: Annotated[tuple[Id, ...], Field(min_length=3, max_length=200)]
    height_ft: Feet = 0.0
    open_under: bool = True
    note: Text = ""
