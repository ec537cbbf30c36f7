"""What can be entered: one form a kind of record. What a field is (a length, a choice, yes or no) is read from the record's model."""

from dataclasses import dataclass
from functools import cached_property

from engine.job.model.base import Part
from engine.job.model.fence import Fence, FenceLine, Gate, HeightChange, Surface, Yard
from engine.job.model.people import Dog, UtilityNotice, Who
from engine.job.model.rules import ASKED_NO_MORE, Rules
from engine.job.model.shots import LegShot, LevelShot, OffsetShot, PacesShot, Point, TapeShot, TieShot
from engine.job.model.site import Boundary, Deck, Obstacle, Structure, Tree, Utility
from engine.job.model.stock_row import StockRow

NAME = "id"


@dataclass(frozen=True)
class Field:
    """One line of a form: the field of the model (or `id`, the record's own name) and what it is called.

    `pick` names the list it is picked from (a literal or yes and no need none), `new` lets a name stand that isn't in that list.
    `follow` says what the next record starts with: "keep" the same, "count" the next point, "step" the next station, "=KEY" what KEY
    said; nothing leaves it empty.
    """

    key: str
    label: str
    pick: str = ""
    new: bool = False
    follow: str = ""
    hint: str = ""


@dataclass(frozen=True)
class Form:
    """One kind of record: `title` in the list, `one` of it, its model, its table of the job, and what is told of its fields.

    The fields are those told of, in that order, then whatever else the model holds under its own words; a note comes last.
    `method` is the method of a shot; `section` that of the rules. A form without a name field is named by itself (a shot) or is the
    only record of its table.
    """

    title: str
    one: str
    model: type[Part]
    table: str
    told: tuple[Field, ...] = ()
    method: str = ""
    section: str = ""
    hint: str = ""

    @cached_property
    def fields(self) -> tuple[Field, ...]:
        """Every field, in the order they are filled."""
        told = {field.key for field in self.told}
        unasked = {*told, "method", *ASKED_NO_MORE}
        rest = (Field(key, _words(key)) for key in self.model.model_fields if key not in unasked)
        return tuple(sorted((*self.told, *rest), key=lambda field: field.key == "note"))

    @property
    def kind(self) -> str:
        """What tells it from the others."""
        return "-".join(part for part in (self.table, self.method or self.section) if part)

    @property
    def named(self) -> bool:
        """Whether the crew names the record."""
        return bool(self.told) and self.told[0].key == NAME

    @property
    def single(self) -> bool:
        """Whether there is always exactly one."""
        return not self.named and not self.method


def _name(label: str = "Name", pick: str = "", hint: str = "") -> Field:
    return Field(NAME, label, pick, hint=hint)


def _shot(title: str, one: str, model: type[Part], method: str, *fields: Field) -> Form:
    return Form(title, one, model, "shots", fields, method=method)


def _rules(section: str) -> Form:
    model = type(getattr(Rules(), section))
    return Form(f"Rules: {section}", f"rules for {section}", model, "rules", section=section)


def _words(key: str) -> str:
    stem, _, unit = key.rpartition("_")
    words = stem if unit in ("ft", "in") else f"{stem} ({unit})" if unit in ("lbf", "pct", "deg", "F", "mph", "psf") else key
    return f"{words[:1].upper()}{words[1:]}".replace("_", " ")


ON_SLOPE = "Only where the tape ran on the slope: how much higher its far end is."
BEARING = "Like N 45 30 E, or degrees clockwise from north."
NEW_POINT = Field("point", "New point", "points", new=True, follow="count", hint="A new name, or one that was measured before.")
STATION = "Taped along the line from its start."
CORNERS = Field("points", "Points", "points", hint="Names with a space between, in the order you walk them.")

FORMS = (
    Form(
        "Job heading", "job heading", Who, "job",
        (
            Field("number", "Number"), Field("title", "Title"), Field("client", "Client"), Field("site", "Site"),
            Field("crew", "Crew", hint="Names with commas between."),
        ),
    ),
    Form(
        "One-call notice", "one-call notice", UtilityNotice, "utility_notice",
        (
            Field("ticket", "Ticket"), Field("called", "Called on"), Field("earliest_start", "Earliest start"), Field("expires", "Expires"),
            Field("marks_seen", "Marks seen", hint="Yes once every mark on the ground has been walked. Nothing is driven before that."),
        ),
    ),
    Form(
        "Known points", "known point", Point, "points",
        (
            _name(hint="A house corner, a survey pin: give the first one east 0 and north 0, the second along the wall."),
            Field("east_ft", "East"), Field("north_ft", "North"),
        ),
    ),
    _shot(
        "Ties: two tapes", "tie", TieShot, "tie",
        NEW_POINT, Field("from_a", "From A", "points", follow="keep"),
        Field("from_b", "From B", "points", follow="keep"),
        Field("side", "Side", follow="keep", hint="Seen walking from A to B."), Field("tape_a_ft", "Tape from A"),
        Field("tape_b_ft", "Tape from B"), Field("rise_a_ft", "Higher than A", hint=ON_SLOPE),
        Field("rise_b_ft", "Higher than B", hint=ON_SLOPE),
    ),
    _shot(
        "Tapes: one, or a check", "tape", TapeShot, "tape",
        Field("from_point", "From", "points", new=True, follow="keep"), Field("to_point", "To", "points", new=True),
        Field("length_ft", "Length"), Field("rise_ft", "Ends higher by", hint=ON_SLOPE),
    ),
    _shot(
        "Offsets from a base", "offset", OffsetShot, "offset",
        NEW_POINT, Field("base_from", "Base from", "points", follow="keep"),
        Field("base_to", "Base to", "points", follow="keep"),
        Field("side", "Side", follow="keep", hint="Seen walking along the base."), Field("along_ft", "Along the base"),
        Field("offset_ft", "Square off it"),
    ),
    _shot(
        "Legs: bearing, length", "leg", LegShot, "leg",
        Field("from_point", "From", "points", new=True, follow="=to_point"), Field("to_point", "To", "points", new=True, follow="count"),
        Field("azimuth_deg", "Bearing", hint=BEARING), Field("length_ft", "Length"),
        Field("rise_ft", "Ends higher by", hint=ON_SLOPE),
    ),
    _shot(
        "Paces", "paces", PacesShot, "paces",
        Field("from_point", "From", "points", new=True, follow="keep"), Field("to_point", "To", "points", new=True),
        Field("paces", "Steps", hint="Single steps; how long one is stands in the rules for survey."),
        Field("azimuth_deg", "Bearing", hint=f"{BEARING} Empty where none was taken."),
    ),
    _shot(
        "Levels along a line", "level", LevelShot, "level",
        Field("line", "Line", "lines", follow="keep"), Field("station_ft", "Station", follow="step"),
        Field("level_ft", "Level", hint="Ground level above the job's zero; or leave it empty and give the rod and the instrument."),
        Field("rod_ft", "Rod reading", hint="Down from the instrument to the ground."),
        Field("instrument_ft", "Instrument", follow="keep", hint="Its height above the job's zero; only with a rod reading."),
        Field("offset_ft", "Beside the line", hint="Empty on the line; right of it, - left: the ground that a gate swings over."),
    ),
    Form(
        "Structures", "structure", Structure, "structures",
        (_name(), Field("kind", "What it is", follow="keep"), CORNERS, Field("height_ft", "Height"),
         Field("holds_eyes", "Holds eyes", hint="Yes where solid wood or masonry can carry a cable eye.")),
    ),
    Form(
        "Trees", "tree", Tree, "trees",
        (_name(), Field("point", "Point", "points"), Field("diameter_in", "Diameter", hint="At the height of the eyes."),
         Field("sound", "Sound"), Field("species", "Species")),
    ),
    Form(
        "Obstacles", "obstacle", Obstacle, "obstacles",
        (_name(), Field("kind", "What it is"),
         Field("points", "Points", "points", hint="One point and a radius, or three or more corners."),
         Field("radius_ft", "Keep clear", hint="All round one point."),
         Field("height_ft", "Height", hint="Where a dog can stand on it.")),
    ),
    Form(
        "Utilities", "utility", Utility, "utilities",
        (_name(), Field("kind", "What it is"), CORNERS, Field("width_in", "Width"), Field("tolerance_in", "Tolerance"),
         Field("depth_in", "Depth")),
        hint="As the one-call marks show it. Call before anything is driven.",
    ),
    Form(
        "Boundaries", "boundary", Boundary, "boundaries",
        (_name(), CORNERS, Field("client_side", "Client's side", hint="Seen walking along the points."),
         Field("setback_ft", "Setback")),
    ),
    Form(
        "Decks", "deck", Deck, "decks",
        (_name(), CORNERS, Field("height_ft", "Height"), Field("open_under", "Open under")),
    ),
    Form(
        "Lines", "line", FenceLine, "lines",
        (_name(), CORNERS, Field("start_meets", "Start meets"),
         Field("start_at", "Start at", "meets", hint="The structure, tree or line that the start meets."),
         Field("end_meets", "End meets"), Field("end_at", "End at", "meets", hint="The structure, tree or line that the end meets.")),
    ),
    Form(
        "Hard ground on a line", "hard stretch", Surface, "surfaces",
        (
            _name(), Field("line", "Line", "lines", follow="keep"), Field("from_ft", "From station", hint=STATION),
            Field("to_ft", "To station"), Field("kind", "What it is", follow="keep"),
            Field("height_ft", "Deck floor", hint="Of a deck: its floor above the ground where the stretch begins."),
            Field("rail_ft", "Rail height", hint="Of a deck: over its floor. The fence on it is that high; empty, as high as elsewhere."),
            Field("open_under", "Open under", hint="Of a deck: yes where a dog can get under it."),
            Field("tread_count", "Treads", hint="Of steps: how many, from the first riser to the back of the top tread."),
            Field("drive_through", "Drive through", hint="Yes where a post may be driven all the same, as in a cored hole."),
        ),
    ),
    Form(
        "Changes of height", "change of height", HeightChange, "heights",
        (
            _name(), Field("line", "Line", "lines", follow="keep"), Field("from_ft", "From station", hint=STATION),
            Field("to_ft", "To station", hint="The height changes at the posts nearest to both."),
            Field("height_ft", "Height", hint="Of the fence in this stretch."),
        ),
    ),
    Form(
        "Gates", "gate", Gate, "gates",
        (_name(), Field("line", "Line", "lines"), Field("station_ft", "Station", hint="Of its post nearer the line's start."),
         Field("leaf_width_ft", "Leaf width"), Field("leaves", "Leaves"),
         Field("height_ft", "Height", hint="Of its top over the ground; empty, as high as the fence beside it."),
         Field("hinge", "Hinge at", hint="Nearer the line's start or end."),
         Field("opens", "Opens to", hint="Seen walking along the line.")),
    ),
    Form(
        "Yards", "yard", Yard, "yards",
        (_name(), Field("inside", "Point inside", "points"), Field("name", "Called")),
    ),
    Form(
        "Dogs", "dog", Dog, "dogs",
        (_name(), Field("count", "How many"), Field("weight_lb", "Weight (lb)"), Field("shoulder_in", "Shoulder height"),
         Field("body_in", "Body length", hint="Nose tip to base of tail."), Field("jumps", "Jumps"), Field("climbs", "Climbs"),
         Field("digs", "Digs"), Field("chews", "Chews"), Field("yard", "Yard", "yards", follow="keep")),
    ),
    Form(
        "Fence", "fence", Fence, "fence",
        (
            Field("height_ft", "Height"), Field("cable", "Cable", "cable"), Field("post", "Post", "post"),
            Field("sleeve", "Sleeve", "sleeve"), Field("brace", "Brace", "brace"),
            Field("wire", "Wire", "wire", hint="Empty: what suits the height."),
            Field("mesh", "Mesh", "mesh", hint="Empty: what suits the height."), Field("gate_tube", "Gate tube", "gate tube"),
        ),
    ),
    Form(
        "Stock on the truck", "stock row", StockRow, "stock",
        (
            _name("Stock", pick="stock"), Field("loaded", "Loaded", hint="Packs, rolls or pieces on the truck."),
            Field("kind", "Kind"), Field("name", "Called"), Field("per_pack", "In a pack"), Field("price", "Price"),
            Field("length_ft", "Length"), Field("width_in", "Width"), Field("diameter_in", "Diameter"), Field("wall_in", "Wall"),
            Field("yield_psi", "Yield (psi)"), Field("strength_lbf", "Strength (lbf)"), Field("weight_plf", "Weight (lb/ft)"),
            Field("modulus_psi", "Modulus (psi)"), Field("construction", "Construction"), Field("wire_in", "Wire"),
            Field("pitch_in", "Opening"), Field("pitch2_in", "Other opening"), Field("source", "Source"),
        ),
        hint="Anything left empty stays as in the built-in list.",
    ),
    *(_rules(section) for section in Rules.model_fields),
)  # fmt: skip
