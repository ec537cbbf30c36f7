"""What stands when a repair begins: the posts as the plan, every tick that counts, and the sleeves in the ground; what came out is gone."""

import re
from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime
from itertools import pairwise
from typing import get_args

from engine.calc.geometry.plane import distance_ft, station_offset
from engine.calc.tolerances import ONE_SUPPORT_FT, SAME_SPOT_FT, TAPE_FT, WRITTEN_FT
from engine.calc.units import Units
from engine.checklist import ChecklistLine
from engine.job.edit.next_record import free_name
from engine.job.model.base import Text
from engine.job.model.checks import Tick
from engine.job.model.fence import Post
from engine.job.model.item_key import ItemKey
from engine.job.model.job import Job
from engine.job.model.log_entries import Entry, ObstacleEntry, OfPost, PlannedEntry, RerouteEntry, live, ticks_before
from engine.job.model.people import UtilityNotice, Who
from engine.job.model.signed_record import FoundBefore, Record, RepairOf, SleeveInGround
from engine.paper.as_built import MOST_LETTERS, sleeves_in_ground
from engine.stages.layout.line_tracks import found_at, tracks
from engine.stages.layout.sleeves_in_ground import repair_now, unused_sleeves
from engine.stages.layout.stage import planned_posts
from engine.stages.posts.emptied import tells_of_sleeve
from engine.stages.posts.old_sleeves import OldSleeve
from engine.stages.posts.sleeve_keys import ASKED
from engine.stages.punch.closing_list import UNTICKED
from engine.stages.punch.reasons import reason_given
from engine.stages.standing_line import found_before
from engine.walk import Walk, walk

MOST_ROUNDS = 6
"""How often the ticks are looked over: what one says may change what another is asked."""
NOT_ASKED = "not asked when it was signed"


def repaired(signed: Job, worked: Walk, told: RepairOf) -> Job:
    """The job of a repair as it begins: nothing is open, nothing is to load; `told` says of the old file what isn't worked out of it."""
    record = signed.record
    assert record is not None
    line_ticks = {line.item.key: line.tick for line in _lines(worked) if line.tick is not None}
    until = max((record.signed_at, *(tick.at for tick in line_ticks.values())))
    begun = signed.model_copy(
        update={
            "job": _who(signed.job),
            "utility_notice": UtilityNotice(),
            "rough": None,
            "alternatives": {},
            "stock": {name: row.model_copy(update={"loaded": None}) for name, row in signed.stock.items()},
            "posts": _posts(worked, record),
            "log": tuple(_found(signed, worked)),
            "checks": {line.item.key: _answer(line, line.tick, record, until) for line in _lines(worked)},
            "record": None,
            "repair_of": told.model_copy(
                update={"until": until, "gone": _gone(signed, worked), "sleeves": dict(_sleeves(signed, worked)), "found": {}}
            ),
        }
    )
    ticked = _ticked(begun, line_ticks, record, until)
    return _with_found(ticked, record, signed.repair_of)


def _lines(worked: Walk) -> Iterator[ChecklistLine]:
    """What is asked, but for old sleeves: what became of those is kept with them."""
    return (line for checklist in worked.checklists.values() for line in checklist.lines if line.item.key.what != ASKED)


def _who(who: Who) -> Who:
    """The same client and site; a number of its own, R1 for the first repair, and nobody's day or crew yet."""
    again = re.fullmatch(r"(.*)-R(\d{1,3})", who.number)
    number = f"{again[1]}-R{int(again[2]) + 1}" if again else f"{who.number}-R1" if who.number else ""
    title = who.title if who.title.startswith("Repair: ") else f"Repair: {who.title}"
    return who.model_copy(update={"number": number[:200], "title": title[:200], "crew": (), "planned_for": None})


def _posts(worked: Walk, record: Record) -> dict[str, Post]:
    """Every support as a plan has it, at the place that the record gives it."""
    posts = planned_posts(worked.layout)
    for name, built in record.supports.items():
        support, there = worked.layout.supports.get(name), (built.east_ft, built.north_ft)
        if support is not None and support.support == "driven" and distance_ft(support.xy, there) > TAPE_FT:
            station_ft, offset_ft = station_offset(worked.survey.lines[support.line].path, there)
            posts[name] = posts[name].model_copy(update={"station_ft": round(station_ft, 4), "offset_ft": round(offset_ft, 4)})
    for line in worked.layout.lines.values():
        _kept_in_order(posts, [name for name in line.supports if posts[name].line == line.line])
    return posts


def _kept_in_order(posts: dict[str, Post], row: Sequence[str]) -> None:
    """Two at one place, as round one trunk, stay in their order though a plan's stations are rounded."""
    for name, after in pairwise(row):
        ahead_ft = posts[name].station_ft - posts[after].station_ft
        if 0 <= ahead_ft <= SAME_SPOT_FT and (ahead_ft, name) > (0, after):
            posts[after] = posts[after].model_copy(update={"station_ft": round(posts[name].station_ft + WRITTEN_FT, 4)})


def _found(signed: Job, worked: Walk) -> Iterator[Entry]:
    """What was found in the ground, taped along its line as that runs now."""
    lines = tracks(signed, worked.survey)
    for entry in live(signed.log):
        if not isinstance(entry, ObstacleEntry) or entry.line not in lines:
            continue
        station_ft, offset_ft, there = found_at(signed, lines[entry.line], entry)
        if there is None:
            yield entry
        else:
            yield entry.model_copy(update={"station_ft": round(station_ft, 4), "offset_ft": round(offset_ft, 4)})


def _gone(signed: Job, worked: Walk) -> tuple[str, ...]:
    """Names of posts that came out, or never stood: none is called so again."""
    earlier = signed.repair_of.gone if signed.repair_of is not None else ()
    names = [*earlier, *signed.posts, *(key.subject for key in signed.checks if key.stage == "posts")]
    for entry in signed.log:
        names += [entry.post] if isinstance(entry, OfPost) else []
        names += entry.gone if isinstance(entry, PlannedEntry) else entry.out if isinstance(entry, RerouteEntry) else ()
    return tuple(name for name in dict.fromkeys(names) if name not in worked.layout.supports and "." not in name)


def _sleeves(signed: Job, worked: Walk) -> Iterator[tuple[str, SleeveInGround]]:
    """Sleeves that are in the ground and whose place is known; those of a job before that one too, as long as no post stands in them. No
    post stands in one at which another was driven since, or is to be."""
    taken: set[str] = set()
    for one in sleeves_in_ground(worked):
        if one.there is not None:
            name = free_name(one.post, taken)
            taken.add(name)
            yield name, _in_ground(signed, one, cut_off=_said_cut_off(worked, one) or _in_use(worked, one.there) or None)
    for name, sleeve in unused_sleeves(repair_now(signed), (one.xy for one in worked.layout.supports.values() if one.support == "driven")):
        free = free_name(name, taken)
        taken.add(free)
        yield free, sleeve


def _in_use(worked: Walk, there: tuple[float, float]) -> bool:
    """Whether a post stands there, or so near that rounded places may say so."""
    driven = (one.xy for one in worked.layout.supports.values() if one.support == "driven")
    return any(distance_ft(spot, there) <= ONE_SUPPORT_FT + SAME_SPOT_FT for spot in driven)


def _said_cut_off(worked: Walk, one: OldSleeve) -> bool:
    """Whether the crew ticked, or logged, that it was cut off below the ground; what nobody said may be whole."""
    asked = worked.checklists["posts"].by_key.get(one.key)
    return one.stays and (asked is None or asked.state == "done")


def _in_ground(signed: Job, one: OldSleeve, *, cut_off: bool | None) -> SleeveInGround:
    """A sleeve with when it was driven and the reading that was taken then, where they are kept."""
    assert one.there is not None
    there, depth = one.there, ItemKey("posts", one.post, "driven_depth")
    told = [(key, tick) for key, tick in (*ticks_before(signed.log), *signed.checks.items()) if key.subject == one.post]
    ticks = [(key, tick) for key, tick in told if tells_of_sleeve(key, tick, {}, {})]
    near = [(key, tick) for key, tick in ticks if any(distance_ft((at.east_ft, at.north_ft), there) <= TAPE_FT for at in tick.of.places)]
    read = [tick for key, tick in near if key == depth] or [tick for _, tick in near]
    driven = min(read, key=lambda tick: tick.at, default=None)
    station_ft = None if one.station_ft is None else max(0.0, one.station_ft)
    left = SleeveInGround(
        post=one.post, what=one.what, left_at=one.at, line=one.line, station_ft=station_ft, east_ft=there[0], north_ft=there[1],
        cut_off=cut_off,
    )  # fmt: skip
    if driven is None:
        return left
    depth_in = driven.reading_in if driven.reading_ft is None else driven.reading_ft * 12
    row = one.row or next(iter(driven.of.stock), "")
    return left.model_copy(update={"driven_at": driven.at, "driven_by": driven.by, "driven_in": depth_in, "row": row})


def _ticked(begun: Job, before: Mapping[ItemKey, Tick], record: Record, until: datetime) -> Job:
    """The job with an answer to everything it asks: what was done stands, what was left open is marked so with its reason. It begins from
    the answers to what the old job asked, so that a loop is called as it was there."""
    job = begun
    for _ in range(MOST_ROUNDS):
        lines = tuple(_lines(walk(job)))
        checks = {line.item.key: _answer(line, before.get(line.item.key), record, until) for line in lines}
        if checks == job.checks:
            break
        job = job.model_copy(update={"checks": checks})
    return job


def _answer(line: ChecklistLine, before: Tick | None, record: Record, until: datetime) -> Tick:
    if before is not None:
        return before.model_copy(update={"of": line.item.of, "photos": ()})
    reason = record.left_open.get(str(UNTICKED), "")
    why = reason if reason and (str(line.item.key) in record.items_open or not record.items_open) else NOT_ASKED
    return Tick(state="left open", at=until, by=record.signed_by, note=why[:MOST_LETTERS], of=line.item.of)


def _with_found(job: Job, record: Record, earlier: RepairOf | None) -> Job:
    """The job, with what is found of the line as it stands, and the reason that was given when it was signed or in a job before that."""
    worked, otherwise = walk(job), walk(_in_other_units(job))
    told = {finding.key: _short(finding.says) for finding in otherwise.findings}
    found = {}
    for finding in worked.findings:
        if finding.stage != "punch":
            says, other = _short(finding.says), told.get(finding.key)
            before = found_before(finding, earlier) if earlier is not None else None
            reason = _short(reason_given(finding, worked.punch, record.left_open) or (before.reason if before is not None else ""))
            found[str(finding.key)] = FoundBefore(says=says, reason=reason, in_other_units=None if other == says else other)
    assert job.repair_of is not None
    return job.model_copy(update={"repair_of": job.repair_of.model_copy(update={"found": found})})


def _in_other_units(job: Job) -> Job:
    other = next(units for units in get_args(Units) if units != job.job.units)
    return job.model_copy(update={"job": job.job.model_copy(update={"units": other})})


def _short(words: Text) -> str:
    return words[:MOST_LETTERS]
