"""What things are called once another laptop, or an edit here, gave a post, gate, line, tree or shot another name."""

import re
from collections.abc import Collection
from typing import NamedTuple

from engine.calc.lengths import LengthError, parse_length_ft
from engine.job.edit.entering import RECORD_TABLES
from engine.job.edit.renames_found import Renamed, called, names_of, renames
from engine.job.merge.records_apart import taken_over
from engine.job.merge.told_apart import posts_called, posts_renamed, subject_called
from engine.job.model.checks import Tick
from engine.job.model.item_key import ItemKey
from engine.job.model.job import Job

_WORD = re.compile(r"[^\s,]+")


class NewNames(NamedTuple):
    """What is called otherwise than in the job before: posts, and records of its tables one after the other."""

    before: Job
    posts: dict[str, str]
    records: tuple[Renamed, ...]

    def record(self, table: str, name: str) -> str:
        """The name of a record now; of points also of one that a shot measures."""
        for one in self.records:
            if (one.table, one.old) == (table, name):
                name = one.new
        return name

    def words(self, text: str, tables: Collection[str], *, lengths: bool) -> str:
        """Words with the names of these tables that hold now, capitals or not; among `lengths` what reads as one is no name."""
        for one in self.records:
            if one.table in tables:
                text = _WORD.sub(lambda word, one=one: one.new if _means(word[0], one.old, lengths) else word[0], text)  # type: ignore[misc]  # bound at once
        return text

    def place(self, text: str, *, lengths: bool) -> str:
        """Posts and points in words, with the names that hold now."""
        posts = {old.casefold(): new for old, new in self.posts.items()}
        return _WORD.sub(lambda word: posts.get(word[0].casefold(), word[0]), self.words(text, ("points",), lengths=lengths))

    def thing(self, name: str) -> str:
        """The name now of what is known by it alone: a post, a bay, a record. What is still called so as well stays so."""
        name = subject_called(name, self.posts, self.before)
        anew = [self.record(table, name) for table in RECORD_TABLES if name in names_of(self.before, table)]
        return next(iter(anew), name) if name not in anew else name

    def item(self, key: ItemKey, tick: Tick) -> tuple[ItemKey, Tick]:
        """An item and what was ticked there, or would be, with the names that hold now."""
        return next(iter(self.called(self.before.model_copy(update={"checks": {key: tick}})).checks.items()))

    def called(self, job: Job) -> Job:
        """The job before as if all had been called from the first as it is now."""
        job = posts_called(job, self.posts)
        for one in self.records:
            job = called(job, one)
        return job


def _means(word: str, name: str, lengths: bool) -> bool:
    if word.casefold() != name.casefold():
        return False
    try:
        return not (lengths and parse_length_ft(word) is not None)
    except LengthError:
        return True


def new_names(before: Job, now: Job) -> NewNames | None:
    """What is called otherwise now; None where all is called as it was."""
    posts = posts_renamed(before, now)
    alike = posts_called(before, posts)
    apart = taken_over(alike, now)
    for one in apart:
        alike = called(alike, one)
    records = (*apart, *renames(alike, now))
    return NewNames(before, posts, records) if posts or records else None
