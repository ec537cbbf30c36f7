"""Which work counts: what is ticked as done, and in a repair only what is new since it began."""

from collections.abc import Iterable, Mapping
from datetime import datetime

from engine.checklist import Checklist
from engine.findings import StageName
from engine.job.model.checks import Tick
from engine.job.model.item_key import ItemKey
from engine.job.model.job import Job
from engine.job.model.log_entries import RerouteEntry
from engine.job.model.tick_facts import TickFacts, same_place
from engine.stages.layout.stage import Layout
from engine.stages.standing_line import stands

Made = Mapping[str, Mapping[str, Tick]]
"""Ticks by what was done and by what it was done of."""


class CountedWork:
    """Which items are ticked as done, asked by stage and what, of all subjects at once."""

    def __init__(self, job: Job, layout: Layout, checklists: Mapping[StageName, Checklist]) -> None:
        self.checklists, self._repair_of = checklists, job.repair_of
        self._supports = layout.supports

    def of(self, stage: StageName, what: str) -> Mapping[str, Tick]:
        """The ticks of what is done, by subject."""
        return self.checklists[stage].tally.done.get(what, {})

    def new(self, stage: StageName, subject: str, what: str) -> bool:
        """Whether a thing counts in this job: in a repair one that stood before isn't needed, nor used."""
        if self._repair_of is None:
            return True
        line = self.checklists[stage].by_key.get(ItemKey(stage, subject, what))
        return line is None or not stands(line.tick, self._repair_of)

    def needed(self, stage: StageName, subjects: Iterable[str], what: str) -> Mapping[str, None]:
        """Those that count in this job, in order."""
        return dict.fromkeys(subjects if self._repair_of is None else (name for name in subjects if self.new(stage, name, what)))

    def made(self, stage: StageName) -> Made:
        """The ticks of what was done in this job in a stage, also of what has to be done again, and of what isn't asked any more where it
        stands: all of that is used."""
        checklist = self.checklists[stage]
        past = [(key, tick) for key, tick in checklist.past if tick.state == "done" and self._stands(tick.of)]
        if not past and self._repair_of is None:
            return checklist.made
        found = {what: {name: tick for name, tick in ticks.items() if self.since(tick.at)} for what, ticks in checklist.made.items()}
        for key, tick in past:
            if self.since(tick.at):
                found.setdefault(key.what, {})[key.subject] = tick
        return found

    def _stands(self, of: TickFacts) -> bool:
        """Whether all supports stand where they did; of a cable that was cut to length, whether both ends do."""
        ends = of.words[0].split(" to ") if of.words and not of.places and not of.sizes else ()
        if ends:
            return all(end in self._supports for end in ends)
        there = [(self._supports.get(at.support), at) for at in of.places]
        return bool(there) and all(now is not None and same_place(now.there, at) for now, at in there)

    def since(self, at: datetime | None) -> bool:
        """Whether something was done in this job, by its time."""
        return self._repair_of is None or (at is not None and at > self._repair_of.until)

    def cut_new(self, entry: RerouteEntry) -> bool:
        """Whether a new way cut loops that this job had strung."""
        ticks = entry.before.checks.values() if entry.before is not None else ()
        return self._repair_of is None or any(tick.at > self._repair_of.until for tick in ticks)
