"""Names that two copies gave out apart: of two entries or two posts of one name the later one gets another."""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from itertools import count

from engine.job.edit.edits import next_post_id
from engine.job.edit.plan_taken_back import NewPlan
from engine.job.model.item_key import ItemKey
from engine.job.model.job import Job
from engine.job.model.log_entries import AddEntry, LogEntry, NoteEntry, PhotoEntry, PlannedEntry, RerouteEntry, SupersededEntry, unstruck
from engine.job.model.plan_before import PlanBefore
from engine.job.model.tick_facts import TickFacts

LONGEST_ID = 40
BOTH_ADDED = "Both sides added "
_FIRST = datetime.min.replace(tzinfo=UTC)
Names = dict[str, str]


@dataclass(frozen=True)
class Sides:
    """Both copies with every name standing for one thing, and sentences for what was given another one."""

    ours: Job
    theirs: Job
    says: tuple[str, ...] = ()


def tells_new_name(says: str) -> bool:
    """Whether a sentence says that something of one's own has another name since it was told apart."""
    return says.startswith(BOTH_ADDED) and ": yours " in says


def same_entry(one: LogEntry | None, other: LogEntry) -> bool:
    """Whether two are one entry, struck or not."""
    return one is not None and unstruck(one) == unstruck(other)


def told_apart(base: Job, ours: Job, theirs: Job) -> Sides:
    """Both copies with entries and posts told apart: of two things of one name the later one, by time and id, gets a free name."""
    ours, theirs = _entries_apart(base, *_as_renamed_before(ours, theirs))
    mine, yours = _new_posts(base, ours, theirs), _new_posts(base, theirs, ours)
    names: tuple[Names, Names] = ({}, {})
    says = []
    shared = {entry.id for entry in theirs.log} & {entry.id for entry in ours.log}
    taken = dict.fromkeys([*_posts_of(ours), *_posts_of(theirs)])
    for post in sorted(mine.keys() & yours.keys(), key=lambda name: (max(mine[name], yours[name]), name)):
        if mine[post] == yours[post] or (mine[post].id in shared and yours[post].id in shared):
            continue
        new = next_post_id(ours, {**taken, **dict.fromkeys([*names[0].values(), *names[1].values()])})
        here = mine[post] > yours[post]
        names[0 if here else 1][post] = new
        says.append(f"{BOTH_ADDED}a post {post}: {'yours' if here else 'theirs'} is {new} now.")
    return Sides(_with_posts_called(base, ours, names[0]), _with_posts_called(base, theirs, names[1]), tuple(says))


@dataclass(frozen=True, order=True)
class _Since:
    """When a post came to be, and by which entry."""

    at: datetime
    id: str


def _new_posts(base: Job, side: Job, other: Job) -> dict[str, _Since]:
    """Posts that a copy has, or had, and the version before hasn't. One that was laid out keeps its name before one that was added."""
    known = {entry.id for entry in base.log}
    fresh = [entry for entry in side.log if entry.id not in known]
    since = {entry.post: _Since(entry.at, entry.id) for entry in fresh if isinstance(entry, AddEntry)}
    elsewhere = {entry.id for entry in other.log}
    plans = [entry for entry in fresh if isinstance(entry, PlannedEntry | RerouteEntry) and entry.id not in elsewhere]
    if plans:
        added = {entry.post for entry in other.log if isinstance(entry, AddEntry)}
        gone = (name for plan in plans for name in _taken_out(plan) if name in added)
        laid = [*(name for name in side.posts if name not in other.posts), *gone]
        since = {**{name: _Since(_FIRST, plans[-1].id) for name in laid}, **since}
    before = {*base.posts, *(entry.post for entry in base.log if isinstance(entry, AddEntry))}
    return {name: when for name, when in since.items() if name not in before}


def _taken_out(entry: LogEntry) -> tuple[str, ...]:
    return (*getattr(entry, "gone", ()), *getattr(entry, "out", ()))


def _posts_of(side: Job) -> list[str]:
    return [*(key.subject for key in side.checks), *_named_posts(side)]


def _named_posts(side: Job) -> list[str]:
    """Posts of the plan and of the log."""
    names = [*side.posts]
    names += [post for entry in side.log if (post := getattr(entry, "post", None))]
    return names + [name for entry in side.log for name in _taken_out(entry)]


def _as_renamed_before(ours: Job, theirs: Job) -> tuple[Job, Job]:
    """Both copies with the post of one entry called as it was renamed before: by the higher of its two numbers."""
    yours = {entry.id: entry for entry in theirs.log if isinstance(entry, AddEntry)}
    names: tuple[Names, Names] = ({}, {})
    for entry in ours.log:
        other = yours.get(entry.id)
        if isinstance(entry, AddEntry) and other is not None and entry.post != other.post and _but_for_its_post(entry, other):
            low, high, which = (entry, other, 0) if _number(entry.post) < _number(other.post) else (other, entry, 1)
            names[which][low.post] = high.post
    return posts_called(ours, names[0]), posts_called(theirs, names[1])


def _room_for(side: Job, names: Names) -> Job:
    """A copy whose other posts of those new names are called anew first."""
    held = {entry.post for entry in side.log if isinstance(entry, AddEntry)} & set(names.values()) - set(names)
    free: Names = {}
    for post in sorted(held, key=_number):
        free[post] = next_post_id(side, dict.fromkeys([*_posts_of(side), *names.values(), *free.values()]))
    return _with_posts_called(Job(), side, free)


def _number(post: str) -> tuple[int, str]:
    found = re.fullmatch(r"P(\d{1,6})", post)
    return (int(found.group(1)) if found else 0, post)


def posts_renamed(before: Job, now: Job) -> Names:
    """Posts that were added before and are called otherwise now."""
    since = {entry.id: entry.post for entry in now.log if isinstance(entry, AddEntry)}
    called = {entry.post: since[entry.id] for entry in before.log if isinstance(entry, AddEntry) and entry.id in since}
    return {old: new for old, new in called.items() if old != new}


def posts_called(job: Job, names: Names) -> Job:
    """A job with other names for some posts, in all that it says of them."""
    return _with_posts_called(Job(), _room_for(job, names), names)


def _with_posts_called(base: Job, side: Job, names: Names) -> Job:
    """A copy with other names for some posts, in everything that it says of them since the version before."""
    if not names:
        return side
    known = {entry.id for entry in base.log}
    known_posts = frozenset([*names, *_named_posts(side)])
    posts = {names.get(name, name): post for name, post in side.posts.items()}
    log = tuple(entry if entry.id in known else _entry_called(entry, names, known_posts) for entry in side.log)
    checks = {
        _key_called(key, names, known_posts): tick.model_copy(update={"of": _facts_called(tick.of, names)})
        for key, tick in side.checks.items()
    }
    return side.model_copy(update={"posts": posts, "log": log, "checks": checks})


def _entry_called(entry: LogEntry, names: Names, posts: frozenset[str]) -> LogEntry:
    changed: dict[str, object] = {}
    if isinstance(entry, SupersededEntry):
        changed = {"item": _key_called(entry.item, names, posts), "of": _facts_called(entry.of, names)}
    elif isinstance(entry, NoteEntry | PhotoEntry):
        changed = {"about": _subject_called(entry.about, names, posts)}
    else:
        for field in ("post", "from_post", "to_post"):
            if getattr(entry, field, None) in names:
                changed[field] = names[getattr(entry, field)]
        for field in ("gone", "out", "left"):
            if set(getattr(entry, field, ())) & set(names):
                changed[field] = tuple(names.get(name, name) for name in getattr(entry, field))
        if isinstance(entry, NewPlan) and entry.before is not None:
            changed["before"] = _plan_called(entry.before, names, posts)
    return entry.model_copy(update=changed) if changed else entry


def _plan_called(before: PlanBefore, names: Names, posts: frozenset[str]) -> PlanBefore:
    """A plan before with the other names for its posts and in its ticks."""
    return before.model_copy(
        update={
            "plan": tuple(names.get(name, name) for name in before.plan),
            "posts": {names.get(name, name): post for name, post in before.posts.items()},
            "checks": {
                _key_called(key, names, posts): tick.model_copy(update={"of": _facts_called(tick.of, names)})
                for key, tick in before.checks.items()
            },
        }
    )


def _key_called(key: ItemKey, names: Names, posts: frozenset[str]) -> ItemKey:
    return key._replace(subject=_subject_called(key.subject, names, posts))


def subject_called(subject: str, names: Names, job: Job) -> str:
    """What a job says something of, with other names for some posts."""
    return _subject_called(subject, names, frozenset([*names, *_named_posts(job)]))


def _subject_called(subject: str, names: Names, posts: frozenset[str]) -> str:
    """A subject with the other name for its post, for that of its sleeve, or for an end of its bay: the two posts that it joins."""
    if "." in subject:
        return _sleeve_called(subject, names)
    parts = subject.split("-")
    bays = (("-".join(parts[:n]), "-".join(parts[n:])) for n in range(1, len(parts)))
    bay = next((ends for ends in bays if posts.issuperset(ends)), ())
    ends = (subject,) if subject in posts else bay or (subject,)
    return "-".join(names.get(end, end) for end in ends)


def _sleeve_called(sleeve: str, names: Names) -> str:
    """An old sleeve with the other name for its post: P8.24_31E_102_56N."""
    post, dot, place = sleeve.partition(".")
    return f"{names.get(post, post)}{dot}{place}"


def _facts_called(of: TickFacts, names: Names) -> TickFacts:
    return of._replace(places=tuple(at._replace(support=_sleeve_called(at.support, names)) for at in of.places))


def _entries_apart(base: Job, ours: Job, theirs: Job) -> tuple[Job, Job]:
    """Both copies with another id for the later of two different entries of one id."""
    known = {entry.id for entry in base.log}
    mine, yours = ({entry.id: entry for entry in side.log if entry.id not in known} for side in (ours, theirs))
    names: tuple[Names, Names] = ({}, {})
    taken = {entry.id for side in (ours, theirs) for entry in side.log}
    for name in sorted(mine.keys() & yours.keys()):
        one, other = mine[name], yours[name]
        if same_entry(one, other):
            continue
        if met := next((id_ for id_ in _renamed_ids(name, yours) if _but_for_its_id(yours[id_]) == _but_for_its_id(one)), None):
            names[0][name] = met
        elif met := next((id_ for id_ in _renamed_ids(name, mine) if _but_for_its_id(mine[id_]) == _but_for_its_id(other)), None):
            names[1][name] = met
        else:
            later = 0 if (one.at, one.model_dump_json()) > (other.at, other.model_dump_json()) else 1
            names[later][name] = _free_id(name, taken)
            taken.add(names[later][name])
    return _with_ids(ours, names[0]), _with_ids(theirs, names[1])


def _renamed_ids(name: str, entries: Mapping[str, LogEntry]) -> Iterator[str]:
    return (id_ for id_ in entries if id_.startswith(f"{name[: LONGEST_ID - 4]}-"))


def _with_ids(side: Job, names: Names) -> Job:
    if not names:
        return side
    log = tuple(entry.model_copy(update={"id": names.get(entry.id, entry.id)}) for entry in side.log)
    return side.model_copy(update={"log": log})


def _but_for_its_post(one: AddEntry, other: AddEntry) -> bool:
    return same_entry(one.model_copy(update={"post": other.post}), other)


def _but_for_its_id(entry: LogEntry) -> LogEntry:
    return unstruck(entry).model_copy(update={"id": "x"})


def _free_id(name: str, taken: set[str]) -> str:
    tries = (f"{name[: LONGEST_ID - 4]}-{number}" for number in count(2))
    return next(tried for tried in tries if tried not in taken)
