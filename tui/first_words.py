"""The words that open a screen or make a job: open, new, demo."""

from argparse import ArgumentParser, Namespace
from pathlib import Path

from tui.words.opened_file import say_estimate
from tui.words.typed_words import Commands, word

UNITS = ("feet-inches", "metres")
FIRST_TALK = (
    ("length", "LENGTH", 'as it was said, such as "140 ft" or "120 to 150 ft"'),
    (
        "spread",
        "PERCENT",
        "how far it may be off either way; left out, 10 %% of a length as said, of paces by their calibration, 15 %% without one",
    ),
    ("paces", "STEPS", "single steps along the fence instead of a length, one count a straight stretch: 52,31"),
    ("step-over", "LENGTH", "the taped length the step is calibrated on"),
    ("step-counts", "STEPS", "how many of the same steps it took, each time: 41,40,42"),
    ("ends", "WHERE", "house, tree or free, one word for both or two: house,free; ring where it closes"),
    ("corners", "COUNT", "turns of about a right angle"),
    ("gates", "WIDTHS", 'widths of the gates: 5, or "5, 4"'),
    ("height", "LENGTH", "of the fence"),
    ("dogs", "WORDS", 'such as "two beagles"'),
)
"""Words of `new` for what was said, with what each takes."""


def add_words(commands: Commands) -> None:
    opened = word(commands, "open", "open a job file, or list the jobs of a folder (the word open may be left out)", _open)
    opened.add_argument("path", type=Path)
    opened.add_argument("--by", default="", help="who is working, for ticks and log")
    new = word(commands, "new", "make a starter job file to survey into", _new)
    new.add_argument("path", type=Path)
    new.add_argument("--units", choices=UNITS, default=UNITS[0], help="what lengths are written in, and read in where no unit stands")
    _first_talk(new)
    demo = word(commands, "demo", "copy the demo jobs somewhere you can write and open the main one", _demo)
    demo.add_argument("folder", type=Path, nargs="?", default=Path("linewalk-demo"))
    demo.add_argument("--copy-only", action="store_true", help="copy without opening")
    demo.add_argument("--by", default="", help="who is working")


def _first_talk(new: ArgumentParser) -> None:
    said = new.add_argument_group("what a client said: an estimate until the fence is surveyed")
    said.add_argument("--rough", action="store_true", help="start from what was said; any of the words below does")
    for name, metavar, says in FIRST_TALK:
        said.add_argument(f"--{name}", metavar=metavar, default="", help=says)


def _open(args: Namespace) -> int:
    from tui.cli import open_path

    return open_path(args.path, args.by)


def _new(args: Namespace) -> int:
    from engine.job.edit.first_talk import QUESTIONS, AnswerRefused, with_first_talk
    from engine.job.errors import JobError
    from engine.job.file.store import new, starter

    answers = {question: getattr(args, question) for question in QUESTIONS}
    if args.rough and not any(answers.values()):
        raise JobError("--rough: say at least a length, --length, or paces, --paces.")
    try:
        made = with_first_talk(starter(args.path.stem, args.units), answers)
    except AnswerRefused as refused:
        raise JobError(f"{args.path.name} wasn't made. --{refused.question.replace('_', '-')}: {refused.says}") from refused
    loaded = new(args.path, made)
    if made.rough is not None:
        from engine.walk import walk

        say_estimate(loaded, walk(made))
    print(f"{args.path} is ready. Open it with: linewalk {args.path}")
    return 0


def _demo(args: Namespace) -> int:
    from tui.demo import MAIN, copy_demos

    folder, copied = copy_demos(args.folder)
    kept = "" if copied else " (they were there already, with your work in them)"
    print(f"Demo jobs are in {folder}{kept}.")
    if args.copy_only:
        return 0
    from tui.cli import open_path

    return open_path(folder / MAIN, args.by)
