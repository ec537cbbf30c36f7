"""The command line. It imports the screen only when it opens one, and the engine only when a job is read."""

import errno
import gc
import os
import sys
from collections.abc import Callable
from functools import partial
from pathlib import Path

from tui.base.terminal import print_what_it_can

WORDS = ("open", "new", "demo", "check", "plan", "jobs", "record", "sheets", "load", "hours", "compare", "merge", "repair")
"""What a path is told from; what each takes and does stands in `tui/words`."""
CANNOT_READ = 2
OUTPUT_ENDED = 4
OUTPUT_TROUBLE = (errno.ENOSPC, errno.EDQUOT, errno.EFBIG, errno.EIO)
"""What an output can end in; what a job file meets on the disk is told by the engine and names its file."""


def main(argv: list[str] | None = None) -> int:
    """Run one command. 0 fine, 1 something stops the job, 2 a file can't be read or a word is wrong, 3 a fault of the program, 4 the output
    ended too soon."""
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # small matrices: a second thread costs more than it brings
    gc.disable()  # until something is seen: next to nothing of what a start makes can be thrown away
    try:
        return _main(argv)
    finally:
        gc.enable()


def _main(argv: list[str] | None) -> int:
    words = sys.argv[1:] if argv is None else argv
    print_what_it_can()
    if words and words[0] not in WORDS and not words[0].startswith("-"):
        words = ["open", *words]
    run = _run(words or ["open", "."])
    from engine.job.errors import JobError

    try:
        if sys.stdout is None:
            return _output_ended("it is closed")
        code = run()
        sys.stdout.flush()
        return code
    except JobError as error:
        print(error, file=sys.stderr)
        return CANNOT_READ
    except BrokenPipeError:
        return _output_ended("whoever read it went away")
    except Exception as error:
        from tui.working.fault_report import FAULT, fault_words

        if isinstance(error, OSError) and error.errno in OUTPUT_TROUBLE and error.filename is None:
            from engine.job.file.disk import why

            return _output_ended(why(error).rstrip("."))
        print(fault_words(error), file=sys.stderr)
        return FAULT


def _run(words: list[str]) -> Callable[[], int]:
    """What the words ask for. The everyday ones need no parser, and the screen stands sooner without."""
    match words:
        case ["open", path] if path[:1] != "-":
            return partial(open_path, Path(path), "")
        case ["open", path, "--by", by] if path[:1] != "-" and by[:1] != "-":
            return partial(open_path, Path(path), by)
    from tui.command_words import parsed

    args = parsed(words)
    return partial(args.run, args)


def _output_ended(because: str) -> int:
    """Says that not everything was printed; what is left to print goes nowhere, so that leaving doesn't trip over it."""
    print(f"Not everything was printed: {because}.", file=sys.stderr)
    if sys.__stdout__ is not None and sys.stdout is sys.__stdout__:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.__stdout__.fileno())
    return OUTPUT_ENDED


def open_path(path: Path, by: str) -> int:
    """Open the screen on a job file or a folder of them, in the name of whoever works."""
    from engine.job.file.store import load

    if os.path.isdir(path):
        from tui.app import run_folder

        return run_folder(path, by)
    loaded = load(path)
    from tui.working.walked_meanwhile import walked_meanwhile

    walked = walked_meanwhile(loaded.job)
    from tui.app import run_job

    return run_job(loaded, by, walked)


if __name__ == "__main__":
    sys.exit(main())
