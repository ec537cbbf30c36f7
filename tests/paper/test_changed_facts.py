"""Facts that differ between what was signed and what a file says now: in a crew's words, whatever was changed."""

import re
import tomllib
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest
import tomli_w

from engine.calc.units import FEET_INCHES, METRES, Units, in_units
from engine.job.errors import JobError
from engine.job.file.from_bytes import Document, read_job
from engine.job.model.job import Job
from engine.job.model.words.part_words import changed_words
from engine.paper.changed_facts import SideWords, changed_facts, record_facts
from tests.job.file.test_seal_parts import SAMPLE, leaves, with_other
from tests.repair.finished import finished, signed

BARE_KEY = re.compile(r"[a-z]:[A-Za-z]|[a-z]_[a-z]|\b[a-z]+\.[A-Z]")
"""`gives:P7`, `bays_ft`, `posts.P4`."""
LONG_DECIMAL = re.compile(r"\d\.\d{3}")
BOTH = re.compile(r": (?P<was>.*) when it was signed, (?P<now>.*) now\.$")
SLIGHTLY = 0.004


@pytest.fixture(scope="module")
def tables() -> dict[str, Any]:
    return tomllib.loads(SAMPLE.read_text(encoding="utf-8"))


def read(tables: Mapping[str, Any]) -> Document | None:
    try:
        return read_job(Path("yard.toml"), tomli_w.dumps(tables).encode())
    except JobError:
        return None


def kinds_of_leaves(tables: dict[str, Any]) -> list[tuple[str, ...]]:
    """A path to every kind of value: rows of a table are of one kind, entries of the log by what they say happened."""
    found: dict[tuple[str, ...], tuple[str, ...]] = {}
    for path in leaves(tables):
        kind = (path[0], tables["log"][int(path[1])]["kind"], *path[2:]) if path[0] == "log" else tuple(_names_aside(path))
        found.setdefault(kind, path)
    return list(found.values())


def _names_aside(path: tuple[str, ...]) -> list[str]:
    """A path without the names of rows: what stands at its ends."""
    return [
        path[0],
        *(path[1:2] if path[0] in ("record", "rules", "repair_of") else ()),
        str(len(path)),
        path[-1] if path[1] != "bays_ft" else "",
    ]


def otherwise(value: Any, path: tuple[str, ...]) -> Any:
    """The same tables with another value at a place; what a tick was made for with one more support."""
    if path[-1] != "of":
        return with_other(value, path)
    inner = list(value) if isinstance(value, list) else dict(value)
    at: Any = int(path[0]) if isinstance(value, list) else path[0]
    inner[at] = f"P99 at 1.234 E 2.345 N; {inner[at]}" if len(path) == 1 else otherwise(inner[at], path[1:])
    return inner


def slightly(value: Any, path: tuple[str, ...]) -> Any:
    """The same tables with a length that is a hair otherwise."""
    if not path:
        return value + SLIGHTLY if isinstance(value, float) else value
    inner = list(value) if isinstance(value, list) else dict(value)
    at: Any = int(path[0]) if isinstance(value, list) else path[0]
    inner[at] = slightly(inner[at], path[1:])
    return inner


def without(value: Any, path: tuple[str, ...]) -> Any:
    """The same tables without what stands at a place."""
    inner = list(value) if isinstance(value, list) else dict(value)
    at: Any = int(path[0]) if isinstance(value, list) else path[0]
    if len(path) == 1:
        del inner[at]
    else:
        inner[at] = without(inner[at], path[1:])
    return inner


def faults(says: str, ids: set[str]) -> list[str]:
    """What is wrong with a sentence as the office reads it."""
    words = re.sub(r'"[^"]{12,}"|photos/\S+|format 1, minor \d+|linewalk: [\d.]+', "", says)
    both = BOTH.search(says)
    wrong = [found[0] for found in (BARE_KEY.search(words), LONG_DECIMAL.search(words)) if found and "lb/ft" not in words]
    wrong += [entry for entry in ids if entry in says]
    return [*wrong, *([both["was"]] if both and both["was"] == both["now"] else [])]


@pytest.mark.parametrize("change", [otherwise, slightly, without])
def test_whatever_is_changed_is_named_in_words(change: Any, tables: dict[str, Any]) -> None:
    """Every kind of value of every table, one at a time: told from the version that was signed, and by the seal's own list."""
    signed_one = read(tables)
    assert signed_one is not None
    ids = {entry.id for entry in signed_one.job.log}
    told = 0
    for path in kinds_of_leaves(tables):
        there = change(tables, path)
        now = read(there) if there != tables else None
        if now is None or now.job.record is None:
            continue
        with in_units(FEET_INCHES):
            facts = changed_facts(signed_one.job, now.job, {})
        parts = changed_words(now.changed, now.job.log) if now.changed else ()
        assert facts or now.job == signed_one.job, path
        assert parts, path
        assert [(path, says, wrong) for says in (*facts, *parts) if (wrong := faults(says, ids))] == []
        told += 1
    assert told > {otherwise: 200, slightly: 60, without: 60}[change]


def changed_at(job: Job, **record: Any) -> Job:
    assert job.record is not None
    return job.model_copy(update={"record": job.record.model_copy(update=record)})


@pytest.fixture(scope="module")
def job() -> Job:
    return signed(finished("willow_bend"))


@pytest.mark.parametrize(
    ("units", "says"),
    [
        (FEET_INCHES, "The record's bay P3-P4: 23' 7 1/16\" when it was signed, 22' 7 1/16\" now."),
        (METRES, "The record's bay P3-P4: 7.19 m when it was signed, 6.885 m now."),
    ],
)
def test_a_bay_of_the_record_is_told_with_its_length_as_a_crew_writes_it(units: Units, says: str, job: Job) -> None:
    assert job.record is not None
    bays = {**job.record.bays_ft, "P3-P4": 22.59}
    was = changed_at(job, bays_ft={**bays, "P3-P4": 23.59})
    with in_units(units):
        assert changed_facts(was, changed_at(job, bays_ft=bays), {}) == (says,)


def test_a_reason_is_told_by_what_was_left_open(job: Job) -> None:
    assert job.record is not None
    key, found = next(iter(job.record.found_open.items()))
    (says,) = changed_facts(job, changed_at(job, left_open={**job.record.left_open, key: "nobody asked"}), {})
    assert says.startswith(f"The record's reason for leaving open \"{found.says[:40]}")
    assert says.endswith('": "the client knows" when it was signed, "nobody asked" now.')
    older = changed_at(job, found_open={}, left_open={"brace_foot_gives:P7": "rock"})
    (says,) = changed_facts(older, changed_at(older, left_open={"brace_foot_gives:P7": "none"}), {})
    assert says == 'The record\'s reason for leaving open P7 brace foot gives: "rock" when it was signed, "none" now.'


def test_stock_is_told_by_its_name_in_its_unit(job: Job) -> None:
    assert job.record is not None
    used = {**job.record.quantities, "cap": 7.0, "cable-3-32": 253.7}
    told = changed_facts(changed_at(job, quantities=used), changed_at(job, quantities={**used, "cap": 9.0, "cable-3-32": 300.2}), {})
    assert told == (
        "The record's use of post cap: 7 pieces when it was signed, 9 pieces now.",
        "The record's use of galvanized cable 3/32 in 7x7: 254 ft when it was signed, 300 ft now.",
    )


def test_long_words_are_told_from_where_they_part(job: Job) -> None:
    long = "Gate code at the office, dogs in the garage until noon, neighbor to the north wants a word "
    was, now = (job.model_copy(update={"job": job.job.model_copy(update={"site": f"{long}{end}"})}) for end in ("first", "after"))
    (says,) = changed_facts(was, now, {})
    assert says == "The job's site: ... north wants a word first when it was signed, ... north wants a word after now."


AGAINST = SideWords("in the record", "by the file")


@pytest.mark.parametrize(
    ("was", "now", "told"),
    [
        ({"bays_ft": {"P3-P4": 13.8341}}, {"bays_ft": {"P3-P4": 13.8349}}, ()),
        ({"bays_ft": {"P3-P4": 13.8359}}, {"bays_ft": {"P3-P4": 13.8362}}, ()),
        ({"supports": {"P4": {"driven_in": 30.0}}}, {"supports": {"P4": {"driven_in": 30.05}}}, ()),
        ({"supports": {"P4": {"tie_a": "24' 0 1/4\" from A"}}}, {"supports": {"P4": {"tie_a": "24' 0 3/8\" from A"}}}, ()),
        ({"quantities": {"cap": 7.0}}, {"quantities": {"cap": 7.01, "lock": 0.0}}, ()),
        (
            {"supports": {"P4": {"tie_a": "24' 0 1/4\" from A"}}},
            {"supports": {"P4": {"tie_a": "24' 0 1/4\" from B"}}},
            ("The record's support P4: first tape 24' 0 1/4\" from A in the record; first tape 24' 0 1/4\" from B by the file.",),
        ),
        (
            {"supports": {"P4": {"station_ft": 24.0, "east_ft": 1.75, "driven_in": 30.0}}},
            {"supports": {"P4": {"station_ft": 25.0, "east_ft": 1.7501}}},
            ("The record's support P4: station 24' 0\", driven depth 30\" in the record; station 25' 0\", no driven depth by the file.",),
        ),
        ({"supports": {"P4": {}}}, {"supports": {}}, ("The record's support P4: there in the record, not there by the file.",)),
        ({"supports": {}}, {"supports": {"P4": {}}}, ("The record's support P4: not there in the record, there by the file.",)),
    ],
)
def test_a_record_is_told_apart_as_far_as_a_tape_goes(was: Any, now: Any, told: tuple[str, ...], job: Job) -> None:
    with in_units(FEET_INCHES):
        assert record_facts(was, now, job, {}, AGAINST) == told
