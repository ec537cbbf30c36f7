"""The plan as JSON held to its schema by a library, whatever the job; every figure's key says its unit; the page names every key."""

import json
import re
from collections.abc import Iterator
from functools import cache
from random import Random
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from jsonschema import Draft202012Validator

from engine.calc.units import FEET_INCHES, METRES
from engine.job.errors import EditRefused
from engine.job.file.store import load, starter
from engine.job.model.job import Job
from engine.paper.plan.plan_description import plan_description
from engine.paper.plan.plan_json import SENTENCES, plan, plan_text
from engine.paper.plan.plan_keys import MONEY, UNITS, unit_of
from engine.paper.plan.plan_schema import Things, plan_schema
from engine.walk import walk
from tests.ahead.first_talks import PHONE, said, taped
from tests.change.test_beyond_reach import jobs, random_edit
from tests.demo import FOLDER, accepted, demo, others
from tests.repair.test_old_sleeves_again import moved_away
from tests.stages.yards import empty, half_surveyed, long_job, plain, sloping
from tui.cli import main

FORMATS = FOLDER.parent / "tests/job/file/formats"
JOBS = {
    "starter": starter("yard"), "empty": empty(), "half surveyed": half_surveyed(), "plain": plain(), "sloping": sloping(),
    "long": long_job(), "said": said(PHONE), "taped": taped(PHONE, 140), "willow": demo(), "accepted": accepted(), "repair": moved_away(),
    **others(), **{path.stem: load(path).job for path in sorted(FORMATS.glob("*.toml"))},
}  # fmt: skip
COUNTED = {"low", "likely", "high"}
"""Their unit is that of the key above them."""


@cache
def schema() -> Draft202012Validator:
    Draft202012Validator.check_schema(plan_schema())
    return Draft202012Validator(plan_schema(), format_checker=Draft202012Validator.FORMAT_CHECKER)


def wrong(job: Job, seal: tuple[str, ...] = ()) -> list[str]:
    """What of the printed plan isn't as the schema says."""
    printed = json.loads(plan_text(walk(job), seal, job))
    return [f"{list(error.absolute_path)}: {error.message[:200]}" for error in schema().iter_errors(printed)]


@pytest.mark.parametrize("name", JOBS)
def test_the_plan_of_any_job_is_as_its_schema_says(name: str) -> None:
    assert wrong(JOBS[name]) == []
    assert wrong(JOBS[name], ("Mo's name was changed.",)) == []


@settings(max_examples=15, deadline=None)
@given(seed=st.integers(0, 10**6))
def test_whatever_happens_on_a_job(seed: int) -> None:
    random = Random(seed)
    job = random.choice(jobs())
    for _ in range(random.randint(1, 6)):
        try:
            job = random_edit(job, random)
        except EditRefused:
            continue
    assert wrong(job) == []


@pytest.mark.parametrize("name", ["ridge_ring", "repair", "format_1_3"])
def test_in_other_units_sentences_are_told_otherwise_and_nothing_else(name: str) -> None:
    job = JOBS[name]
    units = FEET_INCHES if job.job.units == METRES else METRES
    other = job.model_copy(update={"job": job.job.model_copy(update={"units": units})})
    told = [json.loads(plan_text(walk(one), (), one)) for one in (job, other)]
    ours, theirs = (dict(values(one)) for one in told)
    assert ours.keys() == theirs.keys()
    apart = {path for path, value in ours.items() if value != theirs[path]}
    assert {next(key for key in reversed(path) if isinstance(key, str)) for path in apart} <= {*SENTENCES}
    assert apart


def values(told: Any) -> Iterator[tuple[tuple[Any, ...], Any]]:
    """Everything that holds nothing else, by its place; figures to what rounding leaves apart."""
    for path in spots(told):
        held = told
        for key in path:
            held = held[key]
        if not isinstance(held, dict | list):
            yield path, round(held, 3) if isinstance(held, float) else held


def spots(told: Any, path: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    inside = told.items() if isinstance(told, dict) else enumerate(told) if isinstance(told, list) else ()
    for key, value in inside:
        yield (*path, key)
        yield from spots(value, (*path, key))


@cache
def ridge() -> tuple[str, tuple[tuple[Any, ...], ...]]:
    printed = json.loads(plan_text(walk(others()["ridge_ring"]), (), others()["ridge_ring"]))
    return json.dumps(printed), tuple(spots(printed))


@settings(max_examples=25, deadline=None)
@given(st.integers(0, 10**9))
def test_a_thing_in_the_place_of_any_value_and_a_key_more_are_refused(seed: int) -> None:
    printed, places = json.loads(ridge()[0]), ridge()[1]
    *path, last = places[seed % len(places)]
    held = printed
    for key in path:
        held = held[key]
    held[last] = {"no such key": [0]}
    assert not schema().is_valid(printed)


def test_a_key_less_is_refused() -> None:
    for path in (
        ("format",),
        ("stages", "cables", "loops", "L1", "cut_ft"),
        ("stages", "survey", "points", "K1", "ellipse", "azimuth_deg"),
    ):
        printed = json.loads(ridge()[0])
        held = printed
        for key in path[:-1]:
            held = held[key]
        del held[path[-1]]
        assert not schema().is_valid(printed)


def properties(told: Any = None) -> Iterator[tuple[str, Any]]:
    """Every key of the schema with what it holds, those of things inside a list too."""
    for key, inside in (plan_schema() if told is None else told).items():
        if key == "properties":
            yield from inside.items()
        if isinstance(inside, dict):
            yield from properties(inside)
        elif key == "anyOf":
            yield from (pair for one in inside for pair in properties(one))


def kinds(told: Any) -> set[str]:
    """What a value may be, things inside it aside."""
    if isinstance(told, list):
        return {kind for one in told for kind in kinds(one)}
    if not isinstance(told, dict) or "properties" in told:
        return set()
    return {told[key] for key in ("type", "$ref") if isinstance(told.get(key), str)} | {
        kind for one in told.values() for kind in kinds(one)
    }


def test_every_figure_says_its_unit_and_nothing_else_does() -> None:
    assert {key for key, told in properties() if "number" in kinds(told) and not unit_of(key)} == {*COUNTED}
    figures = {"number", "integer", "#/$defs/LowHigh"}
    assert {key for key, told in properties() if unit_of(key) and not kinds(told) & figures} == set()
    assert {key for key, _ in properties() if key in MONEY} == {"cost", "price_of_pack"}


def test_the_page_names_every_key_with_its_unit_inside_80_columns() -> None:
    page = plan_description()
    lines = page.split("\n")
    assert [line for line in lines if len(line) > 80] == []
    words = set(page.split())
    keys = {key for key, _ in properties()}
    assert [key for key in keys if key not in words and f"{key};" not in words and f"{key}," not in words] == []
    assert {*re.findall(r"^([a-z]\w*)  +\S", page[page.index("The whole") :], re.M)} <= keys
    assert {*SENTENCES} <= keys
    assert "tape_a_ft  number, feet" in lines
    assert "lift_lbf          number, pounds-force" in lines
    assert "format_number         always 1" in lines
    assert "None" not in words
    assert [unit for unit in UNITS if not any(line.startswith(f"_{unit} ") for line in lines)] == []


def test_the_commands_print_schema_and_page_and_want_a_file_only_for_a_plan(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["plan", "--schema"]) == 0
    assert json.loads(capsys.readouterr().out) == plan_schema()
    assert main(["plan", "--describe"]) == 0
    assert capsys.readouterr().out == plan_description()
    for words in (["plan", "--json"], ["plan", "--schema", "yard.toml"], ["plan", "--json", "--schema"]):
        with pytest.raises(SystemExit) as left:
            main(words)
        assert left.value.code == 2
    assert "error: the job file is missing" in capsys.readouterr().err


def test_a_value_without_a_form_is_named() -> None:
    with pytest.raises(TypeError, match="object isn't printed"):
        Things().of(object)
    assert plan(walk(empty()))["job"] == {"number": "", "title": "", "signed_off": False}
