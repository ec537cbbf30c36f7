"""Fields of the file as people call them, and their values as people write them: forms, questions and outputs say the same."""

from collections.abc import Mapping
from datetime import date, datetime

from engine.calc.dates import format_date
from engine.calc.force_words import amount_shown, unit_shown
from engine.calc.lengths import format_bearing, format_ft_in, format_in

NAME = "id"
"""Stands for a record's own name, which is its key in the file."""
YES_NO = ("yes", "no")
_SIXTEENTHS = 16
_UNITS = {unit: unit for unit in ("lb", "lbf", "pct", "deg", "F", "mph", "psf", "psi")} | {"plf": "lb/ft"}
_SHOT = {
    "from_a": "From A", "from_b": "From B", "tape_a_ft": "Tape from A", "tape_b_ft": "Tape from B", "rise_a_ft": "Higher than A",
    "rise_b_ft": "Higher than B", "from_point": "From", "to_point": "To", "rise_ft": "Ends higher by", "azimuth_deg": "Bearing",
    "paces": "Steps", "rod_ft": "Rod reading", "point": "New point", "along_ft": "Along the base", "offset_ft": "Square off it",
}  # fmt: skip
_CALLED: Mapping[str, Mapping[str, str]] = {
    "utility_notice": {"called": "Called on"},
    "shots": _SHOT,
    "shots-level": {**_SHOT, "offset_ft": "Beside the line"},
    "levels": {**_SHOT, "offset_ft": "Beside the line"},
    "structures": {"kind": "What it is"},
    "obstacles": {"kind": "What it is", "radius_ft": "Keep clear"},
    "utilities": {"kind": "What it is"},
    "boundaries": {"client_side": "Client's side"},
    "surfaces": {
        "from_ft": "From station", "to_ft": "To station", "kind": "What it is", "height_ft": "Deck floor", "rail_ft": "Rail height",
        "tread_count": "Treads",
    },
    "heights": {"from_ft": "From station", "to_ft": "To station"},
    "gates": {"hinge": "Hinge at", "opens": "Opens to"},
    "rough": {
        "spread_pct": "May be off (%)", "step_over_ft": "Step taped over", "step_counts": "Steps over it", "ring": "Closes",
        "start_meets": "Starts at", "end_meets": "Ends at", "gates_ft": "Gate widths",
    },
    "yards": {"inside": "Point inside", "name": "Called"},
    "dogs": {"count": "How many", "shoulder_in": "Shoulder height", "body_in": "Body length"},
    "log": {
        "at": "Logged at", "by": "Logged by", "out_ft": "Off the line", "along_ft": "Along the line", "of": "What it was ticked for",
        "done_at": "Ticked at", "done_by": "Ticked by", "text": "Words", "why": "Reason", "long_ft": "Size along the line",
        "wide_ft": "Size across it", "radius_ft": "Keep clear", "old_points": "Points before", "out": "Came out", "left": "Sleeves left",
        "before": "As it was before", "after": "As it was after", "alike": "Said the same", "opened": "Opened again",
        "left_open": "Reasons given",
    },
    "record": {
        "engine": "Worked out by linewalk", "digest": "Seal number", "left_open": "Reasons given", "found_open": "Findings left open",
        "items_open": "Items left open", "planned": "Material planned", "quantities": "Material used", "stages": "Times",
        "told_by": "Who told the client",
    },
    "repair_of": {"digest": "Seal number", "text": "Kept text", "text_bz2_base64": "Kept text", "changed": "What was changed in it"},
    "found_open": {"says": "Words"},
    "found": {"says": "Words"},
    "supports": {"tie_a": "First tape", "tie_b": "Second tape", "driven_in": "Driven depth", "support": "Stands in"},
    "sleeves_left": {"tie_a": "First tape", "tie_b": "Second tape", "what": "What happened", "at": "Since"},
    "sleeves": {"what": "What happened", "left_at": "Since", "driven_in": "Driven depth", "row": "Stock"},
    "loops": {"cable_read": "Cable was read"},
    "braces": {"foot_ft": "Foot out", "foot_read": "Foot was read", "foot_planned_ft": "Foot out, planned", "support": "Post"},
    "stages": {"started": "Begin", "finished": "End"},
    "rules": {
        "pause_min": "Break over (minutes)", "day_hours": "Hours a day", "tape_sigma_ft": "A tape may be off", "offset_sigma_ft":
        "An offset may be off", "bearing_sigma_deg": "A bearing may be off (deg)", "paces_sigma_pct": "Paces may be off (%)",
    },
    "stock": {
        NAME: "Stock", "name": "Called", "per_pack": "In a pack", "pitch_in": "Opening", "pitch2_in": "Other opening",
    },
}  # fmt: skip
"""By table (of shots also by method): the fields that aren't called by their own words."""


def field_words(table: str, field: str, method: str = "") -> str:
    """What a field is called, with a capital: `Leaf width` for leaf_width_ft of a gate."""
    called = {**_CALLED.get(table, {}), **_CALLED.get(f"{table}-{method}", {})}.get(field)
    if called is not None or field == NAME:
        return called or "Name"
    stem, _, unit = field.rpartition("_")
    words = stem if unit in ("ft", "in") else f"{stem} ({unit_shown(unit, _UNITS[unit])})" if unit in _UNITS else field
    return f"{words[:1].upper()}{words[1:]}".replace("_", " ")


def value_text(field: str, value: object, between: str = ", ") -> str:
    """A value as it is written into its field: lengths as on a tape, other amounts in the units in force, yes and no, days with the time
    where they have one, nothing for none."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return YES_NO[0] if value else YES_NO[1]
    if isinstance(value, tuple | list):
        return between.join(value_text(field, part) for part in value)
    if isinstance(value, float):
        return _number(field, value)
    if isinstance(value, datetime):
        return f"{format_date(value)} {value:%H:%M}"
    return format_date(value) if isinstance(value, date) else str(value)


def _number(field: str, value: float) -> str:
    if field.endswith("_ft"):
        return format_ft_in(value, _SIXTEENTHS)
    if field.endswith("_in"):
        return format_in(value, _SIXTEENTHS)
    return format_bearing(value) if field == "azimuth_deg" else f"{amount_shown(value, field.rpartition('_')[2]):.10g}"
