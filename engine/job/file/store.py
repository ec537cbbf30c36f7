"""Opening, saving and making job files: the one place where a job and the disk meet."""

import platform
import stat
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime
from pathlib import Path
from secrets import token_hex
from typing import Any

import engine
from engine.calc.phrases import counted
from engine.calc.units import FEET_INCHES, Units
from engine.job.errors import BadContent, ChangedOnDisk, JobError, NameRefused, NotMade, NotSaved, ReadOnlyFile, UnreadableFile, shown
from engine.job.file.backups import keep_base, keep_last, keep_sealed, newest, rescue
from engine.job.file.disk import Disk, digest, not_put, read_whole, why, write_new
from engine.job.file.file_text import MOST_BYTES, MOST_OPEN_BYTES
from engine.job.file.from_bytes import Document, read_back, read_job
from engine.job.file.heading import Heading, first_lines, followed_by, joining, marks_of, run_of
from engine.job.file.job_tables import seal_digest, tables_of
from engine.job.file.record_texts import RecordTexts, only_new, record_texts
from engine.job.file.replacing import as_expected
from engine.job.file.replacing import save as save_bytes
from engine.job.file.seal_parts import says_the_same, with_parts
from engine.job.file_names import ENDING, refused_name
from engine.job.model.job import Job, new_job
from engine.job.model.log_entries import reopened_since
from engine.job.model.people import Who
from engine.job.model.words.part_words import PartsChanged, changed_words
from engine.job.toml.toml_text import whole_text

MOST_ORIGINALS = 99
_RUN = 4
"""Bytes that tell the runs of a job's versions apart: two that part have two names."""


class _TooLarge(ValueError):
    """A version that would be larger than its file may be."""


@dataclass(frozen=True, slots=True)
class Loaded:
    """A job as it stands in its file, and what a save needs to know of that file.

    `read_only_reason` says why nothing can be saved here; a sealed job can be saved once it is reopened. `seal_holds` is None
    where the job isn't signed off; `changed` is what the file itself tells of what was changed since. `notes` are sentences to show
    once. `texts` are those of its records, where they were written here, `raw` its bytes, and `saved_here` whether this program wrote them.
    """

    path: Path
    job: Job
    digest: str
    heading: Heading
    read_only_reason: str | None = None
    seal_holds: bool | None = None
    changed: PartsChanged | None = None
    text_had_comments: bool = False
    notes: tuple[str, ...] = ()
    texts: RecordTexts = field(default_factory=dict, compare=False, repr=False)
    raw: bytes = field(default=b"", compare=False, repr=False)
    saved_here: bool = False

    @property
    def sealed(self) -> bool:
        """Whether the job is signed off."""
        return self.job.record is not None

    @property
    def changed_says(self) -> tuple[str, ...]:
        """What the file itself tells of what was changed since it was signed, a sentence each; nothing where it can't."""
        return changed_words(self.changed, self.job.log) if self.changed else ()

    @property
    def seal_says(self) -> str:
        """One sentence on the seal of a signed-off job; empty for an open one."""
        if self.seal_holds is None:
            return ""
        if self.seal_holds:
            return "Signed off and sealed: nothing the file says about the job has changed since. Who saved it and when isn't sealed."
        return "Signed off, but the file isn't what was signed: it was changed afterwards."


def load(path: Path, *, disk: Disk | None = None, state: Path | None = None) -> Loaded:
    """The job of a file. The file is only read. Raises: UnreadableFile, NewerFormat; BadContent, which also names the last version kept on
    this machine, if any."""
    disk = disk or Disk()
    raw = read_whole(disk, path)
    try:
        document = read_job(path, raw)
    except BadContent as error:
        older = newest(disk, state or state_folder(), disk.realpath(path))
        raise BadContent(path, error.problems, older) from error
    return replace(_loaded(path, raw, document, _locked_by_mode(disk, path)), notes=_place_notes(disk, path))


def readable(paths: Iterable[Path], disk: Disk, state: Path) -> Iterator[Loaded]:
    """Those of some kept versions that can be read."""
    for path in paths:
        try:
            yield load(path, disk=disk, state=state)
        except JobError:
            continue


def save(
    loaded: Loaded,
    job: Job,
    now: datetime | None = None,
    *,
    joined: Iterable[Loaded] = (),
    disk: Disk | None = None,
    state: Path | None = None,
) -> Loaded:
    """Put a job into the file it was loaded from, as its next version; sealed where it is signed off. `joined` are other versions whose
    work it holds. Raises: ReadOnlyFile; ChangedOnDisk where somebody else saved it; NotSaved. In each case the file is as it was."""
    disk, state, now = disk or Disk(), state or state_folder(), now or _clock()
    others = {other.digest: other.heading for other in joined}
    if loaded.read_only_reason:
        raise ReadOnlyFile(loaded.path, loaded.read_only_reason)
    if loaded.sealed and says_the_same(tables_of(job), tables_of(loaded.job)):
        as_expected(disk, disk.realpath(loaded.path), loaded.digest)
        return replace(loaded, notes=())
    if loaded.sealed and (job.record is not None or not reopened_since(loaded.job.log, job.log)):
        raise ReadOnlyFile(loaded.path, "is signed off and sealed. Reopen it first, with a reason.")
    try:
        goes_on = loaded.saved_here and loaded.heading.parent and not others
        heading = _next(loaded, now, "" if goes_on else token_hex(_RUN), others)
        raw, document, texts = _built(disk, state, loaded.path, job, heading, now, loaded.texts)
        notes = (*_original(disk, state, loaded, raw, now), *save_bytes(disk, loaded.path, raw, loaded.digest, state, now))
    except NotSaved as error:
        _keep_base(disk, state, loaded, error.rescue, now)
        raise
    if document.job.record is not None:
        keep_sealed(disk, state, loaded.path, raw, document.job.record.digest)
    keep_last(disk, state, loaded.path, raw, run_of(document.heading))
    return _put(loaded.path, job, raw, document, texts, notes)


def new(
    path: Path, job: Job, now: datetime | None = None, *, joined: Iterable[Loaded] = (), disk: Disk | None = None, state: Path | None = None
) -> Loaded:
    """Make a job file where none stands; `joined` are the files whose work it holds, so that it is known to come from them. Raises:
    NameRefused; AlreadyThere; UnreadableFile where there is no such folder; NotMade."""
    disk, state, now = disk or Disk(), state or state_folder(), now or _clock()
    if refused := refused_name(path.name):
        raise NameRefused(path, refused)
    if path.suffix != ENDING:
        raise NameRefused(path, f"a folder lists only jobs that end in {ENDING}. Call it {shown(path.stem, 120)}{ENDING}.")
    _refuse_no_folder(disk, path)
    joined = tuple(joined)
    earlier, headings = marks_of(loaded.digest for loaded in joined), [loaded.heading for loaded in joined]
    try:
        heading = _heading(now, earlier=earlier, **joining(_first_run(job, now), headings))
        raw, document, texts = _built(disk, state, path, job, heading, now, {})
    except NotSaved as error:
        raise NotMade(path, error.why, error.rescue) from error
    return _put(path, job, raw, document, texts, save_bytes(disk, path, raw, None, state, now))


def starter(title: str, units: Units = FEET_INCHES) -> Job:
    """An empty job with a title, ready to survey into."""
    return new_job(Who(title=title[:200], units=units))


def keep_elsewhere(
    loaded: Loaded, job: Job, now: datetime | None = None, *, disk: Disk | None = None, state: Path | None = None
) -> Path | None:
    """Keep a job that isn't in its file yet as a rescue copy: what `save` would have written, in this machine's own folder. The version
    that it was made from is kept too: without that nobody knows what it changed."""
    disk, state, now = disk or Disk(), state or state_folder(), now or _clock()
    try:
        texts = record_texts(_sealed(job), loaded.texts)
        raw = _bytes(_next(loaded, now, token_hex(_RUN)), texts)
    except (ValueError, TypeError):
        return None
    kept = _rescued(disk, state, loaded.path, raw, now)
    _keep_base(disk, state, loaded, kept, now)
    return kept


def state_folder() -> Path:
    """This program's own folder on this machine, where backups and rescue copies go."""
    from platformdirs import user_state_path

    return user_state_path("linewalk", appauthor=False)


def _refuse_no_folder(disk: Disk, path: Path) -> None:
    try:
        disk.stat(path.parent)
    except FileNotFoundError as error:
        raise UnreadableFile(path, not_put(error, path)) from error
    except OSError:
        return  # whoever writes there says what is wrong


def _loaded(path: Path, raw: bytes, document: Document, read_only_reason: str | None) -> Loaded:
    if document.heading.newer:
        unknown = counted(document.dropped, "thing in it is", "things in it are")
        left_out = f", {unknown} unknown here and not shown" if document.dropped else ""
        read_only_reason = f"was written by a newer program{left_out}. It can be looked at here but not saved."
    return Loaded(
        path=path,
        job=document.job,
        digest=digest(raw),
        heading=document.heading,
        read_only_reason=read_only_reason,
        seal_holds=document.seal_holds,
        changed=document.changed,
        text_had_comments=document.commented,
        raw=raw,
    )


def _put(path: Path, job: Job, raw: bytes, document: Document, texts: RecordTexts, notes: tuple[str, ...]) -> Loaded:
    """The handle of a version just written. Where nothing was rounded or sealed it holds the very job that was handed in."""
    loaded = replace(_loaded(path, raw, document, None), notes=notes, saved_here=True)
    return replace(loaded, job=job, texts=texts) if job == document.job else loaded


def _keep_base(disk: Disk, state: Path, loaded: Loaded, kept: Path | None, now: datetime) -> None:
    if kept is not None:
        keep_base(disk, state, loaded.path, loaded.raw, now)


def _next(loaded: Loaded, now: datetime, run: str, joined: Mapping[str, Heading] | None = None) -> Heading:
    return _heading(now, **followed_by(loaded.heading, loaded.digest, now, run, joined))


def _first_run(job: Job, now: datetime) -> str:
    """The name of the run that a new file is: the same for the same job made in one moment, which is the same file."""
    return digest(f"{platform.node()} {now.isoformat()} {job.model_dump_json()}".encode())[: 2 * _RUN]


def _heading(now: datetime, **versions: Any) -> Heading:
    return Heading(
        written_by=f"linewalk {engine.__version__}", saved_on=platform.node()[:200], saved_at=now.replace(microsecond=0), **versions
    )


def _built(
    disk: Disk, state: Path, path: Path, job: Job, heading: Heading, now: datetime, before: RecordTexts
) -> tuple[bytes, Document, RecordTexts]:
    """The bytes of a version, and what they say when they are read back: a job that would not open again isn't written."""
    raw = None
    try:
        job = _sealed(job)
        texts = record_texts(job, before)
        raw = _bytes(heading, texts)
        if too_large := _too_large(len(raw), job, heading):
            raise _TooLarge(too_large)
        new = _bytes(heading, {place: written for place, written in texts.items() if before.get(place) is not written})
        return raw, read_back(path, raw, job, new, only_new(job, before)), texts
    except (JobError, ValueError, TypeError) as error:
        kept = rescue(disk, state, path, raw, now) if raw else None
        says = str(error) if isinstance(error, _TooLarge) else f"the job as it is now would not open again ({shown(str(error), 400)})."
        raise NotSaved(path, says, kept) from error


def _too_large(size: int, job: Job, heading: Heading) -> str:
    """Why a version is too large to be written, and what to do; empty where it isn't. What is open keeps room for its record."""
    if size > MOST_BYTES:
        return f"over {MOST_BYTES // 1_000_000} MB, more than a job file may be. Make two jobs of it, each a part of the fence."
    if size > MOST_OPEN_BYTES and heading.parent and job.record is None:
        return (
            f"over {MOST_OPEN_BYTES // 1_000_000} MB, more than an open job may be. Sign it off as it is, which saves all of it, "
            "and go on in a repair of it: that begins without its log."
        )
    return ""


def _sealed(job: Job) -> Job:
    """The job, sealed where it was just signed off. One that has its seal keeps it, or a changed one would be whole again by saving it."""
    if job.record is None or job.record.digest:
        return job
    record = job.record.model_copy(update=with_parts(tables_of(job)))
    job = job.model_copy(update={"record": record})
    return job.model_copy(update={"record": record.model_copy(update={"digest": seal_digest(tables_of(job))})})


def as_saved(job: Job) -> Job:
    """The job as a file of it holds it, where facts are rounded."""
    return read_job(Path("job.toml"), _bytes(_heading(_clock()), record_texts(job, {}))).job


def _bytes(heading: Heading, texts: RecordTexts) -> bytes:
    return whole_text(first_lines(heading), (written.text for written in texts.values() if written.text)).encode()


def _original(disk: Disk, state: Path, loaded: Loaded, raw: bytes, now: datetime) -> tuple[str, ...]:
    """The original of a hand-written file, kept before it loses its comments; a sentence that says where."""
    if not loaded.text_had_comments:
        return ()
    try:
        return _kept_original(disk, loaded.path, loaded.digest)
    except (OSError, UnreadableFile) as error:
        says = why(error) if isinstance(error, OSError) else str(error)
        raise NotSaved(loaded.path, f"its comments couldn't be kept: {says}", _rescued(disk, state, loaded.path, raw, now)) from error


def _kept_original(disk: Disk, path: Path, expected: str) -> tuple[str, ...]:
    """The file as it stands, once, under a name of its own in the same folder: OSError where too many originals stand there."""
    real = disk.realpath(path)
    try:
        disk.stat(real)
    except FileNotFoundError:
        return ()
    written = read_whole(disk, real)
    if digest(written) != expected:
        raise ChangedOnDisk(path)
    for number in range(1, MOST_ORIGINALS + 1):
        kept = real.with_name(f"{real.name}.original{'' if number == 1 else f'-{number}'}")
        try:
            write_new(disk, kept, written)
        except FileExistsError:
            if disk.read(kept) != written:
                continue
        return (f"Comments can't be kept in a saved file. The file as you wrote it is in {shown(kept.name, 120)}.",)
    raise FileExistsError(0, "there are too many kept originals beside it")


def _rescued(disk: Disk, state: Path, path: Path, raw: bytes, now: datetime) -> Path | None:
    try:
        return rescue(disk, state, disk.realpath(path), raw, now)
    except OSError:
        return None


def _locked_by_mode(disk: Disk, path: Path) -> str | None:
    try:
        writable = disk.stat(path).st_mode & (stat.S_IWUSR | stat.S_IWGRP | stat.S_IWOTH)
    except OSError:
        return None
    return None if writable else "is marked read-only on the disk. Clear that mark to work in it."


def _place_notes(disk: Disk, path: Path) -> tuple[str, ...]:
    """That the place a file lies in can't be written, told when it is opened rather than when the first change fails."""
    try:
        writable = disk.writable(disk.realpath(path).parent)
    except OSError:
        return ()
    if writable:
        return ()
    return ("This file is where nothing can be written: changes are kept on this machine, not in it. Copy it elsewhere to work in it.",)


def _clock() -> datetime:
    return datetime.now().astimezone()
