"""Which work counts: what is ticked as done, and in a repair only what is new since it began."""

from collections.abc import Callable, Iterable, Mapping
from datetime import datetime
from functools import cached_property
from typing import NamedTuple

from engine.checklist import Checklist
from engine.findings import StageName
from engine.job.model.checks import Tick
from engine.job.model.item_key import ItemKey
from engine.job.model.log_entries import RerouteEntry
from engine.job.model.signed_record import RepairOf
from engine.stages.standing_line import stands


class Counted(NamedTuple):
    """Things that are needed, in order, and the ticks of those that are used."""

    needed: Mapping[str, None]
    used: Mapping[str, Tick]


class CountedWork:
    """Which items are ticked as done, asked by stage and what, of all subjects at once."""

    def __init__(self, checklists: Mapping[StageName, Checklist], repair_of: RepairOf | None) -> None:
        self.checklists, self._repair_of = checklists, repair_of

    def of(self, stage: StageName, what: str) -> Mapping[str, Tick]:
        """The ticks of what is done, by subject."""
        return self.checklists[stage].tally.done.get(what, {})

    def new(self, stage: StageName, subject: str, what: str) -> bool:
        """Whether a thing counts in this job: in a repair one that stood before isn't needed, nor used."""
        if self._repair_of is None:
            return True
        line = self.checklists[stage].by_key.get(ItemKey(stage, subject, what))
        return line is None or not stands(line.tick, self._repair_of)

    def used(self, stage: StageName, what: str) -> Mapping[str, Tick]:
        """The ticks of what is done, and of what was done before it changed and is of the same stock: that is used, though it has to be
        done again."""
        was = self._done_before[stage].get(what)
        return {**was, **self.of(stage, what)} if was else self.of(stage, what)

    @cached_property
    def _done_before(self) -> Mapping[StageName, Mapping[str, Mapping[str, Tick]]]:
        """By stage and what, the ticks of what was done in this job with the stock that it is made of today, and is open again."""
        found: dict[StageName, dict[str, dict[str, Tick]]] = {stage: {} for stage in self.checklists}
        for stage, checklist in self.checklists.items():
            for line in checklist.told:
                if line.was is not None and line.was.state == "done" and self.since(line.was.at) and not line.other_stock:
                    found[stage].setdefault(line.item.key.what, {})[line.item.subject] = line.was
        return found

    def counted(self, stage: StageName, subjects: Iterable[str], what: str) -> Counted:
        """Those that count in this job, and those of them that are used."""
        needed = dict.fromkeys(subjects if self._repair_of is None else (name for name in subjects if self.new(stage, name, what)))
        done = self.used(stage, what)
        return Counted(needed, {name: done[name] for name in needed if name in done})

    def answered(self, stage: StageName, what: str, row: str) -> Callable[[str], bool]:
        """Whether a thing is settled, or was before it changed, with this stock row where its tick says one."""
        done, checklist = self.of(stage, what), self.checklists[stage]

        def asked(subject: str) -> bool:
            if subject in done:
                return True
            line = checklist.by_key.get(ItemKey(stage, subject, what))
            return line is not None and (line.settled or (line.was is not None and row in (line.was.of.stock or (row,))))

        return asked

    def since(self, at: datetime | None) -> bool:
        """Whether something was done in this job, by its time."""
        return self._repair_of is None or (at is not None and at > self._repair_of.until)

    def cut_new(self, entry: RerouteEntry) -> bool:
        """Whether a new way cut loops that this job had strung."""
        ticks = entry.before.checks.values() if entry.before is not None else ()
        return self._repair_of is None or any(tick.at > self._repair_of.until for tick in ticks)
