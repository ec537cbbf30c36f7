"""A hand-written file as its writer left it, kept beside the one that is about to lose its comments."""

from pathlib import Path

from engine.job.errors import ChangedOnDisk, shown
from engine.job.file.disk import Disk, digest, read_whole, write_new

MOST = 99


def keep_original(disk: Disk, path: Path, expected: str) -> tuple[str, ...]:
    """Keep a file as it stands under a name of its own in the same folder, once. Raises: OSError, also where too many originals stand
    there; UnreadableFile; ChangedOnDisk where it isn't the version that was read."""
    real = disk.realpath(path)
    try:
        disk.stat(real)
    except FileNotFoundError:
        return ()
    written = read_whole(disk, real)
    if digest(written) != expected:
        raise ChangedOnDisk(path)
    for number in range(1, MOST + 1):
        kept = real.with_name(f"{real.name}.original{'' if number == 1 else f'-{number}'}")
        try:
            write_new(disk, kept, written)
        except FileExistsError:
            if disk.read(kept) != written:
                continue
        return (f"Comments can't be kept in a saved file. The file as you wrote it is in {shown(kept.name, 120)}.",)
    raise FileExistsError(0, "there are too many kept originals beside it")
