"""The page that describes the plan as JSON: its fields, their units, what may change; made out of the schema, so that it can't go stale."""

from collections.abc import Iterator
from typing import Any

from engine.calc.phrases import listed
from engine.paper.built_tables import Table
from engine.paper.plan.plan_json import FORMAT, FORMAT_NUMBER, PLACES, SENTENCES
from engine.paper.plan.plan_keys import MONEY, UNITS, unit_of
from engine.paper.plan.plan_schema import Schema, plan_schema
from engine.paper.plan.text_columns import table_lines, underlined, wrapped

ABOUT = (
    "`linewalk plan FILE --json` prints one JSON object in UTF-8, the same bytes on every run and machine; `linewalk plan --schema` its "
    "JSON Schema, draft 2020-12; without --json the plan is printed to be read.",
    "A job whose fence isn't surveyed yet has empty stages. What is worked out of a signed-off job is worked out today: what was signed "
    "stands in the record.",
)
MAY_CHANGE = (
    "Any version of the program may add a key, a code or a kind: leave out what you don't know. A key that goes away, or comes to mean "
    "something else or another unit, raises format_number.",
    f"Sentences are for people, in the units of the job, and may be worded otherwise in any version ({', '.join(SENTENCES)}): read codes, "
    "levels and figures. Figures move where the job, its rules or the program's version do.",
    "Keys of checklist items and codes of findings are stored in job files and stay.",
)
READ = (
    f"Figures are rounded to {PLACES} places. A key ends in its unit, whatever the units of the job; lists and pairs under such a key are "
    "in it too. null is what isn't known or isn't so.",
)
_WORDS = {"number": "number", "integer": "whole number", "string": "text", "boolean": "true or false", "null": "null"}


def plan_description() -> str:
    """The whole page, no line longer than 80 letters."""
    schema = plan_schema()
    parts = [
        underlined(f"{FORMAT}, format_number {FORMAT_NUMBER}"), wrapped(ABOUT),
        iter((*underlined("What may change"), *wrapped(MAY_CHANGE))),
        iter((*underlined("Units"), *wrapped(READ), "", *table_lines(Table("", ("ends in", "is in"), _units())))),
        iter((*underlined("The whole"), *_keys(schema))),
        *(_thing(name, schema["$defs"][name]) for name in _in_order(schema)),
    ]  # fmt: skip
    return "\n".join("\n".join((*part, "")) for part in parts)


def _units() -> tuple[tuple[str, str], ...]:
    return tuple((f"_{unit}", says) for unit, says in UNITS.items())


def _in_order(schema: Schema) -> list[str]:
    """The things, each after the one that names it first."""
    order: list[str] = []
    todo = list(_named(schema["properties"]))
    while todo:
        name = todo.pop(0)
        if name not in order:
            order.append(name)
            todo = [*_named(schema["$defs"][name]), *todo]
    return order


def _named(told: Any) -> Iterator[str]:
    if isinstance(told, dict):
        for key, value in told.items():
            if key == "$ref":
                yield value.rpartition("/")[2]
            else:
                yield from _named(value)
    elif isinstance(told, list):
        for one in told:
            yield from _named(one)


def _thing(name: str, told: Schema) -> Iterator[str]:
    yield from underlined(name)
    yield from wrapped((told["description"],) if "description" in told else ())
    yield from _keys(told)


def _keys(told: Schema) -> Iterator[str]:
    rows = tuple((key, _holds(key, one, key in told["required"])) for key, one in told["properties"].items())
    return table_lines(Table("", ("key", "holds"), rows))


def _holds(key: str, told: Schema, always: bool) -> str:
    words = _words(told)
    unit = unit_of(key)
    inside = UNITS[unit].partition(";")[0].partition(":")[0] if unit else "money" if key in MONEY else ""
    return f"{words}{f', {inside}' if inside else ''}{'' if always else '; may be left out'}"


def _words(told: Schema) -> str:
    """What a value is, in words."""
    if "$ref" in told:
        return str(told["$ref"].rpartition("/")[2])
    if "const" in told:
        return f"always {told['const']}"
    if "enum" in told:
        return f"one of {', '.join(map(str, told['enum']))}"
    if "anyOf" in told:
        return " or ".join(map(_words, told["anyOf"]))
    kind = told["type"]
    if isinstance(kind, list):
        return " or ".join(_WORDS[one] for one in kind)
    if kind == "array":
        return f"list of {_words(told['items'])}" if "items" in told else f"pair of {_words(told['prefixItems'][0])}"
    if kind == "object":
        inside = told.get("properties")
        return f"thing with {listed([*inside])}" if inside else f"{_words(told['additionalProperties'])} by name"
    return f"{told['format']} as text" if "format" in told else _WORDS[kind]
