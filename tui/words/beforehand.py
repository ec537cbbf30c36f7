"""What is told before the work: hours, compare."""

from argparse import ArgumentTypeError, Namespace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from tui.words.folders import told_as_it_goes
from tui.words.opened_file import read_walked, say_estimate, say_seal
from tui.words.typed_words import Commands, day_word, named_path, word

if TYPE_CHECKING:
    from engine.job.file.store import Loaded

MOST_PEOPLE = 100
HOURS_IN_A_DAY = 24


def add_words(commands: Commands) -> None:
    hours = word(commands, "hours", "crew hours by stage and the day it ends, out of a folder of finished jobs", _hours)
    hours.add_argument("path", type=Path)
    hours.add_argument(
        "--from", dest="history", type=named_path, metavar="FOLDER", required=True, help="signed-off jobs, not in folders in it"
    )
    hours.add_argument("--start", type=day_word, metavar="DAY", help="2026-12-01; the planned day where left out, today where that is past")
    hours.add_argument("--crew", type=_crew, metavar="N", help="how many people; those the job names where left out")
    hours.add_argument("--day-hours", type=_day_hours, metavar="H", help="hours a day, Monday to Friday; the rules' where left out")
    compare = word(commands, "compare", "the layout and its alternatives side by side: length, posts, price, ways out, findings", _compare)
    compare.add_argument("path", type=Path)
    compare.add_argument("--from", dest="history", type=named_path, metavar="FOLDER", help="signed-off jobs, for crew hours")


def _hours(args: Namespace) -> int:
    from engine.ahead.crew_hours import first_day, hours_ahead
    from engine.ahead.finished_jobs import finished_jobs
    from engine.paper.ahead.hours_tables import AtWork, hours_tables
    from engine.paper.record_office import table_text

    loaded, worked, broken = read_walked(args.path)
    say_seal(loaded, broken)
    _say_repair(loaded, "hours are of what is new.")
    rules = loaded.job.rules.hours
    with told_as_it_goes(args.history) as told:
        finished = finished_jobs(args.history, rules.pause_min, but=args.path, told=told)
    hours = hours_ahead(loaded.job, worked, finished)
    work = AtWork(
        args.crew or len(loaded.job.job.crew) or 1, args.day_hours or rules.day_hours, args.start or first_day(loaded.job, date.today())
    )
    print("\n\n".join(map(table_text, hours_tables(hours, finished, work, rules.pause_min))))
    return 0


def _compare(args: Namespace) -> int:
    from engine.ahead.finished_jobs import finished_jobs
    from engine.ahead.side_by_side import side_by_side
    from engine.paper.ahead.compared_layouts import compared, of_new_alone, sentences
    from engine.paper.record_office import table_text

    loaded, worked, broken = read_walked(args.path)
    say_seal(loaded, broken)
    pause_min = loaded.job.rules.hours.pause_min
    finished = None
    if args.history:
        with told_as_it_goes(args.history) as told:
            finished = finished_jobs(args.history, pause_min, but=args.path, told=told)
    found = side_by_side(loaded.job, finished)
    say_estimate(loaded, worked)
    if says := of_new_alone(loaded.job):
        print(says)
    print(table_text(compared(found)), *sentences(found), sep="\n")
    return 0


def _say_repair(loaded: "Loaded", says: str) -> None:
    from engine.paper.before_repair import of_a_repair

    if words := of_a_repair(loaded.job, says):
        print(words)


def _crew(text: str) -> int:
    if not text.isdecimal() or not 0 < int(text[:4]) <= MOST_PEOPLE:
        raise ArgumentTypeError(f"{text!r} is no number of people from 1 to {MOST_PEOPLE}")
    return int(text)


def _day_hours(text: str) -> float:
    try:
        hours = float(text)
    except ValueError:
        hours = 0.0
    if not 0 < hours <= HOURS_IN_A_DAY:
        raise ArgumentTypeError(f"{text!r} is no number of hours over 0, up to {HOURS_IN_A_DAY}")
    return hours
