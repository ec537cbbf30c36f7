"""Two files of one job that went different ways: joined into a job for a third file; what both changed is asked by number."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from os.path import abspath
from pathlib import Path

from engine.calc.phrases import counted
from engine.job.errors import JobError, shown
from engine.job.file.store import Loaded
from engine.job.merge.asked import Conflict, Keep, Side
from engine.job.merge.merge import Merged, merge
from engine.job.model.job import Job


@dataclass(frozen=True, slots=True)
class Answers:
    """Which file to keep: by the number of a question, and of all that have none of their own."""

    numbered: Mapping[int, Side] = field(default_factory=dict)
    otherwise: Side | None = None

    def of(self, number: int) -> Side | None:
        """The answer to a question, or None."""
        return self.numbered.get(number, self.otherwise)


class NotToJoin(JobError):
    """A file that can't be joined with any other: a sentence a file."""


class NoSuchQuestion(JobError):
    """An answer to a question that isn't asked."""


@dataclass(frozen=True, slots=True)
class Joined:
    """The job of both files, or None where somebody has to decide first; what came in from the second; what was or is asked; and what only
    one of them has where it isn't known whether the other took it out, the same whichever is named first."""

    job: Job | None
    came_in: tuple[str, ...] = ()
    asked: tuple[str, ...] = ()
    lone: tuple[str, ...] = ()


def joined(ours: Loaded, theirs: Loaded, answers: Answers, base: Job | None = None) -> Joined:
    """Both files as one job: logs and ticks joined, every other fact from the side that changed it. Raises: NotToJoin for a signed file or
    a newer program's; NoSuchQuestion for an answer to a number that no question has."""
    names = file_names(ours.path, theirs.path)
    if refused := dict.fromkeys(f"{name} {why}" for name, loaded in zip(names, (ours, theirs), strict=True) if (why := _why_not(loaded))):
        raise NotToJoin("\n".join(refused))
    merged, questions = _asked(ours, theirs, answers, base)
    for number in sorted(answers.numbered):
        if not 1 <= number <= len(questions):
            asks = f"This merge asks {counted(len(questions), 'question')}" if questions else "This merge asks nothing"
            raise NoSuchQuestion(f"There is no question {number}. {asks}.")
    arising = {number: asked for number, asked in enumerate(questions, 1) if asked in merged.conflicts}
    said = tuple(f"{number}. {_words(asked, names, answers.of(number))}" for number, asked in arising.items())
    if any(answers.of(number) is None for number in arising):
        return Joined(None, asked=(*said, _how_to_answer(next(n for n in arising if answers.of(n) is None), *names)))
    return Joined(merged.job, merged.came_in, said, tuple(sorted((*merged.lone[0].says(*names), *merged.lone[1].says(*names[::-1])))))


def _asked(ours: Loaded, theirs: Loaded, answers: Answers, base: Job | None) -> tuple[Merged, list[Conflict]]:
    """The files merged with these answers, and every question in its order: first what is asked where nothing is answered yet, then what
    an answer led to."""
    questions: list[Conflict] = []
    while True:
        given = {asked: side for number, asked in enumerate(questions, 1) if (side := answers.of(number)) is not None}
        merged = merge(base, ours.job, theirs.job, Keep(given))
        fresh = [asked for asked in merged.conflicts if asked not in questions]
        if not fresh:
            return merged, questions
        questions += fresh


def _why_not(loaded: Loaded) -> str:
    if loaded.heading.newer:
        return "was written by a newer program, so not all of it is known here. Merge with the newer program."
    return "is signed off, and a record can't be mixed with anything. Reopen it with a reason, then merge." if loaded.sealed else ""


def file_names(ours: Path, theirs: Path) -> tuple[str, str]:
    """Two files by their names; where these are alike, with as many of their folders as tell them apart."""
    one, other = (Path(abspath(path)).parts for path in (ours, theirs))
    deep = next((n for n in range(1, min(len(one), len(other))) if one[-n:] != other[-n:]), 1)
    return _shown(one[-deep:]), _shown(other[-deep:])


def _shown(parts: tuple[str, ...]) -> str:
    return shown(str(Path(*parts)), 120 * len(parts))


def _words(asked: Conflict, names: tuple[str, str], side: Side | None) -> str:
    kept = f" Kept: {names[0] if side == 'ours' else names[1]}." if side else ""
    if asked.why:
        return f"{asked.why}{kept}"
    return f"{asked.about}: {asked.ours} in {names[0]}; {asked.theirs} in {names[1]}.{kept}"


def _how_to_answer(number: int, ours: str, theirs: str) -> str:
    return (
        f"Answer each: --keep {number}=a for what {ours} says, --keep {number}=b for {theirs}. "
        "Or all that have no answer of their own: --keep ours, --keep theirs."
    )
