"""What is told of a folder of jobs: jobs, and load of a whole week."""

import sys
from argparse import Namespace
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from time import monotonic

from engine.job.errors import shown
from tui.words.typed_words import Commands, out_word, word

PATIENCE_S = 1.0
TELL_S = 0.2
CANNOT_READ = 2


def add_words(commands: Commands) -> None:
    jobs = word(
        commands,
        "jobs",
        "list the jobs of a folder, a row a job; exit 0 all were read, 2 some can't be: they are listed with the reason",
        _jobs,
    )
    jobs.add_argument("folder", type=Path, metavar="FOLDER")
    jobs.add_argument("--csv", action="store_true", help="print CSV, for other programs; for a spreadsheet write it with -o")
    jobs.add_argument("--deep", action="store_true", help="jobs of the folders in it too")
    out_word(jobs, "jobs.csv")


@contextmanager
def told_as_it_goes(folder: Path) -> Iterator[Callable[[int, int], bool]]:
    """Who waits over a second for a folder is told how far it is, on a line of stderr that goes again; once, where that is no terminal."""
    began, there = monotonic(), sys.stderr.isatty()
    last = 0.0

    def told(number: int, of: int) -> bool:
        nonlocal last
        now = monotonic() - began
        if now > PATIENCE_S and (now - last > TELL_S if there else not last):
            says = f"Reading job {number:,} of {of:,} in {shown(str(folder), 30)} ..."
            print(f"\r{says}" if there else f"{says} Each is read once.", end="" if there else "\n", file=sys.stderr, flush=True)
            last = now
        return True

    try:
        yield told
    finally:
        if last and there:
            print("\r\x1b[K", end="", file=sys.stderr, flush=True)


def _jobs(args: Namespace) -> int:
    from engine.ahead.finished_jobs import keeping_times
    from engine.folder.whole_folder import whole_folder
    from engine.job.file.store import state_folder
    from engine.paper.many_jobs.listed_jobs import jobs_csv, jobs_text, write_jobs

    with told_as_it_goes(args.folder) as told, keeping_times() as also:
        rows = whole_folder(args.folder, state_folder(), deep=args.deep, told=told, also=also)
    wrong = [row for row in rows if row.kept is None]
    if args.out is not None:
        print(write_jobs(rows, Path(args.out), replacing=args.replace))
    elif args.csv:
        print_csv(jobs_csv(rows))
    else:
        sys.stdout.write(jobs_text(rows))
    if args.out is not None or args.csv:
        for row in wrong:
            print(f"{shown(row.name, 120)}: {row.error}", file=sys.stderr)
    return CANNOT_READ if wrong else 0


def load_week(args: Namespace) -> int:
    """`load` of a folder: what goes onto the truck for all jobs planned in one week."""
    from datetime import date

    from engine.folder.planned_week import planned_week
    from engine.job.file.store import state_folder
    from engine.paper.many_jobs.week_load import week_load
    from engine.paper.many_jobs.week_load_words import week_load_text, write_week_load

    with told_as_it_goes(args.path) as told:
        week = planned_week(args.path, args.week or date.today(), state_folder(), told=told)
    load = week_load(week)
    if args.out is None:
        sys.stdout.write(week_load_text(load))
    else:
        for path in write_week_load(load, Path(args.out), replacing=args.replace):
            print(path)
        for name, why in load.left_out:
            print(f"{shown(name, 200)}: {why}", file=sys.stderr)
    return CANNOT_READ if week.unreadable else 0


def print_csv(text: str) -> None:
    """The same bytes whatever the terminal's encoding."""
    sys.stdout.reconfigure(encoding="utf-8", newline="")  # type: ignore[union-attr]  # a text stream of the system's
    sys.stdout.write(text)
