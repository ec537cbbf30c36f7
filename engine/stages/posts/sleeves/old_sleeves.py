"""Sleeves that went into the ground and that no post stands in any more: where, why, and whether they came out or stay."""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import field, replace
from datetime import datetime, timedelta
from functools import partial
from itertools import pairwise
from typing import NamedTuple

from engine.calc.frozen import dataclass
from engine.calc.geometry.plane import Point, distance_ft, station_offset
from engine.calc.lengths import format_ft_in
from engine.calc.tolerances import ONE_SUPPORT_FT
from engine.checklist import ChecklistLine, Item, Stood, standing_tick
from engine.findings import UNPRINTED, Finding, FindingOf
from engine.job.model.checks import Tick
from engine.job.model.item_key import ItemKey
from engine.job.model.job import Job
from engine.job.model.log_entries import (
    AddEntry,
    DropEntry,
    LogEntry,
    MoveEntry,
    PlannedEntry,
    ReopenedEntry,
    RerouteEntry,
    SignedEntry,
    SleeveLeftEntry,
    SwapEntry,
    live,
)
from engine.job.model.signed_record import SleeveInGround
from engine.job.model.tick_facts import CUT_OFF
from engine.stages.layout.line_tracks import path_then, place_on
from engine.stages.layout.sleeves_in_ground import is_of, repair_now, sleeve_at, unused_sleeves
from engine.stages.layout.stage import Layout
from engine.stages.posts.sleeves.driven_sleeves import DrivenSleeve, driven_sleeves, driven_today, is_near, post_in, same_spot
from engine.stages.posts.sleeves.emptied import sleeve_words, tells_of_sleeve
from engine.stages.posts.sleeves.sleeve_keys import ASKED, is_needed, said_to_stay, sleeve_facts, sleeve_key
from engine.stages.survey.stage import Survey

_finding = FindingOf("posts")
_WHAT = {"drop": "post left out", "move": "post moved", "swap": "a tree in its place", "planned": "not in the new plan"}


@dataclass(frozen=True)
class OldSleeve:
    """One sleeve that a post stood in: what happened, when, and where it is, None where the file doesn't say; `key` is what asks about it.
    `stays` is whether it is in the ground still: the crew said so, or it had stood too long to be pulled and nobody said it was. `row` is
    the stock row that it is of, where its tick says."""

    key: ItemKey
    post: str
    what: str
    at: datetime
    stays: bool
    line: str = ""
    station_ft: float | None = None
    there: Point | None = None
    driven_at: datetime | None = field(default=None, metadata=UNPRINTED)
    row: str = field(default="", metadata=UNPRINTED)


class Serving(NamedTuple):
    """A sleeve that still serves its post though it was driven a little way off: when it was, and of which stock row where that is said."""

    at: datetime
    row: str


class Sleeves(NamedTuple):
    """Sleeves that posts gave up, those that still serve, by the post that stands in them, and those that another post, or their own again,
    was put into, by that post."""

    old: tuple[OldSleeve, ...]
    serve: Mapping[str, Serving]
    again: Mapping[str, DrivenSleeve]

    @property
    def reused(self) -> Mapping[str, str]:
        """Of which post the sleeve was that a post was put into."""
        return {post: sleeve.post for post, sleeve in self.again.items()}


def old_sleeves(job: Job, survey: Survey, layout: Layout) -> Sleeves:
    """Every sleeve that was driven and given up since, in the order of the log; then those cut off for another reason. One is driven where
    anything was ticked that only a driven one can have, its depth read or not.

    A sleeve driven as long ago as the rules say, or longer, stays, and a younger one was pulled, as long as the crew says nothing else; a
    new way says which. A depth that was read anew after a move is that of the new hole. A correction of the survey says no time: it counts
    from when the crew said what became of the sleeve or drove its post anew, or else from the last that the file says. One too small for
    a second sleeve beside the first leaves that in use. A post that is put so near to one, before that is pulled or cut off, stands in it.
    Source: common practice, no source: a sleeve less than about a week old pulls out, later it stays.
    """
    entries = live(job.log)
    cut_off = [entry for entry in entries if isinstance(entry, SleeveLeftEntry)]
    given_up: list[tuple[float, LogEntry | None, DrivenSleeve]] = []
    serve: dict[str, Serving] = {}
    again: dict[str, DrivenSleeve] = {}
    for sleeve in driven_sleeves(job, layout):
        place, post = _given_up(entries, sleeve, layout.stood), post_in(sleeve, layout)
        if post is not None and (place is not None or post != sleeve.post):
            serve.setdefault(post, Serving(sleeve.went_in, sleeve.row))
            again.setdefault(post, sleeve)
        elif place is not None:
            given_up.append((place, entries[place], sleeve))
        elif (struck := _struck_since(job.log, sleeve)) is not None:
            since = struck.struck_at or struck.at
            given_up.append((sum(entry.at <= since for entry in entries) - 0.5, struck, sleeve))
        elif sleeve.said and not _serves_still(layout, sleeve):
            given_up.append((sum(entry.at <= sleeve.at for entry in entries) - 0.5, None, sleeve))
        elif sleeve.said and is_near(driven_today(layout, sleeve.post), sleeve):
            serve.setdefault(sleeve.post, Serving(sleeve.at, sleeve.row))
    last = _last_said(job) if any(entry is None for _, entry, _ in given_up) else None
    found: list[OldSleeve] = []
    for _, entry, sleeve in sorted(given_up, key=lambda row: row[0]):
        one = _placed(job, survey, layout, entry, replace(sleeve, anew=sleeve.anew or last), partial(_key, job, found, sleeve.post))
        said = next((left for left in cut_off if _cut(left, one)), None)
        if said is not None:
            cut_off.remove(said)
        stays = said is not None or _stays(job, layout, entry, sleeve, one)
        found.append(replace(one, stays=stays, driven_at=sleeve.went_in, row=sleeve.row))
    before = job.repair_of.sleeves.values() if job.repair_of is not None else ()
    for entry in [entry for entry in cut_off if not any(is_of(entry, one) for one in before)]:
        there = (entry.east_ft, entry.north_ft)
        if any(one.post == entry.post and one.there is not None and _near(entry, one.there) for one in found):
            continue  # said twice: here and on another laptop
        line, station_ft = _along(job, survey, layout, entry.post, there)
        found.append(OldSleeve(_key(job, found, entry.post, there), entry.post, "cut off", entry.at, True, line, station_ft, there))
    return Sleeves(tuple(found), serve, again)


def _key(job: Job, before: Sequence[OldSleeve], post: str, there: Point | None) -> ItemKey:
    """What asks about a sleeve that comes after those before."""
    of_post = [one.there for one in before if one.post == post]
    nth = 1 + sum(same_spot(one, there) for one in of_post)
    return sleeve_key(job.checks, post, there, nth, 1 + len(of_post))


def old_sleeve_items(job: Job, sleeves: tuple[OldSleeve, ...]) -> Iterator[Item]:
    """What each old sleeve asks: that it came out, or that it was cut off where it stays, of one where that isn't needed what was asked;
    nothing once the log says so, but for one that is ticked as out all the same."""
    said = [entry for entry in live(job.log) if isinstance(entry, SleeveLeftEntry)]
    for one in sleeves:
        if any(_cut(entry, one) for entry in said) and not _said_out(job, one):
            continue
        of = sleeve_facts(job.checks, one.key, one.there, cut_off=one.stays == is_needed(job.checks, one.key))
        do = "cut off below the ground and filled, it stays" if CUT_OFF in of.words else "pulled, its hole filled"
        yield Item(one.key, f"{one.post}: the old sleeve{place_words(one)} {do}", of=of)


def in_ground(sleeves: Iterable[OldSleeve], asked: Mapping[ItemKey, ChecklistLine]) -> list[OldSleeve]:
    """Those that stay, and those that are to come out and of which nobody said that they did."""
    return [one for one in sleeves if one.stays or (one.key in asked and not asked[one.key].settled)]


def said_both(job: Job, sleeves: Iterable[OldSleeve]) -> Iterator[Finding]:
    """Old sleeves that one says came out and another that they were cut off."""
    entries = [entry for entry in live(job.log) if isinstance(entry, SleeveLeftEntry)]
    for one in sleeves if entries else ():
        cut = next((entry for entry in entries if _cut(entry, one)), None)
        if cut is not None and _said_out(job, one):
            both = f"ticked as out of the ground by {job.checks[one.key].by}, and logged as cut off and left in it by {cut.by}"
            do = "Look which it is; then open the tick again, or strike the entry on the log page."
            yield _finding("sleeve_said_both", "fix", (one.post,), f"{one.post}: the old sleeve{place_words(one)} is {both}.", do)


def _said_out(job: Job, sleeve: OldSleeve) -> bool:
    return said_to_stay(job.checks, sleeve.key) is False


def place_words(sleeve: OldSleeve | SleeveInGround) -> str:
    """Its station as it is told, with a blank in front; nothing where it isn't known."""
    return "" if sleeve.station_ft is None else f" at {format_ft_in(sleeve.station_ft)} of {sleeve.line}"


class CutOff(NamedTuple):
    """A sleeve that may be cut off and left: of which post, where, and what happened to it."""

    post: str
    there: Point
    says: str


def reused(job: Job, layout: Layout) -> dict[str, str]:
    """Posts of a repair that stand in an old sleeve of before, with the post it was of."""
    driven = {name: one.xy for name, one in layout.supports.items() if one.support == "driven"} if repair_now(job) is not None else {}
    return {name: sleeve.post for name, there in driven.items() if (sleeve := sleeve_at(repair_now(job), there)) is not None}


def may_be_cut_off(job: Job, layout: Layout, sleeves: Sequence[OldSleeve]) -> dict[str, CutOff]:
    """Sleeves that no post stands in, whose place is known and of which nobody said that they were pulled or cut off; in a repair those too
    that an earlier job left whole."""
    cut = [entry for entry in live(job.log) if isinstance(entry, SleeveLeftEntry)]
    ticked = {key for key, tick in job.checks.items() if key.what == ASKED and tick.state == "done"}
    said = [one.key for one in sleeves if one.key in ticked or any(_cut(left, one) for left in cut)]
    found = {
        str(one.key): CutOff(one.post, one.there, f"{one.what}{place_words(one)}")
        for one in sleeves
        if one.there is not None and one.key not in said
    }
    driven = [one.xy for one in layout.supports.values() if one.support == "driven"]
    whole = {name: one for name, one in unused_sleeves(repair_now(job), driven) if not one.cut_off}
    return found | {f"before {name}": CutOff(one.post, one.xy, f"{one.became}{place_words(one)}") for name, one in whole.items()}


def _cut(entry: SleeveLeftEntry, sleeve: OldSleeve | DrivenSleeve) -> bool:
    return entry.post == sleeve.post and _near(entry, sleeve.there)


def _near(entry: SleeveLeftEntry, there: Point | None) -> bool:
    return there is None or distance_ft((entry.east_ft, entry.north_ft), there) <= ONE_SUPPORT_FT


def _given_up(entries: tuple[LogEntry, ...], sleeve: DrivenSleeve, stood: Stood) -> int | None:
    """Which entry took its post from a sleeve: one after it, or what another laptop had logged before it was driven there."""
    for place, entry in enumerate(entries):
        mine = (
            (isinstance(entry, MoveEntry | SwapEntry | DropEntry) and entry.post == sleeve.post)
            or (isinstance(entry, PlannedEntry) and sleeve.post in entry.gone)
            or (isinstance(entry, RerouteEntry) and sleeve.post in entry.out)
        )
        if mine and (entry.at > sleeve.at or (sleeve.said and entry.at == sleeve.at)):
            return place
    unknown = [place for place, entry in enumerate(entries) if sleeve.said and _left_it(entry, sleeve, stood)]
    return unknown[-1] if unknown else None


def _struck_since(log: tuple[LogEntry, ...], sleeve: DrivenSleeve) -> LogEntry | None:
    """Which entry, struck after a sleeve was driven where it had put its post, leaves that sleeve without a post."""
    put_there = (entry for entry in log if isinstance(entry, PlannedEntry | RerouteEntry) or _puts(entry, sleeve.post))
    struck = (entry for entry in put_there if entry.struck_at is not None and entry.at <= sleeve.at <= entry.struck_at)
    return max(struck, key=lambda entry: (entry.at, entry.id), default=None) if sleeve.said else None


def _puts(entry: LogEntry, post: str) -> bool:
    return isinstance(entry, MoveEntry | AddEntry) and entry.post == post


def _left_it(entry: LogEntry, sleeve: DrivenSleeve, stood: Stood) -> bool:
    """Whether an entry took a post from the very place where its sleeve was driven."""
    if not isinstance(entry, MoveEntry | SwapEntry | DropEntry) or entry.post != sleeve.post:
        return False
    steps = pairwise(stood.get(sleeve.post, ()))
    return any(after.since == entry.at and before.there is not None and same_spot(before.there, sleeve.there) for before, after in steps)


def _placed(
    job: Job, survey: Survey, layout: Layout, entry: LogEntry | None, sleeve: DrivenSleeve, key_at: Callable[[Point | None], ItemKey]
) -> OldSleeve:
    """The sleeve with its line and station, as far as they are known."""
    struck_at = entry.struck_at if entry else None
    if isinstance(entry, RerouteEntry) and struck_at is None:
        nth = entry.out.index(sleeve.post)
        station_ft, offset_ft = entry.out_stations_ft[nth], entry.out_offsets_ft[nth]
        path = path_then(survey, entry)
        there = sleeve.there or (place_on(path, station_ft, offset_ft) if path else None)
        return OldSleeve(key_at(there), sleeve.post, "came out with a new way", entry.at, False, entry.line, station_ft, there)
    if entry is None:
        tick = job.checks.get(key_at(sleeve.there))
        taken = _taken_for_a_while(job, sleeve, tick)
        what = f"{_WHAT[taken.kind]}, struck from the log since" if taken else _corrected(job, layout, sleeve)
        at = tick.at if tick else sleeve.anew or sleeve.at
    else:
        what, at = (_WHAT[entry.kind], entry.at) if struck_at is None else ("struck from the log", struck_at)
    line, told_ft = _along(job, survey, layout, sleeve.post, sleeve.there, getattr(entry, "line", ""))
    return OldSleeve(key_at(sleeve.there), sleeve.post, what, at, False, line, told_ft, sleeve.there)


def _taken_for_a_while(job: Job, sleeve: DrivenSleeve, tick: Tick | None) -> LogEntry | None:
    """Which entry, struck since, had its post away from a sleeve when that was said to be pulled or cut off."""
    said = tick or next((left for left in live(job.log) if isinstance(left, SleeveLeftEntry) and _cut(left, sleeve)), None)
    took = (one for one in job.log if isinstance(one, MoveEntry | SwapEntry | DropEntry) and one.post == sleeve.post and one.struck_at)
    return next((one for one in took if said and sleeve.at <= one.at <= said.at <= (one.struck_at or said.at)), None)


def _along(job: Job, survey: Survey, layout: Layout, post: str, there: Point | None, else_on: str = "") -> tuple[str, float | None]:
    """The line that a post stands on, or stood on by the last plan or entry that knows it, and the station of a place on it."""
    stood_on = layout.supports.get(post) or job.posts.get(post)
    line = (
        stood_on.line if stood_on is not None else next((line for entry in reversed(job.log) if (line := _line_said(entry, post))), else_on)
    )
    if there is None or line not in survey.lines:
        return "", None
    return line, station_offset(survey.lines[line].path, there)[0]


def _line_said(entry: LogEntry, post: str) -> str:
    """The line that an entry has a post on, or had before it; empty where it says nothing of that."""
    if isinstance(entry, AddEntry):
        return entry.line if entry.post == post else ""
    if not isinstance(entry, PlannedEntry | RerouteEntry):
        return ""
    if entry.before is not None and post in entry.before.posts:
        return entry.before.posts[post].line
    return entry.line if isinstance(entry, RerouteEntry) and post in entry.out else ""


def _serves_still(layout: Layout, sleeve: DrivenSleeve) -> bool:
    """Whether corrections so small that no second sleeve fits beside it leave a post in its sleeve: the post was never moved."""
    if sleeve.there is None or sleeve.which != sleeve_words(layout.emptied, sleeve.post, sleeve.there):
        return False
    return any(is_near(place, sleeve) for place in (sleeve.anew_there, driven_today(layout, sleeve.post)))


def _corrected(job: Job, layout: Layout, sleeve: DrivenSleeve) -> str:
    """What took a post from its sleeve where no entry of the log did: a shot, a point or the plan itself was put right."""
    today = layout.supports.get(sleeve.post)
    if today is None:
        return "not in the plan any more"
    if today.support == "driven":
        return "place corrected"
    return "a base plate in its place" if today.at in job.surfaces else f"a {today.support} in its place"


def _last_said(job: Job) -> datetime | None:
    """When something was last logged, or ticked of a sleeve."""
    read = [tick.at for key, tick in job.checks.items() if key.what in ("driven_depth", ASKED) or tells_of_sleeve(key, tick, {}, job.posts)]
    logged = (entry.struck_at or entry.at for entry in job.log if not isinstance(entry, SignedEntry | ReopenedEntry))
    return max((*read, *logged), default=None)


def _stays(job: Job, layout: Layout, entry: LogEntry | None, sleeve: DrivenSleeve, one: OldSleeve) -> bool:
    """Whether it is in the ground still, by what the new way says or by its age, unless the crew said otherwise."""
    if isinstance(entry, RerouteEntry) and entry.struck_at is None:
        old = sleeve.post in entry.left
    else:
        old = one.at - sleeve.went_in >= timedelta(days=job.rules.posts.pull_days)
    said = said_to_stay(job.checks, one.key)
    if said is not None:
        return said
    tick = standing_tick(job.checks, one.key, sleeve_facts(job.checks, one.key, one.there, cut_off=old), layout.stood)
    return old if tick is None else old == (tick.state == "done")
