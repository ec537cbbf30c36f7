"""What was worked out of job files, kept on this machine by the hash of each: one that changed has another, so nothing goes stale."""

import json
import secrets
import zlib
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from engine import __version__
from engine.job.file.disk import Disk, remove, write_new

MOST = 5_000
PACKED = ".z"
"""The ending of what is kept packed: a file is read up to the size of a job file and no further."""


def kept_rows(disk: Disk, state: Path, name: str) -> dict[str, Any]:
    """What this version of the program kept under a name, by hash; nothing where that can't be read."""
    try:
        raw = disk.read(state / name)
        said = json.loads(zlib.decompress(raw) if name.endswith(PACKED) else raw)
        rows = said["jobs"] if said["by"] == __version__ else {}
    except (OSError, ValueError, KeyError, TypeError, RecursionError, zlib.error):
        return {}
    return rows if isinstance(rows, dict) else {}


def keep_rows(disk: Disk, state: Path, name: str, old: Mapping[str, Any], fresh: Mapping[str, Any]) -> bool:
    """Keep what was newly worked out beside what was kept before, the newest 5,000; whether that worked."""
    if not fresh:
        return True
    text = json.dumps({"by": __version__, "jobs": dict(list({**old, **fresh}.items())[-MOST:])}).encode()
    temp = state / f"{name}.{secrets.token_hex(4)}"
    try:
        disk.make_folder(state)
        write_new(disk, temp, zlib.compress(text) if name.endswith(PACKED) else text)
        disk.replace(temp, state / name)
    except OSError:
        remove(disk, temp)
        return False
    return True
