"""How long a save takes beside the least any safe save must do, and how much of it is reading the new text back."""

import os
from pathlib import Path

from engine.job.job import Job
from engine.job.reading import read_job
from engine.job.store import load, new, save
from tests.bench.big_job import NOON
from tests.bench.timing import Told, best_ms


def saves(job: Job, folder: Path) -> list[Told]:
    """Save and load of the job, in a folder it makes."""
    state = folder / "state"
    folder.mkdir()
    loaded = new(folder / "big.toml", job, NOON, state=state)
    raw = loaded.path.read_bytes()
    bare = best_ms(lambda: _bare(folder / "bare.toml", raw))
    back = best_ms(lambda: read_job(loaded.path, raw))
    standing = [loaded]

    def once() -> None:
        standing[0] = save(standing[0], job, NOON, state=state)

    size = f"{len(raw) / 1000:.0f} KB"
    return [
        Told(f"save of {size}", best_ms(once), "ms", "write, fsync, rename", bare),
        Told("of it, reading the new text back", back, "ms", "write, fsync, rename", bare),
        Told(f"load of {size}", best_ms(lambda: load(loaded.path)), "ms", "write, fsync, rename", bare),
    ]


def _bare(path: Path, raw: bytes) -> None:
    """The least that puts bytes in place of a file: whole or not at all."""
    beside = path.with_suffix(".tmp")
    with beside.open("wb") as file:
        file.write(raw)
        file.flush()
        os.fsync(file.fileno())
    beside.replace(path)
