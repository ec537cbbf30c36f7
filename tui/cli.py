"""The command line. It imports the screen only when it opens one, and the engine only when a job is read."""

import errno
import gc
import os
import sys
from collections.abc import Callable, Sequence
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from argparse import Namespace
    from typing import TextIO

    from engine.job.file.store import Loaded
    from engine.job.merge.asked import Side
    from engine.walk import Walk

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
    if words and words[0] not in COMMANDS and not words[0].startswith("-"):
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
            return partial(_open, Path(path), "")
        case ["open", path, "--by", by] if path[:1] != "-" and by[:1] != "-":
            return partial(_open, Path(path), by)
    from tui.command_words import parsed

    args = parsed(words)
    return partial(COMMANDS[args.command], args)


def _output_ended(because: str) -> int:
    """Says that not everything was printed; what is left to print goes nowhere, so that leaving doesn't trip over it."""
    print(f"Not everything was printed: {because}.", file=sys.stderr)
    if sys.__stdout__ is not None and sys.stdout is sys.__stdout__:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.__stdout__.fileno())
    return OUTPUT_ENDED


def _open(path: Path, by: str) -> int:
    from engine.job.file.store import load

    if path.is_dir():
        from tui.app import run_folder

        return run_folder(path, by)
    loaded = load(path)
    from tui.app import run_job

    return run_job(loaded, by)


def _new(args: "Namespace") -> int:
    from engine.job.edit.first_talk import QUESTIONS, AnswerRefused, with_first_talk
    from engine.job.errors import JobError
    from engine.job.file.store import new, starter

    answers = {question: getattr(args, question) for question in QUESTIONS}
    if args.rough and not any(answers.values()):
        raise JobError("--rough: say at least a length, --length, or paces, --paces.")
    try:
        made = with_first_talk(starter(args.path.stem), answers)
    except AnswerRefused as refused:
        raise JobError(f"{args.path.name} wasn't made. --{refused.question.replace('_', '-')}: {refused.says}") from refused
    loaded = new(args.path, made)
    if made.rough is not None:
        from engine.walk import walk

        _say_estimate(loaded, walk(made))
    print(f"{args.path} is ready. Open it with: linewalk {args.path}")
    return 0


def _demo(args: "Namespace") -> int:
    from tui.demo import MAIN, copy_demos

    folder, copied = copy_demos(args.folder)
    kept = "" if copied else " (they were there already, with your work in them)"
    print(f"Demo jobs are in {folder}{kept}.")
    if args.copy_only:
        return 0
    from engine.job.file.store import load
    from tui.app import run_job

    return run_job(load(folder / MAIN), args.by)


def _read(path: Path) -> tuple["Loaded", "Walk", tuple[str, ...]]:
    """A job file, everything worked out from it, and what is wrong with its seal."""
    from engine.job.file.store import load
    from engine.paper.seal_check import seal_broken
    from engine.walk import walk

    loaded = load(path)
    worked = walk(loaded.job)
    return loaded, worked, seal_broken(loaded, worked)


def _check(args: "Namespace") -> int:
    from engine.findings import LEVELS, TITLES
    from engine.paper.record_tables import since_words

    loaded, worked, broken = _read(args.path)
    _say_seal(loaded, broken)
    _say_estimate(loaded, worked)
    for level in LEVELS:
        for finding in worked.findings:
            if finding.level == level:
                print(f"{level:<4}  {TITLES[finding.stage]}: {finding.says}\n      {finding.do}")
    counts = {level: sum(finding.level == level for finding in worked.findings) for level in LEVELS}
    print(f"{args.path.name}: {counts['stop']} to stop for, {counts['fix']} to fix, {counts['note']} to note.")
    if since := since_words(loaded.job, worked):
        print(since)
    return 1 if counts["stop"] else 0


def _say_seal(loaded: "Loaded", broken: Sequence[str], to: "TextIO | None" = None) -> None:
    """What is wrong with a file's seal, a line each."""
    for says in (loaded.seal_says, *broken) if loaded.sealed and broken else broken:
        print(f"seal  {says}", file=to)


def _say_estimate(loaded: "Loaded", worked: "Walk") -> None:
    """What the fence takes by what was said first, a line a fact; one line beside what was surveyed since."""
    from engine.ahead.estimate_words import in_words

    said = in_words(loaded.job, worked)
    if said is not None:
        print(f"ESTIMATE  {said.line}" if said.alone else said.line)
        for name, more in said.more:
            print(f"{name:<8}  {more}")


def _plan(args: "Namespace") -> int:
    from engine.paper.plan_json import plan_text

    loaded, worked, broken = _read(args.path)
    sys.stdout.reconfigure(encoding="utf-8")  # type: ignore[union-attr]  # the same bytes whatever the terminal's encoding
    sys.stdout.write(plan_text(worked, broken, loaded.job))
    return 0


def _record(args: "Namespace") -> int:
    if args.out is None:
        from engine.paper.record_office import record_text

        loaded, worked, broken = _read(args.path)
        sys.stdout.write(record_text(loaded.job, worked, broken))
        return 0
    from engine.job.file.store import load
    from engine.paper.record_files import write_record

    for path in write_record(load(args.path), Path(args.out), as_folder=args.out.endswith(("/", os.sep))):
        print(path)
    return 0


def _sheets(args: "Namespace") -> int:
    from engine.job.file.store import load
    from engine.paper.crew.crew_files import write_sheets

    print(write_sheets(load(args.path), args.out))
    return 0


def _load(args: "Namespace") -> int:
    from engine.paper.load_list import load_text, write_load

    loaded, worked, broken = _read(args.path)
    _say_seal(loaded, broken, sys.stderr if args.out else None)
    if args.out is None:
        sys.stdout.write(load_text(loaded.job, worked.takeoff))
    else:
        print(write_load(loaded.job, worked.takeoff, args.out))
    return 0


def _hours(args: "Namespace") -> int:
    from datetime import date

    from engine.ahead.crew_hours import first_day, hours_ahead
    from engine.ahead.finished_jobs import finished_jobs
    from engine.job.file.store import load
    from engine.paper.ahead.hours_tables import AtWork, hours_tables
    from engine.paper.record_office import table_text
    from engine.walk import walk

    loaded = load(args.path)
    rules = loaded.job.rules.hours
    finished = finished_jobs(args.history, rules.pause_min, but=args.path)
    hours = hours_ahead(loaded.job, walk(loaded.job), finished)
    work = AtWork(
        args.crew or len(loaded.job.job.crew) or 1, args.day_hours or rules.day_hours, args.start or first_day(loaded.job, date.today())
    )
    print("\n\n".join(map(table_text, hours_tables(hours, finished, work, rules.pause_min))))
    return 0


def _compare(args: "Namespace") -> int:
    from engine.ahead.finished_jobs import finished_jobs
    from engine.ahead.side_by_side import side_by_side
    from engine.paper.ahead.compared_layouts import compared, sentences
    from engine.paper.record_office import table_text

    loaded, worked, _ = _read(args.path)
    pause_min = loaded.job.rules.hours.pause_min
    finished = finished_jobs(args.history, pause_min, but=args.path) if args.history else None
    found = side_by_side(loaded.job, finished)
    _say_estimate(loaded, worked)
    print(table_text(compared(found)), *sentences(found), sep="\n")
    return 0


def _merge(args: "Namespace") -> int:
    from engine.job.errors import JobError
    from engine.job.file.store import load, new, state_folder
    from engine.job.merge.ancestors import base_of
    from engine.job.merge.join_files import Answers, joined
    from tui.command_words import ALL

    said: dict[int, Side] = {}
    for number, side in args.keep:
        if said.setdefault(number, side) != side:
            raise JobError(f"--keep is said both ways for {f'question {number}' if number else 'all'}: say it once.")
    ours, theirs = load(args.ours), load(args.theirs)
    base = base_of(ours, theirs, state=state_folder())
    found = joined(ours, theirs, Answers({n: side for n, side in said.items() if n != ALL}, said.get(ALL)), base)
    for says in found.asked:
        print(says, file=sys.stderr)
    if base is None and found.asked:
        print("The version that both came from isn't kept on this machine, so which of them changed a fact isn't known.", file=sys.stderr)
    if found.job is None:
        print("Nothing was written.", file=sys.stderr)
        return 1
    written = new(args.out, found.job, joined=(ours, theirs))
    for says in found.came_in:
        print(says)
    print(f"{len(found.came_in)} came in from {args.theirs.name}. {written.path} holds both.")
    return 0


COMMANDS: dict[str, "Callable[[Namespace], int]"] = {
    "open": lambda args: _open(args.path, args.by),
    "new": _new,
    "demo": _demo,
    "check": _check,
    "plan": _plan,
    "record": _record,
    "sheets": _sheets,
    "load": _load,
    "hours": _hours,
    "compare": _compare,
    "merge": _merge,
}

if __name__ == "__main__":
    sys.exit(main())
