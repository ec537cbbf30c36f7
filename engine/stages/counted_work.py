"""Which work counts: what is ticked as done, and in a repair only what is new since it began."""

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from datetime import datetime
from math import hypot

from engine.calc.tolerances import TAPE_FT
from engine.checklist import Checklist
from engine.findings import StageName
from engine.job.model.checks import Tick
from engine.job.model.item_key import ItemKey
from engine.job.model.job import Job
from engine.job.model.log_entries import RerouteEntry, reroutes
from engine.job.model.tick_facts import NO_FACTS, At, same_facts, same_place, same_places
from engine.stages.layout.stage import Layout
from engine.stages.standing_line import stands

Made = Mapping[str, Mapping[str, Tick]]
"""Ticks by what was done and by what it was done of."""
WITH_POSTS: Collection[StageName] = ("posts", "bracing")
"""Stages whose work comes out with its post and goes in again with it, but for what is left in a tree or a floor."""
LEFT_THERE = ("eyes", "plate")
"""What is done at a post of which something stays where it was: eyes in a tree, anchors in a floor."""
OF_BAY = ("flush", "fastened")
"""What of a bay is set anew as a whole: stakes and spots of which others are asked since take the place of those before."""


class CountedWork:
    """Which items are ticked as done, asked by stage and what, of all subjects at once."""

    def __init__(self, job: Job, layout: Layout, checklists: Mapping[StageName, Checklist]) -> None:
        self.checklists, self._repair_of = checklists, job.repair_of
        self._supports, self._cut_at = layout.supports, reroutes(job.log)

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
        """The ticks of what was done in this job in a stage, also of what has to be done again, and of what isn't asked any more: all of
        that is used. What a new way cut is named by it, for something else may have its name today; cable is counted as given up."""
        checklist = self.checklists[stage]
        past = () if stage == "cables" else (*self.past(stage), *(self._cut_up() if stage == "fabric" else ()))
        more: dict[str, dict[str, Tick]] = {}
        for (_, subject, what), tick in past:
            more.setdefault(what, {})[subject] = tick
        made = self._since_it_began(checklist.made)
        return {**made, **{what: {**made.get(what, {}), **ticks} for what, ticks in more.items()}} if more else made

    def _since_it_began(self, made: Made) -> Made:
        if self._repair_of is None:
            return made
        return {what: {name: tick for name, tick in ticks.items() if self.since(tick.at)} for what, ticks in made.items()}

    def past(self, stage: StageName) -> Iterator[tuple[ItemKey, Tick]]:
        """What was done in this job and isn't asked any more, unless it came out with its post or was done under another name since."""
        since = {what: [*ticks.values()] for what, ticks in self.checklists[stage].tally.done.items()}
        for key, tick in sorted(self.checklists[stage].past, key=_when, reverse=True):
            stays = stage not in WITH_POSTS or key.what in LEFT_THERE or self._stands(tick)
            counts = stays and tick.state == "done" and self.since(tick.at)
            if counts and not any(_is_one(key, tick, other) for other in _near(tick, since.get(key.what, ()))):
                if key.what in OF_BAY:
                    since.setdefault(key.what, []).append(tick)
                yield key, tick

    def _cut_up(self) -> Iterator[tuple[ItemKey, Tick]]:
        """The fabric that hung on loops that new ways cut."""
        for entry in self._cut_at:
            for key, tick in entry.before.checks.items() if entry.before is not None else ():
                if key.stage == "fabric" and tick.state == "done" and self.since(tick.at):
                    yield key._replace(subject=f"{key.subject} before {entry.id}"), tick

    def _stands(self, tick: Tick) -> bool:
        """Whether all supports stand where they did."""
        there = [(self._supports.get(at.support), at) for at in tick.of.places]
        return bool(there) and all(now is not None and same_place(now.there, at) for now, at in there)

    def since(self, at: datetime | None) -> bool:
        """Whether something was done in this job, by its time."""
        return self._repair_of is None or (at is not None and at > self._repair_of.until)

    def cut_new(self, entry: RerouteEntry) -> bool:
        """Whether a new way cut loops that this job had strung."""
        ticks = entry.before.checks.values() if entry.before is not None else ()
        return self._repair_of is None or any(tick.at > self._repair_of.until for tick in ticks)


def _when(past: tuple[ItemKey, Tick]) -> datetime:
    return past[1].at


def _near(tick: Tick, others: Sequence[Tick]) -> Sequence[Tick]:
    """Those of some ticks that may say something of the same place: a look at how far east they are leaves few."""
    if not tick.of.places:
        return others
    east_ft = tick.of.places[0].east_ft
    return [other for other in others if other.of.places and abs(other.of.places[0].east_ft - east_ft) <= TAPE_FT]


def _is_one(key: ItemKey, tick: Tick, other: Tick) -> bool:
    """Whether two ticks say of one thing that it is done, whatever it and its supports are called. Most are at other places."""
    places, others = tick.of.places, other.of.places
    if tick.of == NO_FACTS or len(places) != len(others) or (places and not _is_there(places[0], others[0])):
        return False
    named = other.of._replace(places=tuple([place._replace(support=at.support) for at, place in zip(places, others, strict=True)]))
    if key.what in OF_BAY:
        return same_places(tick.of, named)
    return tick.reading == other.reading and same_facts(tick.of, named)


def _is_there(place: At, other: At) -> bool:
    return hypot(place.east_ft - other.east_ft, place.north_ft - other.north_ft) <= TAPE_FT
