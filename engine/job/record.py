"""The record written at sign-off: the as-built fence in numbers, what was left open and why, and the seal."""

from pydantic import AwareDatetime

from engine.job.base import Feet, Id, Number, Part, ShortText, SignedFeet, Text
from engine.job.fence import PostKind, SupportKind


class BuiltSupport(Part):
    """One support as it stands."""

    line: Id
    station_ft: Feet
    east_ft: SignedFeet
    north_ft: SignedFeet
    kind: PostKind
    support: SupportKind
    tie_a: ShortText = ""
    tie_b: ShortText = ""


class Record(Part):
    """What stands in the ground and what went into it."""

    signed_at: AwareDatetime
    signed_by: ShortText
    accepted_by: ShortText
    engine: ShortText
    left_open: dict[str, Text] = {}
    supports: dict[Id, BuiltSupport] = {}
    bays_ft: dict[str, Feet] = {}
    quantities: dict[str, Number] = {}
    digest: ShortText = ""
