"""How long a save of one tick takes beside the least any safe save must do; the first is written and read back whole."""

import os
import re
from dataclasses import replace
from itertools import cycle
from pathlib import Path

from engine.ahead.crew_hours import hours_ahead
from engine.ahead.finished_file import SignedJob, finished_file, kept_row, mark_of
from engine.ahead.finished_jobs import NAME, finished_jobs
from engine.folder.kept_by_hash import keep_rows
from engine.folder.listing import glance, listed, names_of, whole
from engine.folder.listing_memory import ListedFacts, remember
from engine.job.file.disk import Disk
from engine.job.file.from_bytes import read_job
from engine.job.file.store import load, new, save
from engine.job.model.job import Job
from engine.walk import walk
from tests.ahead.crews import signed, worked
from tests.bench.big_job import NOON
from tests.bench.timing import Told, best_ms
from tests.demo import DEMO, accepted


def saves(job: Job, folder: Path) -> list[Told]:
    """Save and load of the job, in a folder it makes."""
    state = folder / "state"
    folder.mkdir()
    loaded = new(folder / "big.toml", job, NOON, state=state)
    raw = loaded.path.read_bytes()
    bare = best_ms(lambda: _bare(folder / "bare.toml", raw))
    back = best_ms(lambda: read_job(loaded.path, raw))
    standing = [loaded]
    ticked = cycle([job.model_copy(update={"checks": {k: t for k, t in job.checks.items() if k != key}}) for key in list(job.checks)[:7]])

    def once() -> None:
        standing[0] = save(standing[0], next(ticked), NOON, state=state)

    def first() -> None:
        standing[0] = save(replace(standing[0], texts={}), next(ticked), NOON, state=state)

    size = f"{len(raw) / 1000:.0f} KB"
    return [
        Told(f"save of {size}", best_ms(once), "ms", "write, fsync, rename", bare),
        Told("the first save of a file just opened", best_ms(first), "ms", "write, fsync, rename", bare),
        Told("of it, reading the new text back", back, "ms", "write, fsync, rename", bare),
        Told(f"load of {size}", best_ms(lambda: load(loaded.path)), "ms", "write, fsync, rename", bare),
    ]


def folder_view(folder: Path, count: int = 500) -> list[Told]:
    """A folder of small jobs listed: every row at a glance, then all of it worked out before, against reading the bytes. They differ by
    their titles, so one is worked out for all."""
    folder.mkdir()
    text = DEMO.read_text(encoding="utf-8")
    for number in range(count):
        (folder / f"yard_{number:03}.toml").write_text(text.replace("Willow Bend", f"Yard {number}"), encoding="utf-8")
    disk, state = Disk(), folder / "state"
    paths = [folder / name for name in names_of(folder)]
    bare = best_ms(lambda: [path.read_bytes() for path in paths])
    glances = best_ms(lambda: [glance(path, {}, disk) for path in paths])
    worked = whole(paths[0], disk).kept or ListedFacts()
    rows = [glance(path, {}, disk) for path in paths]
    remember(disk, state, {}, {row.mark: replace(worked, title=row.kept.title) for row in rows if row.kept})
    again = best_ms(lambda: list(listed(folder, state)))
    return [
        Told(f"{count} jobs listed at a glance", glances, "ms", "reading the bytes", bare),
        Told(f"{count} jobs listed whole, worked out before", again, "ms", "reading the bytes", bare),
    ]


def hours_of_finished_jobs(folder: Path, count: int = 2_000) -> list[Told]:
    """How long a job takes out of finished ones of 220 ticks each: what was read before is known by its hash; a first reading is told of
    one of them. Each is signed as another job. Of such a reading the tables are three tenths, work times and models two each, the seal one:
    what is left out and why can't be told by less."""
    folder.mkdir()
    disk, state = Disk(), folder / "state"
    rows, pause_min = {}, 20.0
    for seed in range(5):
        path = new(folder / f"{seed}.toml", signed(worked(seed)), NOON, state=state).path
        text, file = path.read_text(encoding="utf-8"), finished_file(path, path.read_bytes(), pause_min)
        for copy in range(count // 5):
            raw = re.sub(r'saved_on = "[^"]*"', f'saved_on = "{copy}"', text, count=1).encode()
            (folder / f"{seed}_{copy}.toml").write_bytes(raw)
            rows[mark_of(raw, pause_min)] = kept_row(replace(file, signed=SignedJob(f"{seed} {copy}", 0.0, f"{seed} {copy}")))
        path.unlink()
    keep_rows(disk, state, NAME, {}, rows)
    paths = [folder / name for name in names_of(folder)]
    raw = paths[0].read_bytes()
    bare = best_ms(lambda: [path.read_bytes() for path in paths])
    first = best_ms(lambda: finished_file(paths[0], raw, pause_min))
    job, walked = accepted(), walk(accepted())
    hours = best_ms(lambda: hours_ahead(job, walked, finished_jobs(folder, pause_min, state=state)))
    return [
        Told(f"hours out of {count:,} finished jobs, read before", hours, "ms", "reading the bytes", bare),
        Told("of it, one that is read for the first time", first, "ms", "reading all bytes", bare),
    ]


def _bare(path: Path, raw: bytes) -> None:
    """The least that puts bytes in place of a file: whole or not at all."""
    beside = path.with_suffix(".tmp")
    with beside.open("wb") as file:
        file.write(raw)
        file.flush()
        os.fsync(file.fileno())
    beside.replace(path)
