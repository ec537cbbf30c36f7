"""What is told of a job on the terminal: check, plan."""

import sys
from argparse import Namespace
from pathlib import Path

from tui.words.opened_file import read_walked, say_estimate, say_seal
from tui.words.typed_words import Commands, word


def add_words(commands: Commands) -> None:
    check = word(commands, "check", "list findings; exit 0 none stops the job, 1 some do, 2 the file can't be read", _check)
    check.add_argument("path", type=Path)
    plan = word(commands, "plan", "print everything worked out from a job, to read or for another program", _plan)
    plan.add_argument("path", type=Path, nargs="?")
    how = plan.add_mutually_exclusive_group()
    how.add_argument("--json", action="store_true", help="as JSON")
    how.add_argument("--describe", action="store_true", help="what that JSON holds: fields, units, what may change; no file is read")
    how.add_argument("--schema", action="store_true", help="its JSON Schema; no file is read")
    plan.set_defaults(wrong=plan.error)


def _check(args: Namespace) -> int:
    from engine.findings import LEVELS, TITLES
    from engine.paper.before_repair import photos_away, repair_words
    from engine.paper.photos.photo_notes import photo_notes
    from engine.paper.record_tables import since_words

    loaded, worked, broken = read_walked(args.path)
    say_seal(loaded, broken)
    say_estimate(loaded, worked)
    if repairs := repair_words(loaded.job, worked):
        print(repairs)
    for level in LEVELS:
        for finding in worked.findings:
            if finding.level == level:
                print(f"{level:<4}  {TITLES[finding.stage]}: {finding.says}\n      {finding.do}")
    photos = (*photo_notes(loaded), *photos_away(loaded))
    for says, do in photos:
        print(f"note  photos: {says}\n      {do}")
    counts = {level: sum(finding.level == level for finding in worked.findings) for level in LEVELS}
    print(f"{args.path.name}: {counts['stop']} to stop for, {counts['fix']} to fix, {counts['note'] + len(photos)} to note.")
    if since := since_words(loaded.job, worked, changed=bool(broken)):
        print(since)
    return 1 if counts["stop"] else 0


def _plan(args: Namespace) -> int:
    if args.describe or args.schema:
        if args.path is not None:
            args.wrong("--describe and --schema are of every job alike: leave the file out")
        sys.stdout.write(_about_json(args.schema))
        return 0
    if args.path is None:
        args.wrong("the job file is missing")
    loaded, worked, broken = read_walked(args.path)
    if not args.json:
        from engine.paper.plan.readable_plan import readable_plan

        sys.stdout.write(readable_plan(loaded.job, worked, broken))
        return 0
    from engine.paper.plan.plan_json import plan_text

    sys.stdout.reconfigure(encoding="utf-8")  # type: ignore[union-attr]  # the same bytes whatever the terminal's encoding
    sys.stdout.write(plan_text(worked, broken, loaded.job))
    return 0


def _about_json(schema: bool) -> str:
    if schema:
        from engine.paper.plan.plan_json import json_text
        from engine.paper.plan.plan_schema import plan_schema

        return json_text(plan_schema())
    from engine.paper.plan.plan_description import plan_description

    return plan_description()
