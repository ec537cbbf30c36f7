"""Edits: every way a job changes. Each takes a Job, what to do, when and who, and gives a new Job; the old one stays as it was."""

import re
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from datetime import datetime
from hashlib import blake2b
from itertools import count
from typing import Any, TypeVar

from pydantic import ValidationError

from engine.job.edit.next_record import free_name
from engine.job.edit.plan_taken_back import with_plan_before
from engine.job.errors import EditRefused
from engine.job.model.base import Part
from engine.job.model.checks import Tick
from engine.job.model.cross_checks import problems
from engine.job.model.fence import Post, PostKind
from engine.job.model.item_key import ItemKey
from engine.job.model.job import Job
from engine.job.model.log_entries import (
    ENTRIES,
    Entry,
    OfPost,
    SignedEntry,
    SupersededEntry,
    posts_since,
    struck,
)
from engine.job.model.signed_record import Record
from engine.job.model.site import ObstacleKind
from engine.job.model.stock_table import stock_of
from engine.job.model.tick_facts import NO_FACTS, TickFacts, same_facts
from engine.job.model.words.refusals import problems_of

SEALED = "This job is signed off and sealed. Reopen it first, with a reason."
YARD_OPEN = "The yard is open until this is done: it can't be marked as not needed. Leave it open, and say why at sign-off."
P = TypeVar("P", bound=Part)
E = TypeVar("E", bound=Entry)


def entry_id(job: Job, at: datetime, by: str, said: str = "") -> str:
    """A log id no entry of the job has: time, initials and a mark of what is said, so that two laptops don't make the same one."""
    initials = "".join(word[0] for word in re.findall(r"[A-Za-z0-9]+", by)).lower()[:4] or "x"
    mark = f"-{blake2b(said.encode(), digest_size=2).hexdigest()}" if said else ""
    stem = f"{at:%y%m%d-%H%M%S}-{initials}{mark}"
    return free_name(stem, {entry.id for entry in job.log})


def next_post_id(job: Job, planned: Mapping[str, object] = {}) -> str:
    """The next free post id."""
    return next(next_post_ids(job, planned))


def next_post_ids(job: Job, planned: Mapping[str, object] = {}) -> Iterator[str]:
    """Free post ids, from one over the highest number in the plan, the log, the ticks and what was gone before a repair."""
    names = {*job.posts, *planned, *(key.subject for key in job.checks), *(job.repair_of.gone if job.repair_of is not None else ())}
    names.update(entry.post for entry in job.log if isinstance(entry, OfPost))
    names.update(name for entry in job.log if entry.kind == "planned" for name in entry.gone)
    names.update(name for entry in job.log if entry.kind == "reroute" for name in entry.out)
    numbers = [int(name[1:]) for name in names if name[1:].isdecimal() and name[0] == "P" and len(name) <= 7]
    yield from (f"P{number}" for number in count(max(numbers, default=0) + 1))


def tick(
    job: Job,
    key: ItemKey,
    at: datetime,
    by: str,
    *,
    reading_ft: float | None = None,
    reading_in: float | None = None,
    note: str = "",
    of: TickFacts = NO_FACTS,
    needed: bool = True,
) -> Job:
    """Job with an item done, or not needed, and its reading in the unit its item asks for. Raises: EditRefused, also where what closes the
    yard isn't to be needed."""
    refuse_sealed(job)
    state = "done" if needed else "not needed"
    row = _valid(Tick, {"state": state, "at": at, "by": by, "reading_ft": reading_ft, "reading_in": reading_in, "note": note, "of": of})
    if not row.answers(key):
        raise EditRefused(YARD_OPEN)
    old = job.checks.get(key)
    if old is not None and same_facts(old.of, of):
        row = row.model_copy(update={"photos": old.photos})
    told = old is not None and (old.reading not in (None, row.reading) or old.note not in ("", row.note) or old.by != by)
    if old is not None and (told or not same_facts(old.of, of) or _of_before(job, old)):
        job = _superseded(job, key, old, at, by, opened=False)
    return job.model_copy(update={"checks": {**job.checks, key: row}})


def untick(job: Job, key: ItemKey, at: datetime, by: str, counted: Tick | None = None) -> Job:
    """Job with an item open again; what it had goes into the log. `counted` is the tick that was counted, if not the last one."""
    refuse_sealed(job)
    old = job.checks.get(key)
    if counted is not None and old is not None and (counted.at, counted.by) != (old.at, old.by):
        return _superseded(job, key, counted, at, by, opened=True)
    return untick_all(job, [key], at, by)


def untick_all(job: Job, keys: Collection[ItemKey], at: datetime, by: str) -> Job:
    """Job with items open again; their readings, reasons and photos go into the log, and in a repair every tick of before it."""
    refuse_sealed(job)
    for key in keys:
        old = job.checks.get(key)
        if old is not None and (old.reading is not None or old.note or old.photos or _of_before(job, old)):
            job = _superseded(job, key, old, at, by, opened=True)
    checks = dict(job.checks)
    for key in keys:
        checks.pop(key, None)
    return job.model_copy(update={"checks": checks})


def _of_before(job: Job, old: Tick) -> bool:
    """Whether a tick answers from before a repair: what is opened or done anew there is never without a trace."""
    return job.repair_of is not None and job.repair_of.stood(old.at) and old.state in ("done", "not needed")


def _superseded(job: Job, key: ItemKey, old: Tick, at: datetime, by: str, *, opened: bool) -> Job:
    return _logged(job, _ticked_with(key, old, at, by, opened=opened))


def superseded_entry(key: ItemKey, old: Tick, at: datetime, by: str, *, opened: bool = False, alike: bool = False) -> SupersededEntry:
    """What an item was ticked with, for the log."""
    return _with_id(Job(), _ticked_with(key, old, at, by, opened=opened, alike=alike))


def _ticked_with(key: ItemKey, old: Tick, at: datetime, by: str, *, opened: bool, alike: bool = False) -> SupersededEntry:
    return SupersededEntry(
        id="x", at=at, by=by, kind="superseded", item=key, opened=opened, alike=alike or None, state=old.state, done_at=old.at,
        done_by=old.by, reading_ft=old.reading_ft, reading_in=old.reading_in, text=old.note, of=old.of,
        photos=old.photos,
    )  # fmt: skip


def sleeve_left(job: Job, post: str, there: tuple[float, float], at: datetime, by: str, *, why: str = "") -> Job:
    """Job with a sleeve that was cut off and stays in the ground, at its place (east and north, ft)."""
    return _with_entry(job, "sleeve_left", at, by, {"post": post, "east_ft": there[0], "north_ft": there[1], "why": why})


def accept_layout(job: Job, posts: Mapping[str, Post], at: datetime, by: str) -> Job:
    """Job with a proposed set of supports as its plan, noted in the log with what stood before."""
    return with_plan_before(job, layout_alone(job, posts, at, by))


def layout_alone(job: Job, posts: Mapping[str, Post], at: datetime, by: str) -> Job:
    """The same, with nothing kept of what stood before."""
    refuse_sealed(job)
    if not posts:
        raise EditRefused("There is nothing to accept yet. Survey the points and draw a line first.")
    planned = job.model_copy(update={"posts": dict(posts)})
    gone = [name for name in posts_since(job.posts, job.log).standing if name not in posts]
    return _with_entry(planned, "planned", at, by, {"supports": len(posts), "gone": gone})


def obstacle(
    job: Job,
    what: ObstacleKind,
    line: str,
    station_ft: float,
    at: datetime,
    by: str,
    *,
    offset_ft: float = 0.0,
    radius_ft: float = 1.0,
    long_ft: float | None = None,
    wide_ft: float | None = None,
    text: str = "",
) -> Job:
    """Job with something found in the ground at a spot of a line: nothing is planned within `radius_ft` of it from now on."""
    _refuse_unknown(job.lines, line, "line")
    fields = {"what": what, "line": line, "station_ft": station_ft, "offset_ft": offset_ft, "radius_ft": radius_ft}
    fields |= {"long_ft": long_ft, "wide_ft": wide_ft, "text": text}
    return _with_entry(job, "obstacle", at, by, fields)


def move_post(job: Job, post: str, at: datetime, by: str, *, along_ft: float = 0.0, out_ft: float = 0.0, why: str = "") -> Job:
    """Job with a post moved from where it stands: along the line (towards its end positive) and off it (right positive)."""
    _refuse_unplanned(job, post)
    if along_ft == 0 and out_ft == 0:
        raise EditRefused(f"{post} would stay where it is. Give a distance along the line or out from it.", "along_ft")
    return _with_entry(job, "move", at, by, {"post": post, "along_ft": along_ft, "out_ft": out_ft, "why": why})


def swap_to_tree(job: Job, post: str, tree: str, at: datetime, by: str, *, why: str = "") -> Job:
    """Job with a tree carrying the cables in a post's place."""
    _refuse_unplanned(job, post)
    _refuse_unknown(job.trees, tree, "tree")
    return _with_entry(job, "swap", at, by, {"post": post, "tree": tree, "why": why})


def add_post(
    job: Job, line: str, station_ft: float, at: datetime, by: str, *, offset_ft: float = 0.0, post_kind: PostKind = "line", why: str = ""
) -> Job:
    """Job with one more driven post at a station of a line, under the next free id."""
    if not job.posts:
        raise EditRefused("There is no accepted plan to add a post to. Accept the layout first.")
    _refuse_unknown(job.lines, line, "line")
    fields = {"post": next_post_id(job), "line": line, "station_ft": station_ft, "offset_ft": offset_ft}
    return _with_entry(job, "add", at, by, {**fields, "post_kind": post_kind, "why": why})


def drop_post(job: Job, post: str, at: datetime, by: str, *, why: str = "") -> Job:
    """Job with a post left out; its ticks are kept."""
    _refuse_unplanned(job, post)
    return _with_entry(job, "drop", at, by, {"post": post, "why": why})


def apply_steps(job: Job, steps: Iterable[Mapping[str, Any]], at: datetime, by: str, *, why: str = "") -> Job:
    """Job with several moves, swaps, additions or drops, one after the other, each an entry of its own."""
    ways: dict[str, Callable[..., Job]] = {"move": move_post, "swap": swap_to_tree, "add": add_post, "drop": drop_post}
    for step in steps:
        if step["kind"] not in ways:
            raise EditRefused(f"A post isn't settled by {step['kind']}.")
        job = ways[step["kind"]](job, at=at, by=by, why=why, **{name: value for name, value in step.items() if name != "kind"})
    return job


def new_way(job: Job, tables: Mapping[str, Any], fields: Mapping[str, Any], at: datetime, by: str) -> Job:
    """Job with a stretch of a line taken another way; engine.change.new_way.job_after works out what that does to its records."""
    if not job.posts:
        raise EditRefused("There is no accepted plan to change. Accept the layout first.")
    done = _with_entry(job.model_copy(update=dict(tables)), "reroute", at, by, dict(fields))
    if found := problems(done):
        raise EditRefused(found[0].message)
    return done


def delivery(
    job: Job, stock: str, at: datetime, by: str, *, packs: int | None, loose: float | None, brought_by: str = "", text: str = ""
) -> Job:
    """Job with stock that came to the site: it counts beside what was loaded."""
    _refuse_unknown(stock_of(job.stock), stock, "stock row")
    fields = {"stock": stock, "packs": packs, "loose": loose, "brought_by": brought_by, "text": text}
    return _with_entry(job, "delivery", at, by, fields)


def note(job: Job, text: str, at: datetime, by: str, *, about: str = "") -> Job:
    """Job with plain words in its log, about something or about the job."""
    if not text.strip():
        raise EditRefused("A note needs some words.", "text")
    return _with_entry(job, "note", at, by, {"about": about, "text": text})


def photo(
    job: Job,
    file: str,
    at: datetime,
    by: str,
    *,
    about: str = "",
    line: str | None = None,
    station_ft: float | None = None,
    caption: str = "",
) -> Job:
    """Job with a picture file beside it named in its log: of something, or taken at a station of a line."""
    if not file.strip():
        raise EditRefused("Name the picture file, such as gate.jpg.", "file")
    if line is not None:
        _refuse_unknown(job.lines, line, "line")
    fields = {"file": file, "about": about, "line": line, "station_ft": station_ft, "caption": caption}
    return _with_entry(job, "photo", at, by, fields)


def photos_of_tick(job: Job, key: ItemKey, photos: tuple[str, ...]) -> Job:
    """Job in which these picture files beside it, and no others, show what an item was ticked for; the tick is whose it was."""
    refuse_sealed(job)
    old = job.checks.get(key)
    if old is None:
        raise EditRefused("It isn't ticked yet. Tick it first: its photos stand beside the tick.")
    valid = _valid(Tick, {**old.model_dump(), "photos": photos})
    return job.model_copy(update={"checks": {**job.checks, key: old.model_copy(update={"photos": valid.photos})}})


def sign(job: Job, record: Record, at: datetime, by: str, accepted_by: str) -> Job:
    """Job signed off: the record written, the signature logged, the file sealed from now on."""
    signed = _with_entry(job, "signed", at, by, {"accepted_by": accepted_by})
    return signed.model_copy(update={"record": record})


def reopen(job: Job, why: str, at: datetime, by: str) -> Job:
    """Sealed job opened again, its signature struck and the reason logged; its old record goes, the next sign-off writes a new one. What
    was left open for a reason keeps that reason."""
    if job.record is None:
        raise EditRefused("This job isn't signed off, so there is nothing to reopen.")
    if not why.strip():
        raise EditRefused("Say why the job is being reopened.")
    log = list(job.log)
    signed = next((n for n in range(len(log) - 1, -1, -1) if isinstance(log[n], SignedEntry) and log[n].struck_at is None), None)
    if signed is not None:
        log[signed] = struck(log[signed], at, by)
    opened = job.model_copy(update={"record": None, "log": tuple(log)})
    return _with_entry(opened, "reopened", at, by, {"why": why, "left_open": job.record.left_open})


def _with_entry(job: Job, kind: str, at: datetime, by: str, fields: dict[str, Any]) -> Job:
    refuse_sealed(job)
    return _logged(job, _valid(ENTRIES[kind], {"id": "x", "at": at, "by": by, "kind": kind, **fields}))


def _logged(job: Job, entry: E) -> Job:
    return job.model_copy(update={"log": (*job.log, _with_id(job, entry))})


def _with_id(job: Job, entry: E) -> E:
    unsaid = {"id", *(field for field in ("alike", "photos") if not vars(entry).get(field, True))}  # older programs, without them: same id
    return entry.model_copy(update={"id": entry_id(job, entry.at, entry.by, entry.model_dump_json(exclude=unsaid))})


def read_alone(kind: type[Part] = Part) -> Iterator[type[Part]]:
    """Works out how each part is read by itself, one at a step, for moments when nobody waits: the first of a kind costs no key then."""
    for one in kind.__subclasses__():
        one.model_rebuild()
        yield one
        yield from read_alone(one)


def _valid(part: type[P], fields: dict[str, Any]) -> P:
    """A record of these fields; what doesn't fit is refused in a crew's words."""
    try:
        return part.model_validate(fields)
    except ValidationError as error:
        problem = problems_of(error, part)[0]
        field = problem.field or (str(problem.path[-1]) if problem.path else "")
        raise EditRefused(problem.message, field, _field_words(field)) from error


def _field_words(field: str) -> str:
    """`Station (ft)` for the field station_ft."""
    name, _, unit = field.rpartition("_")
    words = f"{name} ({unit})" if unit in ("ft", "in") else field
    return f"{words[:1].upper()}{words[1:].replace('_', ' ')}"


def refuse_sealed(job: Job) -> None:
    """A job that is signed off is edited no more."""
    if job.record is not None:
        raise EditRefused(SEALED)


def _refuse_unplanned(job: Job, post: str) -> None:
    """A post must be in the plan as it stands."""
    if post not in posts_since(job.posts, job.log).standing:
        raise EditRefused(f"{post} is not in the accepted plan. Accept the layout first, or choose a post that is in it.")


def _refuse_unknown(table: Mapping[str, object], name: str, what: str) -> None:
    if name not in table:
        raise EditRefused(f"There is no {what} {name} in this job. It has: {', '.join(table) or 'none'}.")
