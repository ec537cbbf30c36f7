"""Which posts a drawing shows, in words for its caption."""

import re
from collections.abc import Iterable

from engine.calc.phrases import counted
from engine.drawing.shapes import Drawing, Mark
from engine.paper.drawings.drawing_sheet import PlanSheet


def plan_caption(drawing: Drawing, sheet: PlanSheet) -> str:
    """How many supports are on a sheet, and which: `16 supports: P1 to P16`."""
    marks = [mark for mark in drawing.of(Mark, "post") if sheet.shows(mark.pos)]
    if not marks:
        return "No supports yet"
    return f"{counted(len(marks), 'support')}: {in_runs(mark.id for mark in marks)}"


def strip_caption(posts: tuple[str, ...], number: int, strips: int) -> str:
    """A stretch of a line by its first post and its last: `strip 2 of 3: P7 to P12`."""
    ends = f"{posts[0]} to {posts[-1]}" if len(posts) > 1 else ", ".join(posts)
    return f"strip {number} of {strips}: {ends}" if strips > 1 else ends


def in_runs(names: Iterable[str]) -> str:
    """Names in the order of their numbers, a row of them by its first and last: `P1 to P7, P9, P12 to P14`."""
    numbered = sorted({_parted(name) for name in names})
    runs: list[list[tuple[str, int, str]]] = []
    for one in numbered:
        if runs and one[0] == runs[-1][-1][0] and one[1] == runs[-1][-1][1] + 1:
            runs[-1].append(one)
        else:
            runs.append([one])
    return ", ".join(_said(run) for run in runs)


def _parted(name: str) -> tuple[str, int, str]:
    """A name as its letters, its number and itself; one without a number stands alone."""
    found = re.fullmatch(r"(.*?)(\d{1,9})", name)
    return (found[1], int(found[2]), name) if found else (name, -1, name)


def _said(run: list[tuple[str, int, str]]) -> str:
    return f"{run[0][2]} to {run[-1][2]}" if len(run) > 2 else ", ".join(name for _, _, name in run)
