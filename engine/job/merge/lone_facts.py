"""What only one of two copies has, where no version that both came from is kept: it stays and is told, as the other may have taken it out.

A tick with a reading, a reason or a photo isn't opened again without an entry in the log: where there is none it came later, untold.
"""

from collections.abc import Collection, Mapping
from dataclasses import dataclass

from engine.calc.phrases import listed
from engine.job.edit.plan_taken_back import NewPlan
from engine.job.merge.began import JOINED, Began, opened_unsaid
from engine.job.model.job import Job
from engine.job.model.log_entries import AddEntry, live
from engine.job.model.words.key_words import item_words, record_words

MOST_NAMED = 12


@dataclass(frozen=True, slots=True)
class LoneFacts:
    """Records and ticks, in words, that one copy had when they parted, or made since without a word in the log, and the other hasn't."""

    records: tuple[str, ...] = ()
    ticks: tuple[str, ...] = ()

    def says(self, file: str, other: str) -> tuple[str, ...]:
        """A sentence for each kind, with the names of the file that has them and of the other."""
        said = []
        if self.records:
            it, be = ("it", "It is") if len(self.records) == 1 else ("them", "They are")
            said.append(f"Only {file} has {_named(self.records)}. {be} kept; whether {other} took {it} out isn't known.")
        if self.ticks:
            it, be = ("it", "It is") if len(self.ticks) == 1 else ("them", "They are")
            said.append(f"Ticked only in {file}: {_named(self.ticks)}. {be} kept; whether {other} opened {it} again isn't known.")
        return tuple(said)


def lone_facts(began: Began, ours: Job, theirs: Job, joined: Job) -> tuple[LoneFacts, LoneFacts]:
    """What only ours and what only theirs has, of that which stands in the joined job."""
    return _of(began.ours, began.theirs, ours, theirs, joined), _of(began.theirs, began.ours, theirs, ours, joined)


def _of(start: Job, other_start: Job, side: Job, other: Job, joined: Job) -> LoneFacts:
    records = []
    for table in type(joined).model_fields:
        rows, there, now, kept = (getattr(job, table) for job in (start, other_start, side, joined))
        if table not in JOINED and isinstance(rows, Mapping):
            records += [record_words(table, name) for name in rows if name not in there and name in now and name in kept]
    fresh = {*(side.posts.keys() - start.posts.keys()), *_added(side, {entry.id for entry in other.log})}
    opened = [one for plan in live(other.log) if isinstance(plan, NewPlan) and plan.before for one in plan.before.checks]
    gone = {*other.checks, *start.checks, *opened}
    ticks = []
    for key, tick in side.checks.items():
        told = key in gone or key.about in fresh or not opened_unsaid(tick)
        if not told and joined.checks.get(key) == tick:
            ticks.append(item_words(key))
    return LoneFacts(tuple(records), tuple(ticks))


def _added(side: Job, known: Collection[str]) -> set[str]:
    return {entry.post for entry in live(side.log) if isinstance(entry, AddEntry) and entry.id not in known}


def _named(words: tuple[str, ...]) -> str:
    more = len(words) - MOST_NAMED
    return listed([*words[:MOST_NAMED], f"{more} more"] if more > 0 else list(words))
