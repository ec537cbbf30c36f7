"""What both sides did to one post, and plans that don't go together: asked, and what isn't kept is struck, not erased."""

from collections.abc import Collection, Iterable, Mapping
from dataclasses import field
from datetime import UTC, datetime

from engine.calc.frozen import dataclass
from engine.calc.phrases import counted, first_few, listed, plural
from engine.job.edit.plan_taken_back import NewPlan
from engine.job.edit.stations_after import station_after
from engine.job.merge.asked import Conflict, Keep, in_order
from engine.job.merge.began import Began
from engine.job.merge.joined_ticks import only_lacks_facts, same_tick
from engine.job.merge.plans_back import (
    PLAN_TABLES,
    When,
    plan_as_before,
    plans_back,
    stands_on_them,
    with_opened_logged,
    with_plan_as_before,
    with_ticks_before,
)
from engine.job.model.item_key import ItemKey
from engine.job.model.job import Job
from engine.job.model.log_entries import (
    AddEntry,
    DropEntry,
    LogEntry,
    MoveEntry,
    OfPost,
    PlannedEntry,
    RerouteEntry,
    SwapEntry,
    current_entries,
    live,
)
from engine.job.model.shots import LevelShot
from engine.job.model.words.key_words import item_words, record_words
from engine.job.model.words.log_sentences import sentence

PLAN = ("plan",)
_NOT_SAID = {"id", "at", "by", "why", "east_ft", "north_ft", "struck_at", "struck_by", "before", "after", "steps"}


@dataclass(frozen=True)
class SettledCopies:
    """Both copies with what isn't kept struck in its own, and what has to be asked."""

    ours: Job
    theirs: Job
    conflicts: tuple[Conflict, ...] = ()


@dataclass(frozen=True)
class _Doing:
    """What one side did to a post that the other hasn't: entries of its own, entries it took back, items it ticked."""

    fresh: list[LogEntry] = field(default_factory=list)
    taken_back: list[LogEntry] = field(default_factory=list)
    ticked: list[ItemKey] = field(default_factory=list)

    @property
    def statement(self) -> list[object]:
        return [entry.model_dump(exclude=_NOT_SAID) for entry in self.fresh] + [entry.id for entry in self.taken_back]

    @property
    def takes_out(self) -> bool:
        return any(isinstance(entry, DropEntry | SwapEntry) for entry in self.fresh)

    @property
    def logged(self) -> bool:
        return bool(self.fresh or self.taken_back)

    def words(self) -> str:
        said = [sentence(entry).rstrip(".") for entry in self.fresh]
        said += [f"taken back: {sentence(entry).rstrip('.')}" for entry in self.taken_back]
        return "; ".join([*said, *([f"ticked: {listed([item_words(key) for key in self.ticked])}"] if self.ticked else [])])


def posts_settled(base: Job, ours: Job, theirs: Job, keep: Keep) -> SettledCopies:
    """Both copies once every post that both did something to is settled: alike counts once, else the kept side's stands."""
    mine, yours = _doings(base, ours, theirs), _doings(base, theirs, ours)
    conflicts, lost = [], _Lost()
    planned = bool(fresh_plans(base, theirs, ours)), bool(fresh_plans(base, ours, theirs))
    for post in [name for name in mine if name in yours]:
        one, other = mine[post], yours[post]
        if one.logged and other.logged and one.statement == other.statement:
            later = 0 if (planned[0], _last(one)) > (planned[1], _last(other)) else 1  # a plan holds already what was done before it
            first, second = (one, other) if later else (other, one)
            lost.strike(later, second.fresh, _struck_by(first, second))
        elif (one.logged and other.logged) or (one.takes_out or other.takes_out):
            asked = Conflict(("log", post), post, one.words(), other.words())
            conflicts.append(asked)
            side = 1 if keep.of(asked) == "ours" else 0
            kept, gone = (one, other) if side else (other, one)
            lost.strike(side, gone.fresh, _struck_by(kept, gone))
            lost.stands[side] |= {entry.id: entry for entry in gone.taken_back}
    held = {entry.id for entry in base.log} - {entry.id for entry in current_entries(base.log)}
    settled = [_as_planned(base, lost.of(side, copy), held & lost.stands[side].keys()) for side, copy in enumerate((ours, theirs))]
    return SettledCopies(settled[0], settled[1], tuple(conflicts))


def _as_planned(base: Job, side: Job, again: Collection[str]) -> Job:
    """A copy in which entries from before the plan stand again, its plan holding their posts as in the version before."""
    if not again or fresh_plans(base, side, base):
        return side
    posts = {entry.post for entry in base.log if isinstance(entry, OfPost) and entry.id in again}
    kept = {name: row for name, row in side.posts.items() if name not in posts}
    rows = {**kept, **{name: row for name, row in base.posts.items() if name in posts}}
    return side.model_copy(update={"posts": {name: rows[name] for name in in_order(base.posts, side.posts, base.posts) if name in rows}})


def plans_settled(began: Began, ours: Job, theirs: Job, keep: Keep, also: bool = False) -> SettledCopies:
    """Both copies once their plans go together: where both made one, or one took out or renumbered what the other touched, it is asked.
    `also` says that something else of the plan was found to differ."""
    base = began.ours
    backs = plans_back(base, ours, theirs), plans_back(base, theirs, ours)
    if any(backs):
        return _back_settled(began, (ours, theirs), backs, keep, also)
    mine, yours = fresh_plans(base, ours, theirs), fresh_plans(base, theirs, ours)
    if not mine and not yours:
        return SettledCopies(ours, theirs)
    if mine and yours and _alike(mine, yours) and all(getattr(ours, table) == getattr(theirs, table) for table in PLAN_TABLES):
        later = 0 if (mine[-1].at, mine[-1].id) > (yours[-1].at, yours[-1].id) else 1
        lost = _Lost()
        last = (mine, yours)[later][-1].at, (yours, mine)[later][-1].by
        lost.strike(later, (mine, yours)[later], last)
        settled = [lost.of(0, ours), lost.of(1, theirs)]
        settled[later] = with_opened_logged(settled[later], (mine, yours)[later], (yours, mine)[later], last)
        return SettledCopies(settled[0], settled[1])
    here, there = _touches(began.theirs, ours, theirs, yours), _touches(began.ours, theirs, ours, mine)
    if not (mine and yours) and not (here or there or also):
        return SettledCopies(ours, theirs)
    words = [" ".join([*(sentence(entry) for entry in plan), *touched]) for plan, touched in ((mine, here), (yours, there))]
    conflict = Conflict(PLAN, "The plan", *(said.rstrip(".") or "it was changed" for said in words))
    side = 1 if keep.of(conflict) == "ours" else 0
    loser, plan, kept = (ours, theirs)[side], (mine, yours)[side], (mine, yours)[1 - side]
    if plan:
        loser = without_plan((began.ours, began.theirs)[side], loser, plan, _plan_struck(kept, plan))
    loser = _without_moved(base, loser, (theirs, ours)[side], kept)
    return SettledCopies(loser if side == 0 else ours, loser if side == 1 else theirs, (conflict,))


def _back_settled(began: Began, sides: tuple[Job, Job], backs: tuple[list[NewPlan], ...], keep: Keep, also: bool) -> SettledCopies:
    """Both copies once it is settled whether a plan that one of them took back stands: asked where the other did something on it."""
    base = began.ours
    on_them = [stands_on_them(base, sides[n], sides[1 - n], backs[1 - n]) for n in (0, 1)]
    if not also and not any(on_them):
        return SettledCopies(*sides)
    said = [" ".join([*(f"taken back: {sentence(entry)}" for entry in backs[n]), on_them[n]]).strip() for n in (0, 1)]
    conflict = Conflict(PLAN, "The plan", *(words.rstrip(".") or "it was changed" for words in said))
    lost = 1 if keep.of(conflict) == "ours" else 0
    last = max(last_word(side)[0] for side in sides), last_word(sides[1 - lost])[1]
    as_before = with_plan_as_before((began.ours, began.theirs)[lost], sides[lost], [*backs[0], *backs[1]], last)
    return SettledCopies(*((as_before, sides[1]) if lost == 0 else (sides[0], as_before)), (conflict,))


def last_word(side: Job) -> When:
    """When something was last logged or struck in a copy, and by whom."""
    words = ((entry.struck_at, entry.struck_by) if entry.struck_at else (entry.at, entry.by) for entry in side.log)
    return max(words, default=(datetime.min.replace(tzinfo=UTC), ""))


class _Lost:
    """What isn't kept, by side: entries to strike with when and by whom, and entries that stand again."""

    def __init__(self) -> None:
        self.struck: tuple[dict[str, When], ...] = ({}, {})
        self.stands: list[dict[str, LogEntry]] = [{}, {}]

    def strike(self, side: int, entries: Iterable[LogEntry], last: When) -> None:
        self.struck[side].update({entry.id: last for entry in entries})

    def of(self, side: int, job: Job) -> Job:
        """The copy as it counts."""
        if not self.struck[side] and not self.stands[side]:
            return job
        log = [self._entry(side, entry) for entry in job.log]
        held = {entry.id for entry in log}
        return job.model_copy(update={"log": (*log, *(entry for entry in self.stands[side].values() if entry.id not in held))})

    def _entry(self, side: int, entry: LogEntry) -> LogEntry:
        if entry.id in self.stands[side]:
            return self.stands[side][entry.id]
        if entry.id not in self.struck[side]:
            return entry
        at, by = self.struck[side][entry.id]
        return entry.model_copy(update={"struck_at": at, "struck_by": by})


def _doings(base: Job, side: Job, other: Job) -> dict[str, _Doing]:
    """By post, what a copy did that the other one hasn't."""
    before = {entry.id: entry for entry in base.log}
    elsewhere, here = {entry.id: entry for entry in other.log}, {entry.id: entry for entry in side.log}
    found: dict[str, _Doing] = {}
    for entry in side.log:
        if isinstance(entry, OfPost) and entry.struck_at is None and entry.id not in before and entry.id not in elsewhere:
            found.setdefault(entry.post, _Doing()).fresh.append(entry)
    for entry in base.log:
        if isinstance(entry, OfPost) and entry.struck_at is None and not _stands(here, entry) and _stands(elsewhere, entry):
            found.setdefault(entry.post, _Doing()).taken_back.append(entry)
    for key, tick in side.checks.items():
        old, theirs = base.checks.get(key), other.checks.get(key)
        if tick == old or only_lacks_facts(old, tick):
            continue
        if theirs is None or not (same_tick(tick, theirs) or only_lacks_facts(theirs, tick) or only_lacks_facts(tick, theirs)):
            found.setdefault(key.about, _Doing()).ticked.append(key)
    return found


def _stands(log: Mapping[str, LogEntry], entry: LogEntry) -> bool:
    return entry.id in log and log[entry.id].struck_at is None


def _last(doing: _Doing) -> When:
    return max(((entry.at, entry.by) for entry in (*doing.fresh, *doing.taken_back)), default=(datetime.min.replace(tzinfo=UTC), ""))


def _struck_by(kept: _Doing, gone: _Doing) -> When:
    """When what isn't kept counts no more, and by whom: whose word stands."""
    return max(_last(kept)[0], _last(gone)[0]), _last(kept)[1] or _last(gone)[1]


def fresh_plans(base: Job, side: Job, other: Job) -> list[LogEntry]:
    """Plans and new ways that stand and that only this copy made."""
    known = {entry.id for entry in (*base.log, *other.log)}
    return [
        entry for entry in side.log if isinstance(entry, PlannedEntry | RerouteEntry) and entry.struck_at is None and entry.id not in known
    ]


def _alike(mine: list[LogEntry], yours: list[LogEntry]) -> bool:
    said = [[entry.model_dump(exclude=_NOT_SAID) for entry in plan] for plan in (mine, yours)]
    return said[0] == said[1]


def _touches(base: Job, side: Job, other: Job, plan: list[LogEntry]) -> list[str]:
    """What a copy touched of that which the other's plan took out or moved, or gave other stations."""
    if not plan:
        return []
    gone, elsewhere = _taken_out(plan), _laid_elsewhere(plan, other) | _left_behind(plan, side, other)
    current = {entry.id for entry in current_entries(base.log)}
    theirs, last = _doings(base, other, side), other.log.index(plan[-1])
    held = {post: doing for post, doing in theirs.items() if any(entry in other.log[:last] for entry in doing.fresh)}
    found = []
    for post, doing in _doings(base, side, other).items():
        differs = doing.logged and post in held and held[post].statement != doing.statement
        moved = doing.logged and post in elsewhere
        if post in gone or moved or differs or any(entry.id in current for entry in doing.taken_back):
            found.append(f"{post}: {doing.words()}.")
    lines = {entry.line for entry in plan if isinstance(entry, RerouteEntry)}
    for table in PLAN_TABLES[1:4]:
        found += [f"{record_words(table, name)} was changed." for name in _changed(getattr(base, table), getattr(side, table), lines)]
    levels = {name: shot for name, shot in side.shots.items() if isinstance(shot, LevelShot)}
    if shot := _changed(base.shots, levels, lines):
        found.append(f"{counted(len(shot), 'level shot')} {plural(len(shot), 'was', 'were')} changed: {first_few(shot)}.")
    return found


def _taken_out(plans: Iterable[LogEntry]) -> set[str]:
    return {name for entry in plans for name in (*getattr(entry, "gone", ()), *getattr(entry, "out", ()))}


def _left_behind(plans: Iterable[LogEntry], side: Job, other: Job) -> set[str]:
    """Posts that a copy added on ground which the other's new ways gave up; and those of an older program that was told no place, where a
    new way gave other stations to what it said."""
    ways = [plan for plan in plans if isinstance(plan, RerouteEntry)]
    ends = {name for way in ways for name in (way.from_post, way.to_post)}
    known, found = {entry.id for entry in other.log}, set()
    for entry in (entry for entry in live(side.log) if ways and entry.id not in known):
        if isinstance(entry, AddEntry):
            now_ft: float | None = entry.station_ft
            for way in ways:
                now_ft = None if now_ft is None else station_after(way, entry.line, now_ft)
            if now_ft is None or (entry.place is None and now_ft != entry.station_ft):
                found.add(entry.post)
        elif isinstance(entry, MoveEntry) and entry.place is None and entry.post in ends:
            found.add(entry.post)
    return found


def _laid_elsewhere(plans: Iterable[LogEntry], side: Job) -> set[str]:
    """Posts that a fresh layout of a copy puts elsewhere and calls as before."""
    before = [row for plan in plans if isinstance(plan, PlannedEntry) and plan.before for row in plan.before.posts.items()]
    rows = [(name, was, side.posts[name]) for name, was in before if name in side.posts]
    return {name for name, was, now in rows if (was.line, was.station_ft, was.offset_ft) != (now.line, now.station_ft, now.offset_ft)}


def _without_moved(base: Job, side: Job, other: Job, kept: list[LogEntry]) -> Job:
    """A copy without what it said of posts that the other's plan, which is kept, took out or puts elsewhere: that was another place."""
    elsewhere, lost = _taken_out(kept) | _laid_elsewhere(kept, other) | _left_behind(kept, side, other), _Lost()
    for post, doing in _doings(base, side, other).items():
        if post in elsewhere:
            lost.strike(0, doing.fresh, (max(entry.at for entry in (*kept, *doing.fresh)), kept[-1].by))
    return lost.of(0, side)


def _changed(before: Mapping[str, object], now: Mapping[str, object], lines: set[str]) -> list[str]:
    return [name for name, row in now.items() if getattr(row, "line", "") in lines and before.get(name) != row]


def _plan_struck(kept: list[LogEntry], gone: list[LogEntry]) -> When:
    return max(entry.at for entry in (*kept, *gone)), (kept or gone)[-1].by


def without_plan(base: Job, side: Job, plan: list[LogEntry], last: When) -> Job:
    """A copy as if its new plan had not been made: what it said of posts since then is struck with it."""
    first = side.log.index(plan[0])
    known = {entry.id for entry in base.log}
    lost = _Lost()
    lost.strike(0, (e for e in side.log[first:] if e in plan or (isinstance(e, OfPost) and e.id not in known)), last)
    return with_ticks_before(base, lost.of(0, side.model_copy(update=plan_as_before(base, side))), plan, last)
