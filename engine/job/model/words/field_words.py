"""Fields of the file as people call them, and their values as people write them: forms, questions and outputs say the same."""

from collections.abc import Mapping
from datetime import date

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
    "rules": {"pause_min": "Break over (minutes)", "day_hours": "Hours a day"},
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
    """A value as it is written into its field: lengths as on a tape, other amounts in the units in force, yes and no, nothing for none."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return YES_NO[0] if value else YES_NO[1]
    if isinstance(value, tuple | list):
        return between.join(value_text(field, part) for part in value)
    if isinstance(value, float):
        return _number(field, value)
    return format_date(value) if isinstance(value, date) else str(value)


def _number(field: str, value: float) -> str:
    if field.endswith("_ft"):
        return format_ft_in(value, _SIXTEENTHS)
    if field.endswith("_in"):
        return format_in(value, _SIXTEENTHS)
    return format_bearing(value) if field == "azimuth_deg" else f"{amount_shown(value, field.rpartition('_')[2]):.10g}"
