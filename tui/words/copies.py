"""What makes a job file out of others: merge, repair."""

import re
import sys
from argparse import ArgumentTypeError, Namespace
from pathlib import Path
from typing import TYPE_CHECKING

from tui.words.typed_words import Commands, named_path, word

if TYPE_CHECKING:
    from engine.job.merge.asked import Side

ALL = 0
"""Stands for all questions of a merge that have no answer of their own."""


def add_words(commands: Commands) -> None:
    merged = word(
        commands,
        "merge",
        "join two copies of a job that were changed apart; neither is touched; exit 1 they differ, and nobody said whose word is kept",
        _merge,
    )
    merged.add_argument("ours", type=Path, metavar="A")
    merged.add_argument("theirs", type=Path, metavar="B")
    merged.add_argument("-o", "--out", type=named_path, metavar="C", required=True, help="the new job file; it must not exist yet")
    merged.add_argument(
        "--keep",
        action="append",
        type=_answer,
        default=[],
        metavar="WHICH",
        help="where the two differ: keep what A says (ours) or B (theirs); or an answer a question, 1=a 2=b, said once for each",
    )
    repair = word(
        commands, "repair", "begin a repair from a signed job: what stands is done, only what is new is asked and loaded", _repair
    )
    repair.add_argument("signed", type=Path, metavar="SIGNED")
    repair.add_argument("-o", "--out", type=named_path, metavar="NEW", required=True, help="the new job file; it must not exist yet")
    repair.add_argument("--anyway", action="store_true", help="though the signed file was changed since; the new one says what was")


def _merge(args: Namespace) -> int:
    from dataclasses import replace

    from engine.calc.units import in_hand
    from engine.change.older_ticks import with_facts
    from engine.job.errors import JobError
    from engine.job.file.store import load, new, state_folder
    from engine.job.merge.join_files import Answers, file_names, joined
    from engine.job.versions.ancestors import base_of
    from engine.paper.photos.photo_notes import joined_notes
    from engine.repair.begun_alike import begun_alike
    from engine.walk import walk

    said: dict[int, Side] = {}
    for number, side in args.keep:
        if said.setdefault(number, side) != side:
            raise JobError(f"--keep is said both ways for {f'question {number}' if number else 'all'}: say it once.")
    ours, theirs = load(args.ours), load(args.theirs)
    in_hand(ours.job.job.units)
    base = base_of(ours, theirs, state=state_folder()) or begun_alike(ours.job, theirs.job)
    ours, theirs = (replace(one, job=with_facts(one.job, walk(one.job))) for one in (ours, theirs))
    found = joined(ours, theirs, Answers({n: side for n, side in said.items() if n != ALL}, said.get(ALL)), base)
    for says in found.asked:
        print(says, file=sys.stderr)
    if base is None and (found.asked or found.lone):
        print("The version that both came from isn't kept on this machine, so which of them changed a fact isn't known.", file=sys.stderr)
    if found.job is None:
        print("Nothing was written.", file=sys.stderr)
        return 1
    written = new(args.out, found.job, joined=(ours, theirs))
    there = file_names(args.ours, args.theirs)[1]
    print(f"Came in from {there}:" if found.came_in else f"Nothing new came in from {there}.")
    for says in (*found.came_in, *found.lone):
        print(says)
    holds = "what was kept, and all else of both" if found.asked else "both"
    print(f"{written.path} holds {holds}.")
    for so, do in joined_notes(ours, theirs, written):
        print(f"{so} {do}")
    return 0


def _repair(args: Namespace) -> int:
    from engine.paper.before_repair import begins_with, photos_away
    from engine.repair.repair_file import write_repair
    from engine.walk import walk

    made = write_repair(args.signed, args.out, anyway=args.anyway)
    print(f"{made.path} begins from {args.signed.name}: {begins_with(made.job, walk(made.job))}.")
    for says, do in photos_away(made):
        print(f"{says} {do}")
    print(f"Open it with: linewalk {made.path}")
    return 0


def _answer(text: str) -> tuple[int, "Side"]:
    """The number of a question and whose word is kept; 0 for all that have no answer of their own."""
    found = re.fullmatch(r"(?:([1-9]\d{0,3})=)?(a|b|ours|theirs)", text.strip().lower())
    if found is None or (found[1] is None and found[2] in ("a", "b")):
        raise ArgumentTypeError(f"{text!r} is no answer: say ours or theirs for all, or 1=a, 1=b for one question")
    return int(found[1]) if found[1] else ALL, "ours" if found[2] in ("a", "ours") else "theirs"
