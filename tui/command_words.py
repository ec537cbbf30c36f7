"""The words of the command line, and what each takes."""

import argparse
import re
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from engine.calc.dates import DateError, parse_date

if TYPE_CHECKING:
    from engine.job.merge.asked import Side

MOST_PEOPLE = 100
HOURS_IN_A_DAY = 24
ALL = 0
"""Stands for all questions of a merge that have no answer of their own."""
EXAMPLES = """examples:
  linewalk demo                     copy the demo jobs here and open the main one
  linewalk willow_bend.toml         open a job
  linewalk new maple.toml --rough --length "140 ft" --ends house --corners 1 --gates 5   an estimate from the phone
  linewalk jobs/                    list the jobs of a folder
  linewalk check willow_bend.toml   what is in the way, in words
  linewalk record willow_bend.toml -o record.html   one page for the office, to print or file
  linewalk sheets willow_bend.toml -o sheets.html   what a crew without a laptop works by, to print
  linewalk hours willow_bend.toml --from done/       how long it will take, by what finished jobs took
  linewalk load willow_bend.toml -o load.csv        what goes onto the truck, in order
"""
FIRST_TALK = (
    ("length", "LENGTH", 'as it was said, such as "140 ft"'),
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
    ("gates", "WIDTHS", "widths of the gates: 5,4"),
    ("height", "LENGTH", "of the fence"),
    ("dogs", "WORDS", 'such as "two beagles"'),
)
"""Words of `new` for what was said, with what each takes."""


def parsed(words: list[str]) -> argparse.Namespace:
    """What the words ask for; where one is wrong it says so and ends."""
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
    _first_talk(new)
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
    sheets = _command(
        commands, "sheets", "write the sheets a crew works by without a laptop, to print: set-out, nine sheets, cut and load lists"
    )
    sheets.add_argument("path", type=Path)
    sheets.add_argument("-o", "--out", type=_named_path, metavar="OUT", required=True, help="sheets.html (one page to print)")
    load_list = _command(commands, "load", "print what goes onto the truck, in order, or write it as CSV")
    load_list.add_argument("path", type=Path)
    load_list.add_argument("-o", "--out", type=_named_path, metavar="OUT", help="load.csv; it must not exist yet")
    hours = _command(commands, "hours", "crew hours by stage and the day it ends, out of a folder of finished jobs")
    hours.add_argument("path", type=Path)
    hours.add_argument(
        "--from", dest="history", type=_named_path, metavar="FOLDER", required=True, help="signed-off jobs, not in folders in it"
    )
    hours.add_argument("--start", type=_day, metavar="DAY", help="2026-12-01; the planned day where left out, today where that is past")
    hours.add_argument("--crew", type=_crew, metavar="N", help="how many people; those the job names where left out")
    hours.add_argument("--day-hours", type=_day_hours, metavar="H", help="hours a day, Monday to Friday; the rules' where left out")
    compare = _command(commands, "compare", "the layout and its alternatives side by side: length, posts, price, ways out, findings")
    compare.add_argument("path", type=Path)
    compare.add_argument("--from", dest="history", type=_named_path, metavar="FOLDER", help="signed-off jobs, for crew hours")
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
    return parser.parse_args(words)


def _first_talk(new: argparse.ArgumentParser) -> None:
    said = new.add_argument_group("what a client said: an estimate until the fence is surveyed")
    said.add_argument("--rough", action="store_true", help="start from what was said; any of the words below does")
    for word, metavar, says in FIRST_TALK:
        said.add_argument(f"--{word}", metavar=metavar, default="", help=says)


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


def _day(text: str) -> date:
    try:
        return parse_date(text)
    except DateError as error:
        raise argparse.ArgumentTypeError(str(error)) from error


def _crew(text: str) -> int:
    if not text.isdecimal() or not 0 < int(text[:4]) <= MOST_PEOPLE:
        raise argparse.ArgumentTypeError(f"{text!r} is no number of people from 1 to {MOST_PEOPLE}")
    return int(text)


def _day_hours(text: str) -> float:
    try:
        hours = float(text)
    except ValueError:
        hours = 0.0
    if not 0 < hours <= HOURS_IN_A_DAY:
        raise argparse.ArgumentTypeError(f"{text!r} is no number of hours over 0, up to {HOURS_IN_A_DAY}")
    return hours


def _named_path(text: str) -> Path:
    return Path(_named(text))


def _command(commands: "argparse._SubParsersAction[argparse.ArgumentParser]", name: str, says: str) -> argparse.ArgumentParser:
    return commands.add_parser(name, help=says, description=says[:1].upper() + says[1:] + ".")
