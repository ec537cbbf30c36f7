"""What is written for paper, the office and the truck: record, sheets, load."""

import os
import sys
from argparse import Namespace
from pathlib import Path

from engine.job.errors import shown
from tui.words.opened_file import read_walked, say_seal
from tui.words.typed_words import Commands, day_word, out_word, word


def add_words(commands: Commands) -> None:
    record = word(commands, "record", "print what was built, or write it for the office or the client", _record)
    record.add_argument("path", type=Path)
    out_word(record, "record.html (one page to print), record.md, record.csv, a folder/ (a CSV a table)")
    record.add_argument(
        "--for", dest="reader", choices=("office", "client"), default="office",
        help="client: the client's copy, two or three pages without the crew's figures; needs -o client.html",
    )  # fmt: skip
    record.add_argument("--before", action="store_true", help="of a repair: the record of the signed job that it keeps")
    record.set_defaults(wrong=record.error)
    sheets = word(
        commands, "sheets", "write the sheets a crew works by without a laptop, to print: set-out, nine sheets, cut and load lists", _sheets
    )
    sheets.add_argument("path", type=Path)
    out_word(sheets, "sheets.html (one page to print)", required=True)
    load_list = word(
        commands,
        "load",
        "print what goes onto the truck, in order, or write it as CSV; of a folder, for all jobs planned in one week",
        _load,
    )
    load_list.add_argument("path", type=Path, help="a job file, or a folder of them: exit 2 where one can't be read, which is named")
    load_list.add_argument(
        "--week", type=day_word, metavar="DAY", help="of a folder: any day of the week, 2026-11-30; this week where left out"
    )
    out_word(load_list, "load.csv; beside it load-offcuts.csv, what cut plans leave, and of a folder load-jobs.csv, each job's own list")
    load_list.set_defaults(wrong=load_list.error)


def _record(args: Namespace) -> int:
    from engine.job.file.store import load
    from engine.paper.before_repair import record_before, seal_before

    if args.out is None:
        if args.reader == "client":
            args.wrong("the client's copy is a page to print: say where to, such as -o client.html")
        from engine.paper.record_office import record_text
        from engine.walk import walk

        loaded, worked, broken = read_walked(args.path)
        if args.before:
            broken, loaded = tuple(seal_before(loaded)), record_before(loaded)
            worked = walk(loaded.job)
        sys.stdout.write(record_text(loaded.job, worked, broken))
        return 0
    from engine.paper.firm.firm_file import no_firm_words
    from engine.paper.record_files import older_words, write_record

    loaded = load(args.path)
    shown = record_before(loaded) if args.before else loaded
    as_folder = args.out.endswith(("/", os.sep))
    written = write_record(shown, Path(args.out), reader=args.reader, as_folder=as_folder, replacing=args.replace)
    for path in written:
        print(path)
    if written[-1].suffix.lower() == ".html" and (words := no_firm_words(shown)):
        print(words, file=sys.stderr)
    for words in older_words(written):
        print(words, file=sys.stderr)
    return 0


def _sheets(args: Namespace) -> int:
    from engine.job.file.store import load
    from engine.paper.crew.crew_files import write_sheets

    print(write_sheets(load(args.path), Path(args.out), replacing=args.replace))
    return 0


def _load(args: Namespace) -> int:
    if os.path.isdir(args.path):
        from tui.words.folders import load_week

        return load_week(args)
    if args.week is not None:
        args.wrong(f"--week is for a folder of jobs, and {shown(args.path.name, 120)} isn't one")
    from engine.paper.load_list import load_text, write_load
    from engine.paper.seal_check import seal_lines

    loaded, worked, broken = read_walked(args.path)
    say_seal(loaded, broken, sys.stderr if args.out else None)
    if args.out is None:
        sys.stdout.write(load_text(loaded.job, worked.takeoff))
    else:
        for path in write_load(loaded.job, worked.takeoff, Path(args.out), seal_lines(loaded, broken), replacing=args.replace):
            print(path)
    return 0
