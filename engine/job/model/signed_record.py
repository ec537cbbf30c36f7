"""The record written at sign-off: the as-built fence, what was left open and why, and the seal; and what a repair begins from."""

from datetime import datetime
from typing import Annotated

from pydantic import AwareDatetime, Field, StringConstraints

from engine.job.model.base import BuiltFeet, BuiltPlace, Count, Id, Inches, Number, Part, PhotoFile, ShortText, Text
from engine.job.model.fence import Fence, PostKind, SupportKind


class BuiltSupport(Part):
    """One support as it stands; `driven_in` where its depth was read."""

    line: Id
    station_ft: BuiltFeet
    east_ft: BuiltPlace
    north_ft: BuiltPlace
    kind: PostKind
    support: SupportKind
    tie_a: ShortText = ""
    tie_b: ShortText = ""
    driven_in: Inches | None = None


class BuiltLoop(Part):
    """One cable loop; `cable_read` is whether its length was read when it was cut. Fabric is as worked out."""

    supports: tuple[Id, ...]
    cable_ft: BuiltFeet
    cable_read: bool
    wire_ft: BuiltFeet
    mesh_ft: BuiltFeet


class BuiltBrace(Part):
    """One brace: its post, the support along whose arm it stands, and how far out its foot is; `foot_read` is whether that was read, and
    `foot_planned_ft` what was wanted then."""

    support: Id
    toward: Id | None = None
    foot_ft: BuiltFeet
    foot_read: bool
    foot_planned_ft: BuiltFeet | None = None


class BuiltGate(Part):
    """One gate with what was read of it."""

    hinge_post: Id
    latch_post: Id
    leaves: Count
    opening_ft: BuiltFeet | None = None
    diagonals_ft: tuple[BuiltFeet, ...] = ()
    bottom_gap_in: Inches | None = None


class Worked(Part):
    """A stage's first tick, and its last one where everything was ticked."""

    started: AwareDatetime
    finished: AwareDatetime | None = None


class LeftSleeve(Part):
    """A sleeve that stays in the ground where no post stands any more; its place, and two tapes to it, where that is known."""

    what: ShortText
    at: AwareDatetime
    line: ShortText = ""
    station_ft: BuiltFeet | None = None
    east_ft: BuiltPlace | None = None
    north_ft: BuiltPlace | None = None
    tie_a: ShortText = ""
    tie_b: ShortText = ""


class LeftAsFound(Part):
    """A finding or a way out that was left open, in the words of that day."""

    level: ShortText
    says: Text


class Record(Part):
    """What stands in the ground and what went into it; what was left open, and the notes that were known, as they read that day.
    `left_open` holds the reasons by the same keys as `found_open`, and one for all `items_open`. `told_by` told the client the notes.
    `photos` holds the SHA-256 of every picture file that was beside the job then, by its name. `parts` are short digests of what the
    file holds, table by table, `parts_digest` is over these, `digest` over the whole."""

    signed_at: AwareDatetime
    signed_by: ShortText
    accepted_by: ShortText
    engine: ShortText
    left_open: dict[str, Text] = {}
    found_open: dict[str, LeftAsFound] = {}
    items_open: dict[str, Text] = {}
    notes: dict[str, Text] = {}
    told_by: ShortText = ""
    fence: Fence | None = None
    supports: dict[Id, BuiltSupport] = {}
    bays_ft: dict[str, BuiltFeet] = {}
    loops: dict[Id, BuiltLoop] = {}
    braces: dict[str, BuiltBrace] = {}
    gates: dict[Id, BuiltGate] = {}
    stages: dict[str, Worked] = {}
    planned: dict[str, Number] = {}
    quantities: dict[str, Number] = {}
    sleeves_left: dict[Id, LeftSleeve] = {}
    photos: dict[PhotoFile, ShortText] = {}
    parts_digest: ShortText = ""
    parts: dict[str, str] = {}
    digest: ShortText = ""

    @property
    def tells_photos(self) -> bool:
        """Whether it tells which pictures were there: one that lists none was written by a program that kept them only if it lists parts,
        which came later."""
        return bool(self.photos or self.parts)


Line = Annotated[str, StringConstraints(strip_whitespace=False)]
"""A line of another file, kept as it is."""


def became(what: str, *, cut_off: bool) -> str:
    """What happened to a sleeve: `post moved, cut off`."""
    return f"{what}, cut off" if cut_off and what != "cut off" else what


class SleeveInGround(Part):
    """A sleeve that an earlier job left in the ground, with its place: of which post and of which stock `row`, since when, and how it was
    read where it was. No post is set into one that was `cut_off` below the ground."""

    post: Id
    what: ShortText = ""
    left_at: AwareDatetime
    line: ShortText = ""
    station_ft: BuiltFeet | None = None
    east_ft: BuiltPlace
    north_ft: BuiltPlace
    driven_at: AwareDatetime | None = None
    driven_by: ShortText = ""
    driven_in: Inches | None = None
    cut_off: bool | None = None
    row: ShortText = ""

    @property
    def became(self) -> str:
        """What happened to it."""
        return became(self.what, cut_off=bool(self.cut_off))

    @property
    def xy(self) -> tuple[float, float]:
        """East and north, ft."""
        return (self.east_ft, self.north_ft)


class FoundBefore(Part):
    """What was found of the fence before a repair began, and the reason that was given for leaving it so; the same in the other units where
    they tell it otherwise."""

    says: Text
    reason: Text = ""
    in_other_units: Text | None = None

    @property
    def in_words(self) -> tuple[str, ...]:
        """As it is told in either units."""
        return (self.says,) if self.in_other_units is None else (self.says, self.in_other_units)


class RepairOf(Part):
    """The signed job that a repair begins from: its file is kept whole, its lines in `text`, or where they are many packed by bzip2 and
    written in base64, so that its seal can be checked for ever.

    What was ticked up to `until` stands, and is neither asked, counted nor loaded; what was left open then is open still. `gone` are
    posts that came out before: no other is called so, and of one that stands elsewhere since a pin tells nothing. `found` is what was
    found of the line as it stood. `changed` says what in the old file wasn't what was signed.
    """

    number: ShortText = ""
    title: ShortText = ""
    file: ShortText = ""
    signed_at: AwareDatetime
    signed_by: ShortText
    accepted_by: ShortText
    digest: ShortText
    until: AwareDatetime
    changed: Annotated[tuple[Text, ...], Field(max_length=1_000)] = ()
    gone: Annotated[tuple[Id, ...], Field(max_length=10_000)] = ()
    sleeves: dict[Id, SleeveInGround] = {}
    found: dict[str, FoundBefore] = {}
    text: Annotated[tuple[Line, ...], Field(max_length=200_000)] = ()
    text_bz2_base64: Line = ""

    @property
    def called(self) -> str:
        """The job before by its number and title."""
        return " ".join(part for part in (self.number, self.title) if part) or self.file

    def stood(self, at: datetime) -> bool:
        """Whether what was done at a time was done before the repair began."""
        return at <= self.until
