"""Keys of the plan for other programs: every field of a result by its name, with its unit, and tuples of figures as things with names."""

from collections.abc import Callable, Mapping
from dataclasses import fields, is_dataclass
from functools import cache
from typing import Any, NamedTuple, get_args, get_type_hints

from pydantic import BaseModel

from engine.checklist import WantedReading
from engine.findings import UNPRINTED
from engine.stages.survey.stage import ShotFit

UNITS: Mapping[str, str] = {
    "ft": "feet", "in": "inches", "ft2": "square feet", "deg": "degrees; of a bearing clockwise from north", "lb": "pounds",
    "lbf": "pounds-force", "lbf_ft": "foot-pounds", "plf": "pounds a foot", "mph": "miles an hour",
    "share": "a part of one, 1 is all", "factor": "how many times what is wanted", "ratio": "a plain number",
    "units": "what the row's own `unit` says: ft, posts, rings", "packs": "whole packs, rolls or spools", "of_pack": "money",
}  # fmt: skip
"""What a key ends in, and what its figure is then. Money is in whatever the stock's prices are in."""
MONEY = ("cost", "price_of_pack")
PLACE = ("east_ft", "north_ft")
"""A place, from the survey's origin."""
RENAMED: Mapping[tuple[str, str], str] = {
    ("ShotFit", "redundancy"): "checked_share",
    ("ShotFit", "standardised"): "standardised_ratio",
    ("SupportPull", "worst_in"): "worst_state",
    ("Loop", "most_in"): "most_state",
    ("BayCable", "gripped_in"): "gripped_state",
    ("LegTraverse", "precision"): "length_to_misclosure_ratio",
    ("SupportPull", "share"): "yield_share",
    ("LeafLoad", "share"): "yield_share",
    ("Loop", "safety"): "safety_factor",
    ("CutPlan", "waste"): "waste_ft",
    ("CutPlan", "lower_bound"): "rolls_at_least",
    ("Roll", "capacity"): "length_ft",
    ("Roll", "left"): "left_ft",
    ("Gives", "mph"): "at_mph",
    ("Fabric", "strips"): "strips_ft",
    ("Closing", "amount"): "needed_units",
    ("Closing", "left"): "left_units",
    ("TakeoffRow", "needed"): "needed_units",
    ("TakeoffRow", "spare"): "spare_units",
    ("TakeoffRow", "per_pack"): "pack_holds_units",
    ("TakeoffRow", "loaded"): "loaded_packs",
    ("TakeoffRow", "delivered"): "delivered_packs",
    ("TakeoffRow", "loose"): "loose_units",
    ("TakeoffRow", "short"): "short_packs",
    ("TakeoffRow", "used"): "used_units",
    ("TakeoffRow", "price"): "price_of_pack",
    ("TakeoffRow", "offcuts"): "offcuts_ft",
    ("EstimatedRow", "per_pack"): "pack_holds_units",
    ("EstimatedRow", "needed"): "needed_units",
}
"""A field whose name in the program has no unit, or ends like one that it isn't in, by its class."""
PARTS: Mapping[tuple[str, str], tuple[str, ...]] = {
    ("LineSurvey", "beside"): ("station_ft", "right_ft", "level_ft"),
    ("TapeTie", "check"): ("from", "tape_ft"),
    ("StringLine", "along"): ("support", "along_ft", "right_ft"),
    ("Layout", "diagonals"): ("from", "to", "length_ft"),
    ("BayStakes", "uncovered"): ("from_ft", "to_ft"),
}
"""What the parts of a tuple are called; two figures without a name are a place."""
IN_UNIT: Mapping[tuple[str, str], tuple[tuple[str, ...], Callable[[Any], str]]] = {
    ("ShotFit", "residual"): (("ft", "deg"), lambda fit: _unit_of_fit(fit)),
    **{("WantedReading", name): (("ft", "in"), lambda reading: _unit_of_reading(reading)) for name in ("wanted", "low", "high")},
}
"""A figure that is in one unit or another; its key ends in that of the thing at hand."""


class PrintedField(NamedTuple):
    """A field of a result: what the program calls it, its key, its type, the names of its parts where it holds bare tuples, and the
    units it may be in where that is told thing by thing."""

    name: str
    key: str
    type: Any
    parts: tuple[str, ...]
    units: tuple[str, ...]


@cache
def printed_fields(of: type) -> tuple[PrintedField, ...]:
    """The fields of a dataclass, a named tuple or a model that are printed, in order."""
    hints = get_type_hints(of)
    return tuple(_field(of.__name__, name, hints[name]) for name in _names(of))


def unprinted(of: type) -> tuple[str, ...]:
    """Fields of a dataclass that are nowhere printed."""
    return tuple(field.name for field in fields(of) if field.metadata == UNPRINTED) if is_dataclass(of) else ()


def fields_of(holder: Any) -> tuple[PrintedField, ...]:
    """Those of the thing at hand."""
    of: Any = type(holder)
    return printed_fields(of)


def _names(of: type) -> tuple[str, ...]:
    if is_dataclass(of):
        return tuple(field.name for field in fields(of) if field.metadata != UNPRINTED)
    if issubclass(of, BaseModel):
        return tuple(of.model_fields)
    names: tuple[str, ...] = of._fields  # type: ignore[attr-defined]  # a named tuple
    return names


def _field(owner: str, name: str, type_: Any) -> PrintedField:
    key = RENAMED.get((owner, name), name)
    bare = PARTS.get((owner, name), PLACE if not unit_of(key) and _holds_places(type_) else ())
    units, _ = IN_UNIT.get((owner, name), ((), None))
    return PrintedField(name, key, type_, bare, units)


def _holds_places(type_: Any) -> bool:
    return bool(type_ == tuple[float, float]) or any(map(_holds_places, get_args(type_)))


def unit_of(key: str) -> str:
    """What a key ends in of the units; empty where it has none."""
    return max((unit for unit in UNITS if key.endswith(f"_{unit}")), key=len, default="")


def key_in_unit(field: PrintedField, holder: object) -> str:
    """The key of a field in the thing at hand."""
    if not field.units:
        return field.key
    _, unit = IN_UNIT[type(holder).__name__, field.name]
    return f"{field.key}_{unit(holder)}"


def _unit_of_fit(fit: ShotFit) -> str:
    return "deg" if fit.part == "bearing" else "ft"


def _unit_of_reading(reading: WantedReading) -> str:
    return reading.unit
