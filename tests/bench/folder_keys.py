"""A folder of 2,000 jobs that nobody looked at yet, on a real terminal: its first screenful, and keys while it is read and worked out."""

from collections.abc import Iterator
from contextlib import closing
from pathlib import Path
from statistics import median

from tests.bench import empty_table
from tests.bench.painting import ESCAPE, FRAME_MS, environment, seen_ms
from tests.bench.terminal import Answer, Terminal
from tests.bench.timing import Told
from tests.demo import DEMO

JOBS = 2_000
PRESSES = 12


def made(folder: Path, count: int = JOBS) -> Path:
    """So many small jobs, each with a title of its own."""
    folder.mkdir()
    text = DEMO.read_text(encoding="utf-8")
    for number in range(count):
        (folder / f"yard_{number:04}.toml").write_text(text.replace("Willow Bend", f"Yard {number}"), encoding="utf-8")
    return folder


def first_screenful_and_keys(commands: Path, folder: Path) -> Iterator[Told]:
    """Each key until its own answer is painted, whatever the reading paints meanwhile; against a frame. The reading goes on throughout: all
    of it takes minutes."""
    given = {**environment(), "XDG_STATE_HOME": str(folder.with_name("no state yet"))}
    empty = seen_ms([commands / "python", Path(empty_table.__file__)], empty_table.TITLE)
    with closing(Terminal([commands / "linewalk", folder, "--by", "Bench"], given)) as terminal:
        yield Told(f"start to a screenful of {JOBS:,} jobs", terminal.until("Yard 25 back yard"), "ms", "empty table", empty)
        yield _told("down, while it is read", [terminal.answer("\x1b[B", f"yard_{number:04}.toml") for number in range(1, PRESSES + 1)])
        terminal.until(f"{JOBS} jobs, ")
        yield _told(
            "down, while it is worked out", [terminal.answer("\x1b[B", f"yard_{PRESSES + n:04}.toml") for n in range(1, PRESSES + 1)]
        )
        heads = ("stage", "open", "worst", "short", "sealed", "number", "title", "client", "planned")
        yield _told("sort", [terminal.answer("s", f"{head}+") for head in heads])
        yield _told("to the last job and the first", [terminal.answer(*to) for to in _ENDS * 3])
        boxes, found = [], []
        for number in (77, 1234, 1999):
            boxes.append(terminal.answer("/", "Find a job"))
            terminal.answer(f"yard {number}", f"yard {number}")
            found.append(terminal.answer("\r", f"of {JOBS} jobs"))
            terminal.answer(ESCAPE, f"  {JOBS} jobs")
        yield _told("the find box", boxes)
        yield _told("find", found)


_ENDS = (("\x1b[F", "yard_1999.toml"), ("\x1b[H", "yard_0000.toml"))


def _told(name: str, answers: list[Answer]) -> Told:
    wall = [answer.wall_ms for answer in answers]
    worst = max(answers, key=lambda answer: answer.wall_ms)
    return Told(f"{name} (worst {worst.wall_ms:.0f}, {worst.worked_ms:.0f} of it worked)", median(wall), "ms", "frame", FRAME_MS)
