"""What a repair begins from, the job as it really stands: the posts as the plan, every tick that counts, what was left open, and the
sleeves in the ground; what came out is gone."""

import re
from collections.abc import Collection, Iterator, Mapping, Sequence
from itertools import pairwise
from typing import NamedTuple, get_args

from engine.calc.geometry.plane import Point, distance_ft, station_offset
from engine.calc.tolerances import ONE_SUPPORT_FT, SAME_SPOT_FT, TAPE_FT, WRITTEN_FT
from engine.calc.units import Units
from engine.checklist import ChecklistLine
from engine.job.edit.edits import superseded_entry
from engine.job.edit.next_record import free_name
from engine.job.model.base import Text
from engine.job.model.checks import Tick
from engine.job.model.fence import Post
from engine.job.model.item_key import ItemKey
from engine.job.model.job import Job
from engine.job.model.log_entries import Entry, ObstacleEntry, OfPost, PlannedEntry, RerouteEntry, live, ticks_before
from engine.job.model.people import UtilityNotice, Who
from engine.job.model.signed_record import FoundBefore, Record, RepairOf, SleeveInGround
from engine.job.model.tick_facts import At
from engine.paper.as_built import MOST_LETTERS, asked_when_signed, said_cut_off, sleeves_in_ground
from engine.stages.layout.line_tracks import found_at, tracks
from engine.stages.layout.sleeves_in_ground import repair_now, unused_sleeves
from engine.stages.layout.stage import planned_posts
from engine.stages.posts.sleeves.emptied import SLEEVE, tells_of_sleeve
from engine.stages.posts.sleeves.old_sleeves import OldSleeve
from engine.stages.posts.sleeves.sleeve_keys import ASKED
from engine.stages.punch.closing_list import UNTICKED
from engine.stages.punch.reasons import reason_given
from engine.stages.standing_line import found_before
from engine.walk import Walk, walk

MOST_ROUNDS = 6
"""How often the ticks are looked over: what one says may change what another is asked."""


def repaired(signed: Job, worked: Walk, told: RepairOf) -> Job:
    """The job of a repair as it begins: what was left open is open, and nothing else; `told` says of the old file what isn't worked out of
    it."""
    record = signed.record
    assert record is not None
    before = _Before(
        {line.item.key: line.tick for line in _lines(worked) if line.tick is not None},
        {line.item.key for line in _lines(worked) if line.tick is None and asked_when_signed(signed, line)},
        Tick(state="left open", at=record.signed_at, by=record.signed_by, note=_short(record.left_open.get(str(UNTICKED), ""))),
    )
    until = max((record.signed_at, *(tick.at for tick in before.ticks.values())))
    begun = signed.model_copy(
        update={
            "job": _who(signed.job),
            "utility_notice": UtilityNotice(),
            "rough": None,
            "alternatives": {},
            "stock": {name: row.model_copy(update={"loaded": None}) for name, row in signed.stock.items()},
            "posts": _posts(worked, record),
            "log": (*_found(signed, worked), *_serving(signed, worked, record)),
            "checks": {line.item.key: _answer(line, before) for line in _lines(worked)},
            "record": None,
            "repair_of": told.model_copy(
                update={"until": until, "gone": _gone(signed, worked), "sleeves": dict(_sleeves(signed, worked)), "found": {}}
            ),
        }
    )
    return _with_found(_ticked(begun, before), record, signed.repair_of)


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


def _serving(signed: Job, worked: Walk, record: Record) -> Iterator[Entry]:
    """How sleeves went in that still serve a post a little way off, though its own items were left open."""
    told = [(key, tick) for key, tick in (*ticks_before(signed.log), *signed.checks.items()) if tells_of_sleeve(key, tick, {}, {})]
    for post, serving in worked.posts.serve.items():
        there = worked.layout.supports[post].xy
        near = [(key, tick) for key, tick in told if tick.at == serving.at and any(_is_near(at, there) for at in tick.of.places)]
        for key, tick in sorted(near, key=lambda row: row[0].what != "driven_depth")[:1]:
            as_first = tick.model_copy(update={"of": tick.of._replace(words=(SLEEVE,)), "photos": ()})
            yield superseded_entry(key, as_first, record.signed_at, record.signed_by)


def _is_near(at: At, there: Point) -> bool:
    """Whether no second sleeve fits between two places; rounded ones may say so."""
    return distance_ft((at.east_ft, at.north_ft), there) <= ONE_SUPPORT_FT + SAME_SPOT_FT


def _gone(signed: Job, worked: Walk) -> tuple[str, ...]:
    """Names of posts that came out, or never stood, and of those that stand elsewhere since."""
    earlier = signed.repair_of.gone if signed.repair_of is not None else ()
    names = [*earlier, *signed.posts, *(key.subject for key in signed.checks if key.stage == "posts")]
    for entry in signed.log:
        names += [entry.post] if isinstance(entry, OfPost) else []
        names += entry.gone if isinstance(entry, PlannedEntry) else entry.out if isinstance(entry, RerouteEntry) else ()
    out = (name for name in dict.fromkeys(names) if name not in worked.layout.supports and "." not in name)
    return (*out, *sorted(worked.posts.gave_up & worked.layout.supports.keys()))


def _sleeves(signed: Job, worked: Walk) -> Iterator[tuple[str, SleeveInGround]]:
    """Sleeves that are in the ground and whose place is known; those of a job before that one too, as long as no post stands in them. No
    post stands in one at which another was driven since, or is to be."""
    taken: set[str] = set()
    for one in sleeves_in_ground(worked):
        if one.there is not None:
            name = free_name(one.post, taken)
            taken.add(name)
            yield name, _in_ground(signed, one, cut_off=said_cut_off(worked, one) or _in_use(worked, one.there) or None)
    for name, sleeve in unused_sleeves(repair_now(signed), (one.xy for one in worked.layout.supports.values() if one.support == "driven")):
        free = free_name(name, taken)
        taken.add(free)
        yield free, sleeve


def _in_use(worked: Walk, there: Point) -> bool:
    """Whether a post stands there, or is to."""
    return any(_is_near(one.there, there) for one in worked.layout.supports.values() if one.support == "driven")


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


class _Before(NamedTuple):
    """The ticks that count in a signed job, what it left open, and the mark of that, with the reason."""

    ticks: Mapping[ItemKey, Tick]
    left: Collection[ItemKey]
    mark: Tick


def _ticked(begun: Job, before: _Before) -> Job:
    """The job with a row for everything it asks: what was done stands, what was left open is marked so. It begins from the rows of what
    the old job asked, so that a loop is called as it was there."""
    job = begun
    for _ in range(MOST_ROUNDS):
        lines = tuple(_lines(walk(job)))
        checks = {line.item.key: _answer(line, before) for line in lines}
        if checks == job.checks:
            break
        job = job.model_copy(update={"checks": checks})
    return job


def _answer(line: ChecklistLine, before: _Before) -> Tick:
    """What was ticked, or that it was left open; what neither is was asked by no program of that day."""
    key, of = line.item.key, line.item.of
    if (tick := before.ticks.get(key)) is not None:
        return tick.model_copy(update={"of": of, "photos": ()})
    return before.mark.model_copy(update={"of": of} if key in before.left else {"of": of, "state": "not asked", "note": ""})


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
