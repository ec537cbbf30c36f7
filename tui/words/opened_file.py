"""A job file that a word was given: read, worked out, and what is said of it before anything else."""

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from typing import TextIO

    from engine.job.file.store import Loaded
    from engine.walk import Walk


def read_walked(path: Path) -> tuple["Loaded", "Walk", tuple[str, ...]]:
    """A job file, everything worked out from it, and what is wrong with its seal."""
    from engine.calc.units import in_hand
    from engine.job.file.store import load
    from engine.paper.seal_check import seal_broken
    from engine.walk import walk

    loaded = load(path)
    in_hand(loaded.job.job.units)
    worked = walk(loaded.job)
    return loaded, worked, seal_broken(loaded, worked)


def say_seal(loaded: "Loaded", broken: Sequence[str], to: "TextIO | None" = None) -> None:
    """What is wrong with a file's seal, a line each."""
    from engine.paper.seal_check import seal_lines

    for says in seal_lines(loaded, broken):
        print(f"seal  {says}", file=to)


def say_estimate(loaded: "Loaded", worked: "Walk") -> None:
    """What the fence takes by what was said first, a line a fact; one line beside what was surveyed since."""
    from engine.ahead.estimate_words import in_words
    from engine.calc.units import in_hand

    in_hand(loaded.job.job.units)
    said = in_words(loaded.job, worked)
    if said is not None:
        print(f"ESTIMATE  {said.line}" if said.alone else said.line)
        for name, more in said.more:
            print(f"{name:<8}  {more}")
