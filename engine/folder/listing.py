"""A folder of job files, each on one line: what can be told of it at a glance, and what is worked out once and then remembered.

The whole of a job takes tens of milliseconds, its first facts far less. So a list shows the first facts of every file at once, and the rest
as it is worked out; what was worked out is kept in this machine's own folder under the hash of the file.
"""

import re
import stat
import tomllib
from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

from engine.findings import LEVELS, STAGES, worst
from engine.folder.listing_memory import ESTIMATE, ListedFacts, recall, remember
from engine.folder.same_job import JobFile, LeftCopy, left_copies
from engine.job.errors import JobError, UnreadableFile, shown
from engine.job.file.disk import Disk, digest, read_whole, why
from engine.job.file.file_text import MOST_BYTES
from engine.job.file.from_bytes import Document, read_job
from engine.job.file_names import ENDING, FIRM_FILE
from engine.job.model.item_key import item_key
from engine.job.model.signed_record import Record
from engine.walk import walk

_WHO = re.compile(r"^\[job\]\n(.*?)^\[", re.MULTILINE | re.DOTALL)
_TICK = re.compile(r"^\[checks\.", re.MULTILINE)
_ROUGH = re.compile(r"^\[rough\]", re.MULTILINE)
_LINE = re.compile(r"^\[lines\.", re.MULTILINE)
_RECORD = re.compile(r"^\[record\]", re.MULTILINE)
AlsoTold = Callable[[bytes, Document], None]


def unheard(_raw: bytes, _document: Document) -> None:
    """Where nobody else asks."""


@dataclass(frozen=True, slots=True)
class Listed:
    """One job file of a folder. `kept` is what is known of the job, None where it can't be read; `error` is why. `kept.of` is None where
    only the first facts were looked at. `mark` is the hash of the file. `copy` says that another file of the folder holds the job too and
    counts instead; that is known once all are listed."""

    name: str
    kept: ListedFacts | None = None
    error: str = ""
    mark: str = ""
    copy: LeftCopy | None = None

    @property
    def whole(self) -> bool:
        """Whether nothing is left to be worked out."""
        return self.kept is None or self.kept.of is not None


Helper = Callable[[Path, Path, list[str]], Iterator[Listed]]
"""Works out files of a folder somewhere else, each once, and keeps what it has in the state folder; it may end before it has all."""


def nobody_helps(_folder: Path, _state: Path, _names: list[str]) -> Iterator[Listed]:
    """Where all is worked out here."""
    return iter(())


def names_of(folder: Path, *, disk: Disk | None = None) -> list[str]:
    """The job files of a folder by name, the firm's own file aside. Raises: UnreadableFile where the folder can't be listed."""
    return [name for name in _names(folder, disk or Disk()) if name.endswith(ENDING) and name != FIRM_FILE]


def folders_in(folder: Path, *, disk: Disk | None = None) -> list[str]:
    """The folders of a folder by name, those that can be looked at. Raises: UnreadableFile."""
    disk = disk or Disk()
    return [name for name in _names(folder, disk) if not name.endswith(ENDING) and _is_folder(folder / name, disk)]


def _names(folder: Path, disk: Disk) -> list[str]:
    try:
        names = disk.names(folder)
    except FileNotFoundError as error:
        raise UnreadableFile(folder, f"there is no such folder in {shown(str(folder.absolute().parent), 200)}. Check the name.") from error
    except NotADirectoryError as error:
        raise UnreadableFile(folder, "is no folder. Name the folder of jobs that it is in.") from error
    except OSError as error:
        raise UnreadableFile(folder, f"can't be listed: {why(error)}") from error
    return sorted(name for name in names if not name.startswith("."))


def _is_folder(path: Path, disk: Disk) -> bool:
    try:
        return stat.S_ISDIR(disk.stat(path).st_mode)
    except OSError:
        return False


def listed(
    folder: Path, state: Path, *, disk: Disk | None = None, also: AlsoTold = unheard, helper: Helper = nobody_helps
) -> Iterator[Listed]:
    """Every job file of a folder, each at first as far as it is known at a glance, then whole, then copies as such; what is unreadable
    with the reason. `also` hears of every file that is read whole here; what a `helper` works out and keeps elsewhere isn't worked out
    here. Raises: UnreadableFile where the folder can't be listed."""
    disk = disk or Disk()
    memory = recall(disk, state)
    left: dict[str, None] = {}
    rows: dict[str, Listed] = {}
    for name in names_of(folder, disk=disk):
        row = rows[name] = glance(folder / name, memory, disk)
        left |= {} if row.whole else {name: None}
        yield row
    for row in helper(folder, state, list(left)):
        del left[row.name]
        rows[row.name] = row
        yield row
    for row in worked_out(folder, state, left, disk, also):
        rows[row.name] = row
        yield row
    yield from _copies(folder, rows, disk)


def _copies(folder: Path, rows: Mapping[str, Listed], disk: Disk) -> Iterator[Listed]:
    """The rows of copies; files are read for that only where two are called alike."""
    alike = defaultdict[tuple[str, str], list[str]](list)
    for row in rows.values():
        if row.kept is not None:
            alike[row.kept.number, row.kept.title].append(row.name)
    for names in alike.values():
        if len(names) > 1:
            yield from (replace(rows[copy.left.file], copy=copy) for copy in left_copies(_read(folder, names, disk)))


def _read(folder: Path, names: Iterable[str], disk: Disk) -> Iterator[JobFile]:
    for name in names:
        try:
            raw = read_whole(disk, folder / name)
            yield JobFile(name, digest(raw), read_job(folder / name, raw))
        except JobError:
            continue  # gone or broken since it was listed


def worked_out(folder: Path, state: Path, names: Iterable[str], disk: Disk, also: AlsoTold) -> Iterator[Listed]:
    """These files worked out one by one; whenever that ends, what was worked out is kept."""
    fresh: dict[str, ListedFacts] = {}
    try:
        for name in names:
            row = whole(folder / name, disk, also)
            if row.kept is not None:
                fresh[row.mark] = row.kept
            yield row
    finally:
        if fresh:
            remember(disk, state, recall(disk, state), fresh)


def glance(path: Path, memory: dict[str, ListedFacts], disk: Disk) -> Listed:
    """What is known of a file at once: remembered, else its heading, its ticks and whether it is signed off."""
    try:
        raw = read_whole(disk, path)
    except JobError as error:
        return Listed(path.name, error=error.brief)
    if len(raw) > MOST_BYTES:
        return whole(path, disk)
    mark = digest(raw)
    if mark in memory:
        return Listed(path.name, memory[mark], mark=mark)
    text = raw.decode("utf-8", errors="replace").replace("\r\n", "\n")
    seal = "signed off" if _RECORD.search(text) else ESTIMATE if _ROUGH.search(text) and not _LINE.search(text) else ""
    return Listed(path.name, replace(_heading(text), done=len(_TICK.findall(text)), seal=seal), mark=mark)


def _heading(text: str) -> ListedFacts:
    """Number, title, client and planned day out of the job's own table; nothing where it can't be read at a glance."""
    found = _WHO.search(text)
    try:
        said = tomllib.loads(found[1]) if found else {}
    except ValueError:
        return ListedFacts()
    number, title, client = (said[name] if isinstance(said.get(name), str) else "" for name in ("number", "title", "client"))
    day = said.get("planned_for")
    return ListedFacts(number, title, client, f"{day:%Y-%m-%d}" if isinstance(day, date) else "")


def whole(path: Path, disk: Disk, also: AlsoTold = unheard) -> Listed:
    """All that a list shows of a file, worked out: progress, the worst finding, whether the seal holds; or why it can't be read."""
    try:
        raw = read_whole(disk, path)
        document = read_job(path, raw)
    except JobError as error:
        return Listed(path.name, error=error.brief)
    also(raw, document)
    worked, who, record = walk(document.job), document.job.job, document.job.record
    level = worst(worked.findings)
    first = next((finding for finding in worked.findings if finding.level == level), None)
    estimated = document.job.rough is not None and not worked.survey.lines
    facts = ListedFacts(
        number=who.number,
        title=who.title,
        client=who.client,
        day=f"{who.planned_for:%Y-%m-%d}" if who.planned_for else "",
        done=sum(checklist.done for checklist in worked.checklists.values()),
        of=sum(len(checklist.lines) for checklist in worked.checklists.values()),
        stage=next((stage for stage in STAGES if worked.checklists[stage].done < len(worked.checklists[stage].lines)), ""),
        worst=level or "",
        short=sum(row.short > 0 for row in worked.takeoff.rows),
        seal={None: ESTIMATE if estimated else "", True: "sealed", False: "touched"}[document.seal_holds],
        worst_code=first.code if first else "",
        worst_says=first.says if first else "",
        signed_at=f"{record.signed_at:%Y-%m-%d %H:%M}" if record else "",
        signed_by=record.signed_by if record else "",
        length_ft=round(float(sum(bay.slope_ft for bay in worked.layout.bays.values())), 4),
        units=who.units,
    )
    return Listed(path.name, _as_signed(facts, record) if record and document.seal_holds else facts, mark=digest(raw))


def _as_signed(facts: ListedFacts, record: Record) -> ListedFacts:
    """What a sealed job was signed with: what this version would ask or find besides had no part in it, and nothing is loaded for it. Older
    records give reasons for what was left open and don't name it: then it is told as of today."""
    if record.left_open and not record.found_open and not record.items_open:
        return facts
    left = [(LEVELS.index(found.level), code, found.says) for code, found in record.found_open.items() if found.level in LEVELS]
    level, code, says = min(left, default=(0, "", ""))
    stages = {item_key(key).stage for key in record.items_open}
    return replace(
        facts,
        of=facts.done + len(record.items_open),
        stage=next((stage for stage in STAGES if stage in stages), ""),
        worst=LEVELS[level] if code else "",
        worst_code=code.partition(":")[0],
        worst_says=says,
        short=0,
        length_ft=round(sum(record.bays_ft.values()), 4) or facts.length_ft,
    )
