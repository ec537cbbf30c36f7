"""The JSON schema of the plan, made out of the very types whose values are printed. Source: JSON Schema, draft 2020-12."""

import re
from collections.abc import Mapping
from dataclasses import is_dataclass
from datetime import date, datetime
from types import NoneType, UnionType
from typing import Annotated, Any, Literal, Union, get_args, get_origin, get_type_hints

from pydantic import AwareDatetime, BaseModel

from engine.ahead.estimate import Estimate, FenceCounts
from engine.checklist import Item, State, WantedReading
from engine.findings import STAGES, TITLES, Finding
from engine.job.model.checks import Tick
from engine.paper.plan.plan_json import FORMAT, FORMAT_NUMBER, IN_WORDS
from engine.paper.plan.plan_keys import PLACE, PrintedField, printed_fields, unprinted
from engine.stages.takeoff import TakeoffRow
from engine.walk import Walk

Schema = dict[str, Any]
DRAFT = "https://json-schema.org/draft/2020-12/schema"
MOMENT = {"type": "string", "format": "date-time"}
PLAIN: Mapping[Any, Schema] = {
    float: {"type": "number"}, int: {"type": "integer"}, str: {"type": "string"}, bool: {"type": "boolean"}, NoneType: {"type": "null"},
    datetime: MOMENT, AwareDatetime: MOMENT, date: {"type": "string", "format": "date"},
}  # fmt: skip
TEXT, YES_NO = PLAIN[str], PLAIN[bool]


class Things:
    """The things of the plan by the names of their types; each is told once."""

    def __init__(self) -> None:
        self.told: dict[str, Schema] = {}

    def of(self, type_: Any, parts: tuple[str, ...] = ()) -> Schema:
        """The schema of a value of a type; bare tuples as things with parts."""
        origin, args = get_origin(type_), get_args(type_)
        if type_ in PLAIN:
            return PLAIN[type_]
        if origin is Annotated:
            return self.of(args[0], parts)
        if origin is Literal:
            return {"enum": list(args)}
        if origin in (Union, UnionType):
            return {"anyOf": [self.of(one, parts) for one in args]}
        if origin is tuple:
            return self._tuple(args, parts)
        if isinstance(origin, type) and issubclass(origin, Mapping):
            return {"type": "object", "additionalProperties": self.of(args[1], parts)}
        return TEXT if issubclass(type_, IN_WORDS) else self._thing(type_)

    def _tuple(self, args: tuple[Any, ...], parts: tuple[str, ...]) -> Schema:
        if args[-1] is Ellipsis:
            return {"type": "array", "items": self.of(args[0], parts)}
        if len(args) == len(parts) and args[-1] is float:
            return self._place() if parts == PLACE else _object({name: self.of(one) for name, one in zip(parts, args, strict=True)})
        return {"type": "array", "prefixItems": [self.of(one, parts) for one in args], "minItems": len(args), "maxItems": len(args)}

    def _place(self) -> Schema:
        self.told["Place"] = _object({name: PLAIN[float] for name in PLACE}, says="A place, east and north of the survey's origin.")
        return {"$ref": "#/$defs/Place"}

    def _thing(self, type_: type) -> Schema:
        name = type_.__name__
        if name not in self.told:
            self.told[name] = {}
            if not (is_dataclass(type_) or hasattr(type_, "_fields") or issubclass(type_, BaseModel)):
                raise TypeError(f"{name} isn't printed: the plan as JSON has no form for it")
            if type_ is Item:
                self.told[name] = _object({"key": TEXT, "says": TEXT}, says="An item of a checklist by its key.")
            else:
                self.told[name] = self.fields(type_)
        return {"$ref": f"#/$defs/{name}"}

    def fields(self, type_: type, but: tuple[str, ...] = (), more: Schema | None = None) -> Schema:
        """A thing with a key a field."""
        keys: Schema = {}
        may: list[str] = []
        for field in printed_fields(type_):
            if field.name in but:
                continue
            told = self.of(field.type, field.parts)
            for key in _keys(field):
                keys[key] = told
                if field.units or issubclass(type_, BaseModel):
                    may.append(key)
        if issubclass(type_, BaseModel):
            may = [name for name, one in type_.model_fields.items() if type(None) in get_args(one.annotation)]
        return _object({**keys, **(more or {})}, may, _says(type_))


def _says(type_: type) -> str:
    """What the program says of the type, fields by their keys; no sentence about a field that isn't printed."""
    sentences = re.split(r"(?<=[.:;]) (?=[`A-Z])", " ".join((type_.__doc__ or "").split()))
    told = [one for one in sentences if not any(f"`{name}`" in one for name in unprinted(type_))]
    says = re.sub(r"\bNone\b", "null", " ".join(told))
    says = f"{says[:-1]}." if says[-1:] == ";" else says
    for field in printed_fields(type_):
        says = says.replace(f"`{field.name}`", " or ".join(f"`{key}`" for key in _keys(field)))
    return says


def _keys(field: PrintedField) -> list[str]:
    return [f"{field.key}_{unit}" for unit in field.units] or [field.key]


def _object(keys: Mapping[str, Schema], may: list[str] | None = None, says: str = "") -> Schema:
    """A thing that has all keys but those that may be left out, and no other."""
    wanted = [key for key in keys if key not in (may or [])]
    told = {"description": says} if says else {}
    return {**told, "type": "object", "properties": dict(keys), "required": wanted, "additionalProperties": False}


def plan_schema() -> Schema:
    """The schema of everything that `plan --json` prints."""
    things = Things()
    results = get_type_hints(Walk)
    findings = {"type": "array", "items": things.of(Finding)}
    checklist = {"type": "array", "items": _checklist_row(things)}
    stages: Schema = {}
    for name in STAGES:
        told = things.fields(results[name], ("items", "findings"), {"findings": findings, "checklist": checklist})
        things.told[results[name].__name__] = told
        stages[name] = {"$ref": f"#/$defs/{results[name].__name__}"}
    things.told["Stages"] = _object(stages, says=f"The nine stages: {', '.join(TITLES.values())}.")
    keys: Schema = {
        "format": {"const": FORMAT}, "format_number": {"const": FORMAT_NUMBER}, "program": {"const": "linewalk"}, "program_version": TEXT,
        "job": _job(things), "changed_since_signed": {"type": "array", "items": TEXT, "minItems": 1}, "estimate": _estimate(things),
        "stages": {"$ref": "#/$defs/Stages"}, "findings": findings, "takeoff": {"type": "array", "items": things.of(TakeoffRow)},
    }  # fmt: skip
    whole = _object(keys, ["changed_since_signed", "estimate"], "Everything worked out from a job.")
    return {"$schema": DRAFT, "title": f"{FORMAT} {FORMAT_NUMBER}", **whole, "$defs": dict(sorted(things.told.items()))}


def _job(things: Things) -> Schema:
    things.told["JobHead"] = _object({"number": TEXT, "title": TEXT, "signed_off": YES_NO}, says="Which job it is.")
    return {"$ref": "#/$defs/JobHead"}


def _estimate(things: Things) -> Schema:
    keys = {"says": TEXT, "nothing_surveyed": YES_NO, "figures": things.of(Estimate), "surveyed": things.of(FenceCounts)}
    things.told["SaidFirst"] = _object(keys, ["surveyed"], "What the fence was estimated at, and what was surveyed since.")
    return {"$ref": "#/$defs/SaidFirst"}


def _checklist_row(things: Things) -> Schema:
    keys = {
        "key": TEXT, "says": TEXT, "state": things.of(State), "passes": {"type": ["boolean", "null"]},
        "reading": things.of(WantedReading), "tick": things.of(Tick), "means": TEXT,
    }  # fmt: skip
    says = "What is asked, whether it is open, whether its reading is in range, what is wanted, its tick and what the reading means."
    things.told["ChecklistRow"] = _object(keys, ["reading", "tick", "means"], says)
    return {"$ref": "#/$defs/ChecklistRow"}
