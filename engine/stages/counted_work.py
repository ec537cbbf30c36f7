"""Which work counts: what is ticked as done, and in a repair only what is new since it began."""

from collections.abc import Mapping
from datetime import datetime

from engine.checklist import Checklist
from engine.findings import StageName
from engine.job.model.checks import Tick
from engine.job.model.item_key import ItemKey
from engine.job.model.log_entries import RerouteEntry
from engine.job.model.signed_record import RepairOf
from engine.stages.standing_line import stands


class CountedWork:
    """Which items are ticked as done, asked by stage, subject and what."""

    def __init__(self, checklists: Mapping[StageName, Checklist], repair_of: RepairOf | None) -> None:
        self._checklists, self._repair_of = checklists, repair_of
        self._done_of = {stage: checklist.ticked_done.get for stage, checklist in checklists.items()}

    def __call__(self, stage: StageName, subject: str, what: str) -> bool:
        return self._done(stage, subject, what) is not None

    def new(self, stage: StageName, subject: str, what: str) -> bool:
        """Whether a thing counts in this job: in a repair one that stood before isn't needed, nor used."""
        if self._repair_of is None:
            return True
        line = self._checklists[stage].by_key.get(ItemKey(stage, subject, what))
        return line is None or not stands(line.tick, self._repair_of)

    def newly(self, stage: StageName, subject: str, what: str) -> bool:
        """Whether a thing was done in this job."""
        return self.new(stage, subject, what) and self(stage, subject, what)

    def answered(self, stage: StageName, subject: str, what: str, row: str) -> bool:
        """Whether a thing is settled, or was before it changed, with this stock row where its tick says one."""
        line = self._checklists[stage].by_key.get(ItemKey(stage, subject, what))
        return line is not None and (line.settled or (line.was is not None and row in (line.was.of.stock or (row,))))

    def since(self, at: datetime | None) -> bool:
        """Whether something was done in this job, by its time."""
        return self._repair_of is None or (at is not None and at > self._repair_of.until)

    def cut_new(self, entry: RerouteEntry) -> bool:
        """Whether a new way cut loops that this job had strung."""
        ticks = entry.before.checks.values() if entry.before is not None else ()
        return self._repair_of is None or any(tick.at > self._repair_of.until for tick in ticks)

    def length_ft(self, stage: StageName, subject: str, what: str, planned_ft: float) -> float:
        """The length read, the planned one where no reading was kept, 0 while the item is open."""
        tick = self._done(stage, subject, what)
        if tick is None:
            return 0.0
        return planned_ft if tick.reading is None else tick.reading

    def _done(self, stage: StageName, subject: str, what: str) -> Tick | None:
        return self._done_of[stage](ItemKey(stage, subject, what))
