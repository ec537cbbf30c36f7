"""Sleeves in the ground that no post stands in: those that a job before a repair left, kept clear of and used again by a post that is put
onto one, and those that were cut off in this job, kept clear of alone."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import NamedTuple

from engine.calc.geometry.plane import Point, distance_ft
from engine.calc.remember import remembered_of
from engine.calc.tolerances import ONE_SUPPORT_FT, TAPE_FT
from engine.job.model.item_key import ItemKey
from engine.job.model.job import Job
from engine.job.model.log_entries import LogEntry, SleeveLeftEntry, live, ticks_before
from engine.job.model.signed_record import RepairOf, SleeveInGround
from engine.job.model.tick_facts import CUT_OFF, PULLED
from engine.stages.sorted_ticks import sorted_ticks

Emptied = Mapping[str, Sequence[Point]]
"""By post, a place for every sleeve of it of which the crew said what became: one driven there again is another sleeve."""

SLEEVE_CLEAR_FT = 1.0
"""How near an old sleeve no other is driven: common practice, no source."""


def repair_now(job: Job) -> RepairOf | None:
    """What a repair begins from, with the sleeves among it that were cut off since as the log says."""
    return job.repair_of if job.repair_of is None or not job.repair_of.sleeves else _with_cut_off(job.repair_of, job.log)


@remembered_of
def _with_cut_off(repair_of: RepairOf, log: tuple[LogEntry, ...]) -> RepairOf:
    cut = [entry for entry in live(log) if isinstance(entry, SleeveLeftEntry)]
    sleeves = {
        name: one.model_copy(update={"cut_off": True}) if any(is_of(entry, one) for entry in cut) else one
        for name, one in repair_of.sleeves.items()
    }
    return repair_of.model_copy(update={"sleeves": sleeves}) if cut else repair_of


def is_of(entry: SleeveLeftEntry, sleeve: SleeveInGround) -> bool:
    """Whether an entry says that an old sleeve was cut off."""
    return distance_ft((entry.east_ft, entry.north_ft), sleeve.xy) <= ONE_SUPPORT_FT


def sleeve_at(repair_of: RepairOf | None, spot: Point) -> SleeveInGround | None:
    """The sleeve that a post at a spot stands in: the nearest whole one that leaves no room for a second beside it."""
    whole = {name: one for name, one in repair_of.sleeves.items() if not one.cut_off} if repair_of is not None else {}
    near = [(distance_ft(one.xy, spot), name) for name, one in whole.items()]
    off_ft, name = min(near, default=(ONE_SUPPORT_FT + 1, ""))
    return whole[name] if off_ft <= ONE_SUPPORT_FT else None


def unused_sleeves(repair_of: RepairOf | None, driven: Iterable[Point]) -> Iterator[tuple[str, SleeveInGround]]:
    """Sleeves that none of the driven posts stands in, by their names; in one that was cut off none does."""
    if repair_of is None:
        return
    posts = tuple(driven)
    for name, one in repair_of.sleeves.items():
        if one.cut_off or all(distance_ft(one.xy, post) > ONE_SUPPORT_FT for post in posts):
            yield name, one


class CutSleeve(NamedTuple):
    """A sleeve that was cut off in this job: a name of its own, the post that it was of, and where it is."""

    name: str
    post: str
    there: Point


def cut_off_here(job: Job) -> list[CutSleeve]:
    """Sleeves that the log, or the tick of an old sleeve, says were cut off, but for those that a job before a repair had driven."""
    said = [(entry.post, (entry.east_ft, entry.north_ft)) for entry in live(job.log) if isinstance(entry, SleeveLeftEntry)]
    for key, tick in sorted_ticks(job.checks).by_what.get("old_sleeve", {}).items():
        if key.stage == "posts" and tick.state == "done" and CUT_OFF in tick.of.words:
            said += [(key.about, (at.east_ft, at.north_ft)) for at in tick.of.places]
    before = job.repair_of.sleeves if job.repair_of is not None else {}
    found: list[CutSleeve] = []
    for post, there in said:
        known = (*(one.xy for one in before.values()), *(one.there for one in found if one.post == post))
        if all(distance_ft(spot, there) > ONE_SUPPORT_FT for spot in known):
            nth = 1 + [*(one.post for one in before.values()), *(one.post for one in found)].count(post)
            found.append(CutSleeve(post if nth == 1 else f"{post}-{nth}", post, there))
    return found


def emptied_places(job: Job) -> Emptied:
    """What the ticks of old sleeves and the log say; one that needn't be pulled is there still, whole. What says again that one was cut off
    is of that same sleeve."""
    found: dict[str, list[Point]] = {}
    cut: dict[str, list[Point]] = {}
    said: dict[ItemKey, list[Point]] = {}
    for key, tick in (*sorted_ticks(job.checks).by_what.get("old_sleeve", {}).items(), *ticks_before(job.log)):
        left_whole = tick.state == "not needed" and PULLED in tick.of.words
        if (key.stage, key.what) == ("posts", "old_sleeve") and not left_whole:
            fresh = [at.xy for at in tick.of.places if not _is_among(said.get(key, ()), at.xy)]
            said.setdefault(key, []).extend(fresh)
            found.setdefault(key.about, []).extend(fresh)
            cut.setdefault(key.about, []).extend(fresh if tick.state == "done" and CUT_OFF in tick.of.words else ())
    for entry in live(job.log):
        if isinstance(entry, SleeveLeftEntry) and not _is_among(cut.get(entry.post, ()), (entry.east_ft, entry.north_ft)):
            found.setdefault(entry.post, []).append((entry.east_ft, entry.north_ft))
            cut.setdefault(entry.post, []).append((entry.east_ft, entry.north_ft))
    return found


def _is_among(places: Iterable[Point], there: Point) -> bool:
    return any(distance_ft(place, there) <= TAPE_FT for place in places)


def sleeve_number(emptied: Emptied, post: str, there: Point) -> int:
    """Which sleeve of a post's place stands there: 1, or 2 once the first was pulled or cut off."""
    return 1 + sum(distance_ft(place, there) <= TAPE_FT for place in emptied.get(post, ()))
