"""A folder's jobs worked out by a child process, so that a screen on the same folder has this one to itself: no key waits for a job that
is being worked out, nor for the sweeps of memory that follow it.

The child reads the files, keeps what it has worked out as anybody does who lists a folder, and tells each row on a line. It ends when it is
through, or when nobody reads its lines any more: also then it keeps what it has. Where there can't be a child, or it ends too soon, the
rest is worked out by whoever asked.
"""

import json
import os
import subprocess
import sys
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import astuple
from pathlib import Path
from typing import IO

from engine.ahead.finished_jobs import keeping_times
from engine.folder.listing import Listed, worked_out
from engine.folder.listing_memory import facts_of
from engine.job.file.disk import Disk

FEWEST = 25
"""A child takes half a second to begin; so few files are worked out sooner than that, or little later."""
NICE = 5
"""Keys come before a folder."""
ROOT = Path(__file__).resolve().parents[2]
START = f"import sys; sys.path.insert(0, {str(ROOT)!r}); from engine.ahead.listed_apart import child; child()"
"""With -P: nothing is imported from the folder that the program happens to stand in."""


def listed_apart(folder: Path, state: Path, names: list[str]) -> Iterator[Listed]:
    """Rows of these files as a child works them out, in their order; none where they are few or there can't be one."""
    begun = _child() if len(names) >= FEWEST else None
    if begun is None or begun.stdin is None or begun.stdout is None:
        return
    try:
        with suppress(OSError), begun.stdin as asks:
            asks.write(json.dumps([str(folder), str(state), names]).encode())
        for line in begun.stdout:
            yield _row(json.loads(line))
    except ValueError:
        return  # half a line: it was ended from outside
    finally:
        begun.stdout.close()
        begun.wait()


def _child() -> "subprocess.Popen[bytes] | None":
    window = getattr(subprocess, "CREATE_NO_WINDOW", 0)
    try:
        return subprocess.Popen(
            [sys.executable, "-P", "-c", START],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            creationflags=window,
        )
    except OSError:
        return None


def _row(said: list[object]) -> Listed:
    name, error, mark, kept = said
    return Listed(str(name), facts_of(kept), str(error), str(mark))


def child() -> None:
    """All of the child's life."""
    if hasattr(os, "nice"):
        os.nice(NICE)
    work(sys.stdin.buffer, sys.stdout.buffer)


def work(asks: IO[bytes], told: IO[bytes]) -> None:
    """Rows of the files that are asked for, a line each."""
    folder, state, names = json.loads(asks.read())
    disk = Disk()
    with suppress(BrokenPipeError), keeping_times(disk, Path(state)) as also:
        for row in worked_out(Path(folder), Path(state), names, disk, also):
            told.write(json.dumps([row.name, row.error, row.mark, astuple(row.kept) if row.kept else None]).encode() + b"\n")
            told.flush()
