"""What can be entered: one form a kind of record. What a field is (a length, a choice, yes or no) is read from the record's model."""

from dataclasses import KW_ONLY, replace
from functools import cached_property

from engine.calc.frozen import dataclass
from engine.calc.units import metric
from engine.job.model.base import Part
from engine.job.model.fence import Fence, FenceLine, Gate, HeightChange, Surface, Yard
from engine.job.model.job import Job
from engine.job.model.people import Dog, UtilityNotice, Who
from engine.job.model.rough import Rough
from engine.job.model.rules import ASKED_NO_MORE, Rules
from engine.job.model.shots import LegShot, LevelShot, OffsetShot, PacesShot, Point, TapeShot, TieShot
from engine.job.model.site import Boundary, Deck, Obstacle, Structure, Tree, Utility
from engine.job.model.stock_row import StockRow
from engine.job.model.words.field_words import NAME, field_words


@dataclass(frozen=True)
class Field:
    """One line of a form: the field of the model (or `id`, the record's own name); what it is called the form says.

    `pick` names the list it is picked from (a literal or yes and no need none), `new` lets a name stand that isn't in that list.
    `follow` says what the next record starts with: "keep" the same, "count" the next point, "step" the next station, "=KEY" what KEY
    said; nothing leaves it empty.
    """

    key: str
    _: KW_ONLY
    pick: str = ""
    new: bool = False
    follow: str = ""
    hint: str = ""
    label: str = ""


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

    @property
    def fields(self) -> tuple[Field, ...]:
        """Every field, in the order they are filled; some are called with the unit in force."""
        return self._in_metres if metric() else self._in_feet

    @cached_property
    def _in_feet(self) -> tuple[Field, ...]:
        return self._called()

    @cached_property
    def _in_metres(self) -> tuple[Field, ...]:
        return self._called()

    def _called(self) -> tuple[Field, ...]:
        told = {field.key for field in self.told}
        unasked = {*told, "method", *ASKED_NO_MORE}
        rest = (Field(key) for key in self.model.model_fields if key not in unasked)
        called = (replace(field, label=field_words(self.table, field.key, self.method)) for field in (*self.told, *rest))
        return tuple(sorted(called, key=lambda field: field.key == "note"))

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
        """Whether there is never more than one."""
        return not self.named and not self.method

    @property
    def may_be_none(self) -> bool:
        """Whether that one can be taken out again."""
        return self.single and Job.model_fields[self.table].default is None


def _name(pick: str = "", hint: str = "") -> Field:
    return Field(NAME, pick=pick, hint=hint)


def _shot(title: str, one: str, model: type[Part], method: str, *fields: Field) -> Form:
    return Form(title, one, model, "shots", fields, method=method)


def _rules(section: str) -> Form:
    model = type(getattr(Rules(), section))
    return Form(f"Rules: {section}", f"rules for {section}", model, "rules", section=section)


ON_SLOPE = "Only where the tape ran on the slope: how much higher its far end is."
BEARING = "Like N 45 30 E, or degrees clockwise from north."
NEW_POINT = Field("point", pick="points", new=True, follow="count", hint="A new name, or one that was measured before.")
GROUND = "By a line round it or its size: Up and Down go through the grounds that the lines close. A point inside it does too."
CHOSEN = "Of a place on the ground that was chosen; it is filled in with that."
STATION = "Along the line from its start, or the name of a point on it."


def _station(key: str, hint: str = STATION, follow: str = "") -> Field:
    return Field(key, pick="stations", new=True, follow=follow, hint=hint)


CORNERS = Field("points", pick="points", hint="Names with a space between, in the order you walk them.")

FORMS = (
    Form(
        "Job heading", "job heading", Who, "job",
        (
            Field("number"), Field("title"), Field("client"), Field("site"),
            Field("crew", hint="Names with commas between."),
            Field("units", hint="What lengths are shown and read in. The file keeps them as they are, stock the names it was bought by."),
        ),
    ),
    Form(
        "First talk", "first talk", Rough, "rough",
        (
            Field("length_ft", hint="As it was said; or leave it empty and give paces."),
            Field("spread_pct", hint="Either way. Empty: 10 % of a length as said; of paces by their calibration, 15 % without one."),
            Field("paces", hint="Single steps, one count a straight stretch, commas between."), Field("step_over_ft"),
            Field("step_counts", hint="How many of the same steps it took, each time, commas between."), Field("ring"),
            Field("start_meets"), Field("end_meets"), Field("corners"),
            Field("gates_ft", hint="A comma and a blank between. Over 12 ft a gate has two leaves."), Field("height_ft"), Field("dogs"),
        ),
        hint="What a client said before anybody surveyed: an estimate until a line is.",
    ),
    Form(
        "One-call notice", "one-call notice", UtilityNotice, "utility_notice",
        (
            Field("ticket"), Field("called"), Field("earliest_start"), Field("expires"),
            Field("marks_seen", hint="Yes once every mark on the ground has been walked. Nothing is driven before that."),
        ),
    ),
    Form(
        "Known points", "known point", Point, "points",
        (
            _name(hint="A house corner, a survey pin: give the first one east 0 and north 0, the second along the wall."),
            Field("east_ft"), Field("north_ft"),
        ),
    ),
    _shot(
        "Ties: two tapes", "tie", TieShot, "tie",
        NEW_POINT, Field("from_a", pick="points", follow="keep"),
        Field("from_b", pick="points", follow="keep"),
        Field("side", follow="keep", hint="Seen walking from A to B."), Field("tape_a_ft"),
        Field("tape_b_ft"), Field("rise_a_ft", hint=ON_SLOPE),
        Field("rise_b_ft", hint=ON_SLOPE),
    ),
    _shot(
        "Tapes: one, or a check", "tape", TapeShot, "tape",
        Field("from_point", pick="points", new=True, follow="keep"), Field("to_point", pick="points", new=True),
        Field("length_ft"), Field("rise_ft", hint=ON_SLOPE),
    ),
    _shot(
        "Offsets from a base", "offset", OffsetShot, "offset",
        NEW_POINT, Field("base_from", pick="points", follow="keep"),
        Field("base_to", pick="points", follow="keep"),
        Field("side", follow="keep", hint="Seen walking along the base."), Field("along_ft"),
        Field("offset_ft"),
    ),
    _shot(
        "Legs: bearing, length", "leg", LegShot, "leg",
        Field("from_point", pick="points", new=True, follow="=to_point"), Field("to_point", pick="points", new=True, follow="count"),
        Field("azimuth_deg", hint=BEARING), Field("length_ft"),
        Field("rise_ft", hint=ON_SLOPE),
    ),
    _shot(
        "Paces", "paces", PacesShot, "paces",
        Field("from_point", pick="points", new=True, follow="keep"), Field("to_point", pick="points", new=True),
        Field("paces", hint="Single steps; how long one is stands in the rules for survey."),
        Field("azimuth_deg", hint=f"{BEARING} Empty where none was taken."),
    ),
    _shot(
        "Levels along a line", "level", LevelShot, "level",
        Field("line", pick="lines", follow="keep"), _station("station_ft", follow="step"),
        Field("level_ft", hint="Ground level above the job's zero; or leave it empty and give the rod and the instrument."),
        Field("rod_ft", hint="Down from the instrument to the ground."),
        Field("instrument_ft", follow="keep", hint="Its height above the job's zero; only with a rod reading."),
        Field("offset_ft", hint="Empty on the line; right of it, - left: the ground that a gate swings over."),
    ),
    Form(
        "Structures", "structure", Structure, "structures",
        (_name(), Field("kind", follow="keep"), CORNERS, Field("height_ft"),
         Field("holds_eyes", hint="Yes where solid wood or masonry can carry a cable eye.")),
    ),
    Form(
        "Trees", "tree", Tree, "trees",
        (_name(), Field("point", pick="points"), Field("diameter_in", hint="At the height of the eyes."),
         Field("sound"), Field("species")),
    ),
    Form(
        "Obstacles", "obstacle", Obstacle, "obstacles",
        (_name(), Field("kind"),
         Field("points", pick="points", hint="One point and a radius, or three or more corners."),
         Field("radius_ft", hint="All round one point."),
         Field("height_ft", hint="Where a dog can stand on it.")),
    ),
    Form(
        "Utilities", "utility", Utility, "utilities",
        (_name(), Field("kind"), CORNERS, Field("width_in"), Field("tolerance_in"),
         Field("depth_in")),
        hint="As the one-call marks show it. Call before anything is driven.",
    ),
    Form(
        "Boundaries", "boundary", Boundary, "boundaries",
        (_name(), CORNERS, Field("client_side", hint="Seen walking along the points."),
         Field("setback_ft")),
    ),
    Form(
        "Decks", "deck", Deck, "decks",
        (_name(), CORNERS, Field("height_ft"), Field("open_under")),
    ),
    Form(
        "Lines", "line", FenceLine, "lines",
        (_name(), CORNERS, Field("start_meets"),
         Field("start_at", pick="meets", hint="The structure, tree or line that the start meets."),
         Field("end_meets"), Field("end_at", pick="meets", hint="The structure, tree or line that the end meets.")),
    ),
    Form(
        "Hard ground on a line", "hard stretch", Surface, "surfaces",
        (
            _name(), Field("line", pick="lines", follow="keep"), _station("from_ft"),
            _station("to_ft"), Field("kind", follow="keep"),
            Field("height_ft", hint="Of a deck: its floor above the ground where the stretch begins."),
            Field("rail_ft", hint="Of a deck: over its floor. The fence on it is that high; empty, as high as elsewhere."),
            Field("open_under", hint="Of a deck: yes where a dog can get under it."),
            Field("tread_count", hint="Of steps: how many, from the first riser to the back of the top tread."),
            Field("drive_through", hint="Yes where a post may be driven all the same, as in a cored hole."),
        ),
    ),
    Form(
        "Changes of height", "change of height", HeightChange, "heights",
        (
            _name(), Field("line", pick="lines", follow="keep"), _station("from_ft"),
            _station("to_ft", "The height changes at the posts nearest to both."),
            Field("height_ft", hint="Of the fence in this stretch."),
        ),
    ),
    Form(
        "Gates", "gate", Gate, "gates",
        (_name(), Field("line", pick="lines"), _station("station_ft", "Of its post nearer the start, or a point's name."),
         Field("leaf_width_ft"), Field("leaves"),
         Field("height_ft", hint="Of its top over the ground; empty, as high as the fence beside it."),
         Field("hinge", hint="Nearer the line's start or end."),
         Field("opens", hint="Seen walking along the line.")),
    ),
    Form(
        "Yards", "yard", Yard, "yards",
        (_name(), Field("inside", pick="grounds", hint=GROUND), Field("name"), Field("east_ft", hint=CHOSEN),
         Field("north_ft", hint=CHOSEN)),
    ),
    Form(
        "Dogs", "dog", Dog, "dogs",
        (_name(), Field("count"), Field("weight_lb"), Field("shoulder_in"),
         Field("body_in", hint="Nose tip to base of tail."), Field("jumps"), Field("climbs"),
         Field("digs"), Field("chews"), Field("yard", pick="yards", follow="keep")),
    ),
    Form(
        "Fence", "fence", Fence, "fence",
        (
            Field("height_ft"), Field("cable", pick="cable"), Field("post", pick="post"),
            Field("sleeve", pick="sleeve"), Field("brace", pick="brace"),
            Field("wire", pick="wire", hint="Empty: what suits the height."),
            Field("mesh", pick="mesh", hint="Empty: what suits the height."), Field("gate_tube", pick="gate tube"),
        ),
    ),
    Form(
        "Stock on the truck", "stock row", StockRow, "stock",
        (
            _name(pick="stock"), Field("loaded", hint="Packs, rolls or pieces on the truck."),
            Field("kind"), Field("name"), Field("per_pack"), Field("price"),
            Field("length_ft"), Field("width_in"), Field("diameter_in"), Field("wall_in"),
            Field("yield_psi"), Field("strength_lbf"), Field("weight_plf"),
            Field("modulus_psi"), Field("construction"), Field("wire_in"),
            Field("pitch_in"), Field("pitch2_in"), Field("source"),
        ),
        hint="Anything left empty stays as in the built-in list.",
    ),
    *(_rules(section) for section in Rules.model_fields),
)  # fmt: skip
