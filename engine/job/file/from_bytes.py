"""Bytes of a job file to a job: text, format, models, rules across records; every refusal with its place."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any, TypeVar

from pydantic import ValidationError

from engine.calc.units import FEET_INCHES, in_units
from engine.job.errors import BadContent, NewerFormat, PathInFile, Problem
from engine.job.file.file_text import Tables, check_end, decode, parse
from engine.job.file.heading import Heading, later_format, wrong_format
from engine.job.file.job_tables import BOOKKEEPING, seal_digest
from engine.job.file.log_order import FOLLOWS, by_effect, without_follows
from engine.job.file.packed_text import packed
from engine.job.file.seal_parts import parts_changed
from engine.job.file.upgrade import upgraded
from engine.job.model.base import Part
from engine.job.model.cross_checks import problems
from engine.job.model.job import Job
from engine.job.model.words.part_words import PartsChanged
from engine.job.model.words.refusals import in_file, problems_of
from engine.job.toml.places import locate
from engine.job.toml.toml_tokens import has_comments

Model = TypeVar("Model", bound=Part)

_ALSO = {(): BOOKKEEPING, ("log",): (FOLLOWS,)}
_UNKNOWN = ("extra_forbidden", "union_tag_invalid")


@dataclass(frozen=True, slots=True)
class Document:
    """What one version of a job file says. `seal_holds` is None where the job isn't signed off; where it doesn't hold, `changed` is what
    the seal's own list of parts tells, if it has one."""

    job: Job
    heading: Heading
    commented: bool
    seal_holds: bool | None
    dropped: int = 0
    changed: PartsChanged | None = None


def read_job(path: Path, raw: bytes) -> Document:
    """The job that the bytes of a file hold. Raises: BadContent with every problem and its line; NewerFormat for a later major format."""
    return _read(path, raw, problems)


def read_back(path: Path, raw: bytes, job: Job, new: bytes, held: Job) -> Document:
    """What a version just written says, where its records but for those in `held` stand in it as they were read back before.

    `new` is the text of these by themselves, a whole job file: a record stands under a heading of its own, so it says alone what it
    says among others. Rules across records are asked of the whole job. A signed one is read whole, and so is what doesn't read back.

    Raises: as `read_job`.
    """
    if job.record is not None:
        return read_job(path, raw)
    try:
        said = _read(path, new, lambda _: problems(job))
    except BadContent:
        return read_job(path, raw)
    return replace(said, job=job) if said.job == held else read_job(path, raw)


def _read(path: Path, raw: bytes, across_records: Callable[[Job], list[Problem]]) -> Document:
    text = decode(path, raw)
    data = parse(path, text)
    later = later_format(data)
    if later:
        raise NewerFormat(path, later)
    wrong = wrong_format(data)
    if wrong:
        raise BadContent(path, locate(text, data, [wrong]))
    told = check_end(path, text, data)
    tables = upgraded(told)
    order, disordered = by_effect(tables.get("log"))
    heading, job, dropped, found = _models(without_follows(tables))
    if job is not None and not disordered:
        job = _in_effect(job, order)
        with in_units(job.job.units):
            found += (_in_file(problem, order) for problem in across_records(job))
    found += disordered
    if job is None or heading is None or found:
        raise BadContent(path, locate(text, data, found))
    seal_holds = None if job.record is None else seal_digest(told) == job.record.digest
    changed = parts_changed(told, heading.format_minor) if seal_holds is False else None
    return Document(packed(job), heading, has_comments(text), seal_holds, dropped, changed)


def _models(told: Tables) -> tuple[Heading | None, Job | None, int, list[Problem]]:
    """Heading and job, how much was left out of a newer minor format, and what is wrong."""
    first = {name: told[name] for name in BOOKKEEPING if name in told and name != "format"}
    rest = {name: value for name, value in told.items() if name not in first}
    heading, wrong_heading = _validated(Heading, first)
    dropped = 0
    if heading and heading.newer:
        rest, dropped = _known_only(rest)
    job, wrong = _validated(Job, rest)
    return heading, job, dropped, [*wrong_heading, *wrong]


def _in_effect(job: Job, order: Sequence[int]) -> Job:
    """The job, its log in that order."""
    return job if order == sorted(order) else job.model_copy(update={"log": tuple(job.log[number] for number in order)})


def _in_file(found: Problem, order: Sequence[int]) -> Problem:
    """A problem of the job as one of its file, where the log has that order in the job."""
    match found.path:
        case ("log", int(number), *inner):
            return replace(found, path=("log", order[number], *inner))
    return found


def _validated(model: type[Model], data: Tables) -> tuple[Model | None, list[Problem]]:
    try:
        with in_units(FEET_INCHES):  # a field names its unit, whatever the job is shown in
            return model.model_validate(data), []
    except ValidationError as error:
        return None, problems_of(error, model, _ALSO)


def _known_only(data: Tables) -> tuple[Tables, int]:
    """Tables without the keys and kinds that this program doesn't know, and how many those were."""
    try:
        with in_units(FEET_INCHES):
            Job.model_validate(data)
    except ValidationError as error:
        found = error.errors(include_url=False, include_context=False, include_input=False)
        unknown = {in_file(Job, row["loc"])[0] for row in found if row["type"] in _UNKNOWN}
        return _without(data, (), unknown), len(unknown)
    return data, 0


def _without(value: Any, here: PathInFile, unknown: set[PathInFile]) -> Any:
    if isinstance(value, Mapping):
        return {key: _without(inner, (*here, key), unknown) for key, inner in value.items() if (*here, key) not in unknown}
    if isinstance(value, list):
        return [_without(inner, (*here, index), unknown) for index, inner in enumerate(value) if (*here, index) not in unknown]
    return value
