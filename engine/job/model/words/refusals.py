"""What pydantic finds wrong with a job, in words a crew understands, each with its path in the file."""

import re
import types
from collections.abc import Callable, Mapping
from datetime import date
from typing import Annotated, Any, Literal, Union, get_args, get_origin

from pydantic import BaseModel, ValidationError

from engine.calc.force_words import OF_UNIT, amount_shown, unit_shown
from engine.calc.length_words import limit_words
from engine.calc.lengths import format_ft_in, format_in
from engine.calc.units import metric
from engine.job.errors import PathInFile, Problem, shown
from engine.job.likely_name import nearest
from engine.job.model.item_key import ITEM_KEY

MOST_TOLD = 500
_PAST_LIMIT = re.compile(
    r"(?:(?P<typed>\".*\")|(?P<value>-?[\d.]{1,12})) is out of range: it must be (?P<words>[a-z ]+) (?P<limit>-?[\d.,]+)\."
)

_DATE = "write a date like 2026-11-25, without quotes"
_TIME = "write the date, the time and its offset like 2026-11-25T14:05:00-06:00, without quotes"


Known = Mapping[tuple[str, ...], tuple[str, ...]]
"""By the names that lead to a table, keys that it may have in a file though its model hasn't."""


def problems_of(error: ValidationError, model: type[BaseModel], also: Known = types.MappingProxyType({})) -> list[Problem]:
    """Everything a validation found, in plain sentences."""
    return [_problem(found, model, also) for found in error.errors(include_url=False)[:MOST_TOLD]]


def _problem(found: Mapping[str, Any], model: type[BaseModel], also: Known) -> Problem:
    name, value, context = found["type"], found["input"], found.get("ctx", {})
    path, owner = in_file(model, found["loc"])
    if name == "missing":
        return Problem(path, f"{path[-1]} is missing. Write it in this table.")
    if name == "extra_forbidden":
        return Problem(
            path, _unknown_key(str(path[-1]), owner, also.get(tuple(step for step in path[:-1] if isinstance(step, str)), ())), value
        )
    if name in ("union_tag_invalid", "union_tag_not_found"):
        field = context["discriminator"].strip("'")
        where = (*path, field) if name == "union_tag_invalid" else path
        given = f"{_value(context['tag'])} isn't" if name == "union_tag_invalid" else f"{field} is missing. Write"
        choice = _one_of(context.get("expected_tags") or ", ".join(map(repr, _tags(owner, field))))
        return Problem(where, f"{given} one of: {choice}.", context.get("tag"))
    words = _WORDS.get(name)
    if words and name in _LIMITS and metric() and (unit := _metric_unit(path)):
        limit = {_LIMITS[name]: _in_metric(context[_LIMITS[name]], unit)}
        told = _in_metric(value, unit) if unit in OF_UNIT else value
        return Problem(path, f"{words(told, limit).removesuffix('.')} {unit_shown(unit, 'm')}.", value)
    says = words(value, context) if words else f"{_value(value)} doesn't fit here. Correct it."
    return Problem(path, says, value, getattr(context.get("error"), "field", ""))


def _unknown_key(key: str, owner: object, also: tuple[str, ...]) -> str:
    allowed = sorted(owner.model_fields) if isinstance(owner, type) and issubclass(owner, BaseModel) else []
    near = nearest(key, [*allowed, *also])
    if near:
        return f'there is no {shown(key)} here. Did you mean "{near}"?'
    return f"there is no {shown(key)} here. This table may hold: {', '.join(allowed)}."


def _wanted(what: str) -> Callable[[Any, Mapping[str, Any]], str]:
    return lambda value, _: f"{_value(value)} is given where {what}."


def _limit(words: str, key: str) -> Callable[[Any, Mapping[str, Any]], str]:
    return lambda value, context: f"{_value(value)} is out of range: it must be {words} {context[key]:,.10g}."


def as_a_tape_reads(says: str, field: str) -> str:
    """What is said of a field past its limit, its length as a box takes it; what was typed, what is no length or metric as it is."""
    past, unit = _PAST_LIMIT.fullmatch(says), field.rpartition("_")[2]
    if past is None or unit not in _M or metric():
        return says
    told, told_limit = (format_ft_in, limit_words) if unit == "ft" else (format_in, format_in)
    value = past["typed"] or told(float(past["value"]))
    return f"{value} is out of range: it must be {past['words']} {told_limit(float(past['limit'].replace(',', '')))}."


_M = {"ft": 0.3048, "in": 0.0254}
_LIMITS = {"greater_than": "gt", "greater_than_equal": "ge", "less_than": "lt", "less_than_equal": "le"}


def _metric_unit(path: PathInFile) -> str:
    """The unit of a field by its name; empty where it has none that is another in metres."""
    unit = str(next((part for part in reversed(path) if isinstance(part, str)), "")).rpartition("_")[2]
    return unit if unit in OF_UNIT or unit in _M else ""


def _in_metric(amount: object, unit: str) -> object:
    """An amount in metres, or in the metric unit that stands for its own."""
    if not isinstance(amount, int | float):
        return amount
    return round(amount * _M[unit], 4) if unit in _M else amount_shown(amount, unit)


def _items(words: str, key: str) -> Callable[[Any, Mapping[str, Any]], str]:
    return lambda value, context: f"the list has {len(value)} in it and must have {words} {context[key]}."


def _own_words(_: object, context: Mapping[str, Any]) -> str:
    said = str(context["error"]).strip().rstrip(".")
    return f"{said}."


def _bad_name(value: object, context: Mapping[str, Any]) -> str:
    if context["pattern"] == ITEM_KEY:
        return f"{_value(value)} isn't the key of a checklist item, such as posts.P7.plumb. Correct it."
    return f"{_value(value)} can't be a name here. Names are up to 40 letters, digits, - and _, a letter or digit first."


_NUMBER = _wanted("a number is wanted. Write it without quotes")
_WHOLE = _wanted("a whole number is wanted")
_FLAG = _wanted("true or false is wanted, without quotes")
_TABLE = _wanted("a table of key = value lines is wanted")

_WORDS: dict[str, Callable[[Any, Mapping[str, Any]], str]] = {
    "float_type": _NUMBER,
    "float_parsing": _NUMBER,
    "finite_number": _wanted("a number that can be measured is wanted"),
    "int_type": _WHOLE,
    "int_parsing": _WHOLE,
    "int_parsing_size": _WHOLE,
    "int_from_float": _WHOLE,
    "bool_type": _FLAG,
    "bool_parsing": _FLAG,
    "string_type": _wanted("text is wanted. Put it in quotes"),
    "string_unicode": _wanted("text is wanted. Put it in quotes"),
    "model_type": _TABLE,
    "model_attributes_type": _TABLE,
    "dict_type": _TABLE,
    "tuple_type": _wanted("a list in square brackets is wanted"),
    "list_type": _wanted("a list in square brackets is wanted"),
    "date_type": _wanted(f"a date is wanted: {_DATE}"),
    "date_parsing": _wanted(f"a date is wanted: {_DATE}"),
    "date_from_datetime_parsing": _wanted(f"a date is wanted: {_DATE}"),
    "date_from_datetime_inexact": _wanted(f"a date without a time is wanted: {_DATE}"),
    "datetime_type": _wanted(f"a time is wanted: {_TIME}"),
    "datetime_parsing": _wanted(f"a time is wanted: {_TIME}"),
    "datetime_from_date_parsing": _wanted(f"a time is wanted: {_TIME}"),
    "datetime_object_invalid": _wanted(f"a time is wanted: {_TIME}"),
    "timezone_aware": lambda value, _: f"{_value(value)} doesn't say its offset: {_TIME}.",
    "literal_error": lambda value, context: f"{_value(value)} isn't one of: {_one_of(context['expected'])}.",
    "greater_than": _limit("over", "gt"),
    "greater_than_equal": _limit("at least", "ge"),
    "less_than": _limit("under", "lt"),
    "less_than_equal": _limit("at most", "le"),
    "string_too_long": lambda _, context: f"the text is longer than {context['max_length']:,} characters. Shorten it.",
    "string_too_short": lambda _, __: "the text is empty. Write something, or take the line out.",
    "string_pattern_mismatch": _bad_name,
    "too_short": _items("at least", "min_length"),
    "too_long": _items("at most", "max_length"),
    "value_error": _own_words,
    "assertion_error": _own_words,
}


def _value(value: object) -> str:
    """A value as the file has it, short and safe to print."""
    if isinstance(value, dict):
        return "a table"
    if isinstance(value, list | tuple):
        return "a list"
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, str):
        return f'"{shown(value)}"'
    return shown(value.isoformat() if isinstance(value, date) else str(value))


def _one_of(expected: str) -> str:
    """Pydantic's list of words, quoted as the file quotes them."""
    return expected.replace("'", '"')


def in_file(model: type[BaseModel], loc: tuple[str | int, ...]) -> tuple[PathInFile, object]:
    """The path in the file of a place that pydantic names, and the class of the table that holds its last part. Pydantic adds the chosen
    kind of a union to its own path, and a mark behind a bad key; the file has neither."""
    path: list[str | int] = []
    kind, owner = _bare(model), _bare(model)
    for part in loc:
        if part == "[key]" and get_origin(owner) is dict:
            break
        if get_origin(kind) in (Union, types.UnionType):
            kind = owner = next((member for member in get_args(kind) if part in _words_of(member)), None)
            continue
        owner = kind
        path.append(part)
        kind = _bare(_inside(kind, part))
    return tuple(path), kind if get_origin(kind) in (Union, types.UnionType) else owner


def _inside(kind: object, part: str | int) -> object:
    if isinstance(kind, type) and issubclass(kind, BaseModel):
        field = kind.model_fields.get(str(part))
        return field.annotation if field else None
    inner = get_args(kind)
    if get_origin(kind) is dict:
        return inner[1]
    return inner[0] if get_origin(kind) is tuple else None


def _bare(kind: object) -> object:
    """A type without its annotations, and without None where one other is left."""
    while get_origin(kind) is Annotated:
        kind = get_args(kind)[0]
    if get_origin(kind) in (Union, types.UnionType):
        rest = [member for member in get_args(kind) if member is not type(None)]
        return _bare(rest[0]) if len(rest) == 1 else kind
    return kind


def _words_of(member: object) -> set[object]:
    """Every fixed word that a field of a union's member must be."""
    if not (isinstance(member, type) and issubclass(member, BaseModel)):
        return set()
    singles = (get_args(field.annotation) for field in member.model_fields.values() if get_origin(field.annotation) is Literal)
    return {words[0] for words in singles if len(words) == 1}


def _tags(union: object, field: str) -> list[str]:
    return [get_args(member.model_fields[field].annotation)[0] for member in get_args(union)]
