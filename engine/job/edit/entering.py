"""Records entered one by one: each function gives a new Job with a record more, changed, renamed or gone."""

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from pydantic import TypeAdapter, ValidationError

from engine.calc.phrases import first_few, listed, plural
from engine.calc.units import in_units
from engine.job.edit.edits import refuse_sealed
from engine.job.edit.entered_sizes import wrong_sizes
from engine.job.edit.names_followed import followed
from engine.job.errors import EditRefused, EntryRefused, PathInFile, Problem
from engine.job.model.base import Id
from engine.job.model.cross_checks import point_names, problems
from engine.job.model.job import Job
from engine.job.model.words.refusals import problems_of

NAME = "id"
"""Last part of the path of a problem with a record's own name."""

_NOUNS = {
    "points": "point", "shots": "shot", "structures": "structure", "trees": "tree", "obstacles": "obstacle", "utilities": "utility",
    "boundaries": "boundary", "decks": "deck", "lines": "line", "surfaces": "hard stretch", "heights": "change of height",
    "gates": "gate", "yards": "yard", "dogs": "dog", "stock": "stock row",
}  # fmt: skip
RECORD_TABLES = tuple(_NOUNS)
"""Tables whose records have names that may be given anew."""
_USERS = {**_NOUNS, "alternatives": "alternative"}
_WHOLE = {"fence": "the fence", "posts": "the accepted plan", "log": "the log"}
# What is said of the text of a file and not of a box that was filled in.
_OF_FILES = (
    (". Write it without quotes", ""), (", without quotes", ""), (". Put it in quotes", ""), ("true or false", "yes or no"),
    (" Write it in this table.", ""),
)  # fmt: skip
_NAMES = TypeAdapter(Id)
MOST_NAMED = 3


def add(job: Job, table: str, name: str, fields: Mapping[str, object]) -> Job:
    """Job with one record more."""
    if name in getattr(job, table):
        said = f"There is a {_NOUNS[table]} {name} already: give this one another name, or correct that one."
        raise EntryRefused([Problem((table, name, NAME), said, name)])
    return put(job, table, name, fields)


def put(job: Job, table: str, name: str | None, fields: Mapping[str, object]) -> Job:
    """Job with a record written: a new one at the end of its table, one that is there in its place."""
    path = (table,) if name is None else (table, name)
    after = written(job, table, name, fields)
    found = problems(after)
    own = [problem for problem in found if problem.path[: len(path)] == path]
    if name is not None:
        own += wrong_sizes(after, table, name)
    if path == ("rules", "cables") and (says := after.rules.cables.set_outside):
        own.append(Problem((*path, "set_F"), f"{says}.", after.rules.cables.set_F))
    if own:
        raise EntryRefused(own)
    _refuse_broken(job, after, found, ())
    return after


def written(job: Job, table: str, name: str | None, fields: Mapping[str, object]) -> Job:
    """Job with a record written that is right by itself; whether the others agree with it isn't asked."""
    refuse_sealed(job)
    held = getattr(job, table)
    made = _valid_table(job, table, name, fields)
    return job.model_copy(update={table: {**held, **made} if isinstance(held, dict) else made})


def remove(job: Job, table: str, name: str) -> Job:
    """Job without a record."""
    refuse_sealed(job)
    _refuse_unknown(job, table, name)
    after = job.model_copy(update={table: {other: row for other, row in getattr(job, table).items() if other != name}})
    _refuse_broken(job, after, problems(after), (name,))
    return after


def take_out(job: Job, table: str) -> Job:
    """Job without what it has one of at most."""
    refuse_sealed(job)
    after = job.model_copy(update={table: None})
    _refuse_broken(job, after, problems(after), ())
    return after


def rename(job: Job, table: str, old: str, new: str) -> Job:
    """Job with a record under another name, in its place; whatever names it follows, the log and the keys of its ticks too."""
    refuse_sealed(job)
    _refuse_unknown(job, table, old)
    if new in getattr(job, table) or (table == "points" and new in point_names(job)):
        raise EntryRefused([Problem((table, new, NAME), f"There is a {_NOUNS[table]} {new} already: give another name.", new)])
    check_name(table, new)
    held = {new if name == old else name: row for name, row in getattr(job, table).items()}
    alone = sum(old in getattr(job, other) for other in (*_NOUNS, "posts")) < 2
    return _named_anew(job, job.model_copy(update={table: held}), table, old, new, alone=alone)


def rename_point(job: Job, old: str, new: str) -> Job:
    """Job with a point under another name, known or measured, wherever it is named."""
    if old in job.points:
        return rename(job, "points", old, new)
    refuse_sealed(job)
    if new in point_names(job):
        raise EntryRefused([Problem(("points", new, NAME), f"There is a point {new} already: give another name.", new)])
    check_name("points", new)
    return _named_anew(job, job, "points", old, new, alone=not any(old in getattr(job, table) for table in (*_NOUNS, "posts")))


def _named_anew(job: Job, renamed: Job, table: str, old: str, new: str, *, alone: bool) -> Job:
    after = followed(renamed, table, old, new, alone=alone)
    _refuse_broken(job, after, problems(after), (old,))
    return after


def _valid_table(job: Job, table: str, name: str | None, fields: Mapping[str, object]) -> Any:
    """The table (or its one record) that these fields make, each record checked by itself."""
    row: object = dict(fields)
    if name is not None:
        check_name(table, name)
        row = {**job.rules.model_dump(), name: row} if table == "rules" else {name: row}
    try:
        with in_units(job.job.units):
            return getattr(Job.model_validate({table: row}), table)
    except ValidationError as error:
        raise EntryRefused([_said_of_a_box(problem) for problem in problems_of(error, Job)]) from error


def _said_of_a_box(problem: Problem) -> Problem:
    """A problem as it is said of a box on the screen."""
    said = problem.message
    for words, instead in _OF_FILES:
        said = said.replace(words, instead)
    return Problem(problem.path, said.replace(" is missing.", " is needed."), problem.value, problem.field)


def check_name(table: str, name: str) -> None:
    """Refuse what can't be a record's name."""
    try:
        _NAMES.validate_python(name)
    except ValidationError as error:
        said = "A name is up to 40 letters, digits, - and _, a letter or digit first, like T1 or back_gate."
        raise EntryRefused([Problem((table, name, NAME), said, name)]) from error


def _refuse_broken(job: Job, after: Job, found: list[Problem], gone: Iterable[str]) -> None:
    """Refuse what leaves others without something they name: who they are, in one sentence."""
    if not found:
        return
    lost = {*gone, *(point_names(job) - point_names(after))}
    named = list(dict.fromkeys(str(problem.value) for problem in found if problem.value in lost))
    users = [problem.path for problem in found if problem.value in lost]
    raise EntryRefused([Problem((), f"{still_used(named, users)}.")] if users else found)


def still_used(named: Sequence[str], users: Sequence[PathInFile]) -> str:
    """Who still uses what, in words without their end."""
    return f"{first_few(named)} {plural(len(named), 'is', 'are')} still used by {listed(_users(users))}"


def _users(paths: Sequence[PathInFile]) -> list[str]:
    """Who these paths belong to; more than two of a kind are counted."""
    by_table: dict[str, dict[str, None]] = {}
    for path in paths:
        table = str(path[0])
        by_table.setdefault(table, {})[_WHOLE.get(table) or f"{_USERS[table]} {path[1]}"] = None
    return [user for table, users in by_table.items() for user in (users if len(users) <= MOST_NAMED else (f"{len(users)} {table}",))]


def _refuse_unknown(job: Job, table: str, name: str) -> None:
    if name not in getattr(job, table):
        raise EditRefused(f"There is no {_NOUNS[table]} {name} in this job.")
