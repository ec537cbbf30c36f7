"""The command line. It imports the screen only when it opens one, and the engine only when a job is read."""

import argparse
import errno
import gc
import os
import re
import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from typing import TextIO

    from engine.job.file.store import Loaded
    from engine.job.merge.asked import Side

ALL = 0
"""Stands for all questions of a merge that have no answer of their own."""
CANNOT_READ = 2
OUTPUT_ENDED = 4
OUTPUT_TROUBLE = (errno.ENOSPC, errno.EDQUOT, errno.EFBIG, errno.EIO)
"""What an output can end in; what a job file meets on the disk is told by the engine and names its file."""
EXAMPLES = """examples:
  linewalk demo                     copy the demo jobs here and open the main one
  linewalk willow_bend.toml         open a job
  linewalk jobs/                    list the jobs of a folder
  linewalk check willow_bend.toml   what is in the way, in words
  linewalk record willow_bend.toml -o record.html   one page for the office, to print or file
  linewalk load willow_bend.toml -o load.csv        what goes onto the truck, in order
"""


def main(argv: list[str] | None = None) -> int:
    """Run one command. 0 fine, 1 something stops the job, 2 a file can't be read or a word is wrong, 3 a fault of the program, 4 the output
    ended too soon."""
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # small matrices: a second thread costs more than it brings
    os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")  # it looks for its plugins among all that is installed: none is wanted
    gc.disable()  # until something is seen: next to nothing of what a start makes can be thrown away
    try:
        return _main(argv)
    finally:
        gc.enable()


def _main(argv: list[str] | None) -> int:
    words = sys.argv[1:] if argv is None else argv
    if words and words[0] not in COMMANDS and not words[0].startswith("-"):
        words = ["open", *words]
    parser = _parser()
    args = parser.parse_args(words or ["open", "."])
    from engine.job.errors import JobError

    try:
        if sys.stdout is None:
            return _output_ended("it is closed")
        code = COMMANDS[args.command](args)
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


def _output_ended(because: str) -> int:
    """Says that not everything was printed; what is left to print goes nowhere, so that leaving doesn't trip over it."""
    print(f"Not everything was printed: {because}.", file=sys.stderr)
    if sys.__stdout__ is not None and sys.stdout is sys.__stdout__:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.__stdout__.fileno())
    return OUTPUT_ENDED


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="linewalk",
        description="Walks a crew through a cable-hung dog fence, survey to sign-off.",
        epilog=EXAMPLES,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    commands = parser.add_subparsers(dest="command", metavar="COMMAND", required=True)
    opened = _command(commands, "open", "open a job file, or list the jobs of a folder (the word open may be left out)")
    opened.add_argument("path", type=Path)
    opened.add_argument("--by", default="", help="who is working, for ticks and log")
    new = _command(commands, "new", "make a starter job file to survey into")
    new.add_argument("path", type=Path)
    demo = _command(commands, "demo", "copy the demo jobs somewhere you can write and open the main one")
    demo.add_argument("folder", type=Path, nargs="?", default=Path("linewalk-demo"))
    demo.add_argument("--copy-only", action="store_true", help="copy without opening")
    demo.add_argument("--by", default="", help="who is working")
    check = _command(commands, "check", "list findings; exit 0 none stops the job, 1 some do, 2 the file can't be read")
    check.add_argument("path", type=Path)
    plan = _command(commands, "plan", "print everything worked out from a job")
    plan.add_argument("path", type=Path)
    plan.add_argument("--json", action="store_true", required=True, help="as JSON")
    record = _command(commands, "record", "print what was built, or write it for the office")
    record.add_argument("path", type=Path)
    record.add_argument(
        "-o", "--out", type=_named, metavar="OUT", help="record.html (one page to print), record.md, record.csv, a folder/ (a CSV a table)"
    )
    load_list = _command(commands, "load", "print what goes onto the truck, in order, or write it as CSV")
    load_list.add_argument("path", type=Path)
    load_list.add_argument("-o", "--out", type=_named_path, metavar="OUT", help="load.csv; it must not exist yet")
    merged = _command(commands, "merge", "join two copies of a job that were changed apart; neither is touched")
    merged.add_argument("ours", type=Path, metavar="A")
    merged.add_argument("theirs", type=Path, metavar="B")
    merged.add_argument("-o", "--out", type=_named_path, metavar="C", required=True, help="the new job file; it must not exist yet")
    merged.add_argument(
        "--keep",
        action="append",
        type=_answer,
        default=[],
        metavar="WHICH",
        help="where the two differ: keep what A says (ours) or B (theirs); or an answer a question, 1=a 2=b, said once for each",
    )
    return parser


def _named(text: str) -> str:
    if not text.strip():
        raise argparse.ArgumentTypeError("a name is wanted, and this one is empty")
    return text


def _answer(text: str) -> tuple[int, "Side"]:
    """The number of a question and whose word is kept; 0 for all that have no answer of their own."""
    found = re.fullmatch(r"(?:([1-9]\d{0,3})=)?(a|b|ours|theirs)", text.strip().lower())
    if found is None or (found[1] is None and found[2] in ("a", "b")):
        raise argparse.ArgumentTypeError(f"{text!r} is no answer: say ours or theirs for all, or 1=a, 1=b for one question")
    return int(found[1]) if found[1] else ALL, "ours" if found[2] in ("a", "ours") else "theirs"


def _named_path(text: str) -> Path:
    return Path(_named(text))


def _command(commands: "argparse._SubParsersAction[argparse.ArgumentParser]", name: str, says: str) -> argparse.ArgumentParser:
    return commands.add_parser(name, help=says, description=says[:1].upper() + says[1:] + ".")


def _open(args: argparse.Namespace) -> int:
    from engine.job.file.store import load

    if args.path.is_dir():
        from tui.app import run_folder

        return run_folder(args.path, args.by)
    loaded = load(args.path)
    from tui.app import run_job

    return run_job(loaded, args.by)


def _new(args: argparse.Namespace) -> int:
    from engine.job.file.store import new, starter

    new(args.path, starter(args.path.stem))
    print(f"{args.path} is ready. Open it with: linewalk {args.path}")
    return 0


def _demo(args: argparse.Namespace) -> int:
    from tui.demo import MAIN, copy_demos

    folder, copied = copy_demos(args.folder)
    kept = "" if copied else " (they were there already, with your work in them)"
    print(f"Demo jobs are in {folder}{kept}.")
    if args.copy_only:
        return 0
    from engine.job.file.store import load
    from tui.app import run_job

    return run_job(load(folder / MAIN), args.by)


def _check(args: argparse.Namespace) -> int:
    from engine.findings import LEVELS, TITLES
    from engine.job.file.store import load
    from engine.paper.seal_check import seal_broken
    from engine.walk import walk

    loaded = load(args.path)
    worked = walk(loaded.job)
    findings = worked.findings
    broken = seal_broken(loaded, worked)
    _say_seal(loaded, broken)
    for level in LEVELS:
        for finding in findings:
            if finding.level == level:
                print(f"{level:<4}  {TITLES[finding.stage]}: {finding.says}\n      {finding.do}")
    counts = {level: sum(finding.level == level for finding in findings) for level in LEVELS}
    print(f"{args.path.name}: {counts['stop']} to stop for, {counts['fix']} to fix, {counts['note']} to note.")
    return 1 if counts["stop"] else 0


def _say_seal(loaded: "Loaded", broken: Sequence[str], to: "TextIO | None" = None) -> None:
    """What is wrong with a file's seal, a line each."""
    for says in (loaded.seal_says, *broken) if loaded.sealed and broken else broken:
        print(f"seal  {says}", file=to)


def _plan(args: argparse.Namespace) -> int:
    from engine.job.file.store import load
    from engine.paper.plan_json import plan_text
    from engine.paper.seal_check import seal_broken
    from engine.walk import walk

    loaded = load(args.path)
    worked = walk(loaded.job)
    sys.stdout.reconfigure(encoding="utf-8")  # type: ignore[union-attr]  # the same bytes whatever the terminal's encoding
    sys.stdout.write(plan_text(worked, seal_broken(loaded, worked)))
    return 0


def _record(args: argparse.Namespace) -> int:
    from engine.job.file.store import load
    from engine.paper.record_office import record_text
    from engine.paper.seal_check import seal_broken
    from engine.walk import walk

    loaded = load(args.path)
    if args.out is None:
        worked = walk(loaded.job)
        sys.stdout.write(record_text(loaded.job, worked, seal_broken(loaded, worked)))
        return 0
    from engine.paper.record_files import write_record

    for path in write_record(loaded, Path(args.out), as_folder=args.out.endswith(("/", os.sep))):
        print(path)
    return 0


def _load(args: argparse.Namespace) -> int:
    from engine.job.file.store import load
    from engine.paper.load_list import load_text, write_load
    from engine.paper.seal_check import seal_broken
    from engine.walk import walk

    loaded = load(args.path)
    worked = walk(loaded.job)
    _say_seal(loaded, seal_broken(loaded, worked), sys.stderr if args.out else None)
    if args.out is None:
        sys.stdout.write(load_text(loaded.job, worked.takeoff))
    else:
        print(write_load(loaded.job, worked.takeoff, args.out))
    return 0


def _merge(args: argparse.Namespace) -> int:
    from engine.job.errors import JobError
    from engine.job.file.store import load, new, state_folder
    from engine.job.merge.ancestors import base_of
    from engine.job.merge.join_files import Answers, joined

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


COMMANDS: dict[str, Callable[[argparse.Namespace], int]] = {
    "open": _open,
    "new": _new,
    "demo": _demo,
    "check": _check,
    "plan": _plan,
    "record": _record,
    "load": _load,
    "merge": _merge,
}

if __name__ == "__main__":
    sys.exit(main())
