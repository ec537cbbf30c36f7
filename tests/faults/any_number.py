"""Numbers of the demo jobs replaced by others, one or two at a time, and all that the program makes of what still loads."""

import random
import re
import tempfile
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

from pydantic import BaseModel, ValidationError

from engine.findings import STAGES
from engine.job.file.store import Loaded, load
from engine.job.model.cross_checks import problems
from engine.job.model.job import Job
from engine.paper.crew.crew_sheets import crew_html
from engine.paper.load_list import load_text
from engine.paper.plan.plan_json import plan_text
from engine.paper.record_files import write_record
from engine.paper.seal_check import touched
from engine.sheets.stage_sheets import sheet_of
from engine.walk import Walk, walk
from tests.demo import FOLDER
from tui import stages
from tui.screens.pictures import picture_of
from tui.stages.cards import card_of

Path_ = tuple[str | int, ...]

ACROSS = (
    -1e5,
    -20_001,
    -20_000,
    -9_999,
    -500,
    -30,
    -1,
    -0.01,
    0,
    1e-4,
    0.05,
    1,
    3,
    12,
    45,
    59,
    180,
    359,
    700,
    2_500,
    9_999,
    20_000,
    1e5,
    1e6,
)
"""Across what a file allows and beyond it: what is absurd is refused early, it is the middle that breaks."""
NO_NUMBER = re.compile(r"\b(nan|NaN|inf|Infinity)\b")
EVERY = 80
"""Of the cases that load, every so many are also printed in every form and shown on every page."""


def numbers(part: object, path: Path_ = ()) -> Iterator[tuple[Path_, float]]:
    """Every number that a job's file gives or may give in a table that it has, with the path to it."""
    if isinstance(part, BaseModel):
        for name, field in type(part).model_fields.items():
            inner = getattr(part, name)
            yield from numbers(1.0 if inner is None and "float" in str(field.annotation) else inner, (*path, name))
    elif isinstance(part, Mapping):
        for name, inner in part.items():
            yield from numbers(inner, (*path, name))
    elif isinstance(part, tuple):
        for index, inner in enumerate(part):
            yield from numbers(inner, (*path, index))
    elif isinstance(part, int | float) and not isinstance(part, bool):
        yield path, part


def with_number(part: Any, path: Path_, number: float) -> Any:
    """The part with another number at a path, every model on the way validated anew, as the file's reader does it."""
    if not path:
        return number
    here, *rest = path
    if isinstance(part, BaseModel):
        fields = {name: getattr(part, name) for name in part.model_fields_set}
        return type(part).model_validate({**fields, here: with_number(getattr(part, str(here)), tuple(rest), number)})
    if isinstance(part, Mapping):
        return {**part, here: with_number(part[here], tuple(rest), number)}
    index = int(here)
    return (*part[:index], with_number(part[index], tuple(rest), number), *part[index + 1 :])


def changes(rng: random.Random, found: Sequence[tuple[Path_, float]]) -> dict[Path_, float]:
    """One or two numbers to put in."""
    picked = rng.sample(found, rng.choice((1, 2)))
    return {path: _another(rng, was) for path, was in picked}


def _another(rng: random.Random, was: float) -> float:
    number = rng.choice((*ACROSS, was / 2, was * 3, was * 20, was + 7, round(rng.uniform(-300, 300), 2)))
    return int(number) if isinstance(was, int) and rng.random() < 0.5 else number


def broken(name: str, count: int) -> tuple[int, list[str]]:
    """How many of `count` cases of one demo load, and those of them that end in anything but a walk and all that is made of it."""
    rng, loaded = random.Random(name), load(FOLDER / f"{name}.toml")
    found = [(path, number) for path, number in numbers(loaded.job) if path != ("format",)]
    walk(loaded.job)
    accepted, wrong = 0, []
    for _ in range(count):
        case = changes(rng, found)
        job = loaded_with(loaded.job, case)
        if job is None:
            continue
        accepted += 1
        try:
            walked = walk(job)
            said = "\n".join(f"{finding.says} {finding.do}" for finding in walked.findings)
            if accepted % EVERY == 0:
                said += everything(replace(loaded, job=job, seal_holds=None if job.record is None else False), walked)
        except Exception as error:
            wrong.append(f"{name} {case}: {error!r}")
        else:
            if NO_NUMBER.search(said):
                wrong.append(f"{name} {case}: a number that is none")
    return accepted, wrong


def loaded_with(job: Job, case: Mapping[Path_, float]) -> Job | None:
    """The job with these numbers in it, or None where its file would be refused."""
    try:
        for path, number in case.items():
            job = with_number(job, path, number)
    except ValidationError:
        return None
    return None if problems(job) else job


def everything(loaded: Loaded, walked: Walk) -> str:
    """All that is printed, written and shown of a job; the tables of every stage as words."""
    job = loaded.job
    plan_text(walked)
    load_text(job, walked.takeoff)
    crew_html(job, walked, "today")
    with tempfile.TemporaryDirectory() as folder:
        touched(loaded, walked, state=Path(folder))
        for ending in ("record.html", "record.md", "record.txt", "record.csv"):
            write_record(loaded, Path(folder) / ending)
    for kind in ("plan", "profile", "elevation", "corner", "apron"):
        for chosen in (
            *job.lines,
            *job.gates,
            *list(walked.layout.bays)[:2],
            *list(walked.layout.supports)[:2],
            *list(walked.cables.loops)[:1],
        ):
            picture_of(kind, job, walked, chosen)
            card_of(job, walked, chosen)
    tables = [table for name in STAGES for table in stages.figures(name, job, walked)]
    figures = (cell for table in tables for row in table.rows for cell in row.cells)
    sheets = (cell.words for name in STAGES for row in sheet_of(name, job, walked).rows() for cell in row.cells)
    return "\n".join((*figures, *sheets))
