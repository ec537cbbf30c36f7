"""A slip in any field of any record is told with its place, what stands there and what to do; a misspelt key with the right one."""

import re
from functools import cache
from pathlib import Path

import pytest

from engine.job.errors import BadContent, Located
from engine.job.file.from_bytes import read_job
from engine.job.file.store import load

SAMPLE = sorted(Path(__file__).with_name("formats").glob("format_1_*.toml"))[-1]
LINES = SAMPLE.read_text(encoding="utf-8").splitlines()
FIELD = re.compile(r"^([a-z][A-Za-z0-9_]*) = (.*)$")
HEADING = re.compile(r"^\[+(.+?)\]+$")
FREE = ("left_open", "bays_ft", "quantities", "parts")
"""Tables of the record whose keys are names, not fields."""


@cache
def fields() -> tuple[tuple[int, str, str, str], ...]:
    """One line for every field of every table that the sample holds: number of the line, table, field, value as it stands."""
    found: dict[tuple[str, str], tuple[int, str, str, str]] = {}
    table = kind = ""
    for number, line in enumerate(LINES, 1):
        if heading := HEADING.match(line):
            table, kind = heading[1], ""
            below = "\n".join(LINES[number : number + 30]).split("\n[")[0]
            told = re.search(r'^(?:kind|method) = "(.+)"', below, re.MULTILINE)
            kind = told[1] if told else ""
        elif (match := FIELD.match(line)) and table != "end" and not match[2].startswith("["):
            parts = table.split(".")
            shape = (parts[0], parts[1]) if parts[0] in ("record", "rules") and len(parts) > 1 else (parts[0], "")
            if shape[1] not in FREE:
                found.setdefault((".".join((*shape, kind)), match[1]), (number, table, match[1], match[2]))
    return tuple(found.values())


def refused(number: int, line: str) -> tuple[Located, ...]:
    """What is said where one line of the sample is another one."""
    text = "\n".join([*LINES[: number - 1], line, *LINES[number:], ""])
    with pytest.raises(BadContent) as caught:
        read_job(SAMPLE, text.encode())
    assert str(caught.value).startswith(f"{SAMPLE.name}: ")
    return caught.value.problems


def name_of(number: int, table: str, field: str) -> str:
    return f"{number}-{table or 'heading'}.{field}"


IDS = [name_of(number, table, field) for number, table, field, _ in fields()]


def test_the_sample_has_hundreds_of_fields_in_every_table() -> None:
    assert len(fields()) > 200
    job = load(SAMPLE).job
    tables = {table.split(".")[0] for _, table, _, _ in fields()}
    assert {name for name in type(job).model_fields if name not in ("format", "posts")} <= tables | {"posts"}


def wrong_for(value: str) -> tuple[str, str]:
    """A value of the wrong kind, and what the message must show of it."""
    if value.startswith('"'):
        return "[7, 7]", ""
    return ('"about six"', "about six") if value[0].isdigit() or value[0] == "-" else ('"perhaps"', "perhaps")


@pytest.mark.parametrize(("number", "table", "field", "value"), fields(), ids=IDS)
def test_a_value_of_the_wrong_kind_is_told_where_it_stands_and_what_is_wanted(number: int, table: str, field: str, value: str) -> None:
    wrong, shown = wrong_for(value)
    line = f"{field} = {wrong}"
    told = next(problem for problem in refused(number, line) if problem.line == number)
    assert field in f"{told.table} {told.field}"
    assert table.split(".")[0].strip('"') in f"{told.table} {field}"
    assert 1 <= told.column <= len(line)
    assert shown in told.message
    assert len(told.message.split()) > 3


SLIPS = [(number, field, value) for number, _, field, value in fields() if len(field) > 2 and field not in ("format", "kind", "method")]


@pytest.mark.parametrize(("number", "field", "value"), SLIPS, ids=[f"{number}-{field}" for number, field, _ in SLIPS])
def test_a_misspelt_key_is_told_with_the_right_one(number: int, field: str, value: str) -> None:
    """Its last two letters change places."""
    slip = f"{field[:-2]}{field[-1]}{field[-2]}" if field[-1] != field[-2] else f"{field}x"
    told = next(problem for problem in refused(number, f"{slip} = {value}") if problem.line == number)
    assert told.message == f'there is no {slip} here. Did you mean "{field}"?'
