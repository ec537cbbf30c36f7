"""How soon something is seen, as a user meets it: a compiled install on a real pseudo-terminal, from the command and from a key."""

import os
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path
from statistics import median

from tests.bench import empty_table
from tests.bench.terminal import Burst, Terminal
from tests.bench.timing import Told

FRAME_MS = 1000 / 60
ESCAPE = "\x1b"
LATER_S = 0.2
KEYS = (
    ("another stage", tuple(f"{ESCAPE}{number}" for number in "34568927")),
    ("a tick", (" ",) * 5),
    ("an arrow down", ("\x1b[B",) * 5),
    ("a screenful down", ("\x1b[6~",) * 3),
    ("another page", ("\t",) * 5),
    ("another picture", ("v",) * 6),
)
"""In their order. Stages by Alt and number, as a number alone may be a reading; ticks and arrows fall on the sheet of staking, whose first
open cells are plain checks."""
BOXES = {
    "the move box": "m", "materials": "t", "the record": "b", "a fresh layout": "a", "find": "/", "how it is done": "h", "the keys": "?",
    "what is logged": "l", "the log page": "g", "who works": "w", "entering": "e",
}  # fmt: skip


def first_paint(commands: Path, file: Path, title: str, times: int = 5) -> list[Told]:
    """From the command to the job's title on the terminal, against an empty table with our libraries; in turn, the least of each."""
    ours, empty = [], []
    for _ in range(times):
        ours.append(seen_ms([commands / "linewalk", file, "--by", "Bench"], title))
        empty.append(seen_ms([commands / "python", Path(empty_table.__file__)], empty_table.TITLE))
    ratio = median(one / other for one, other in zip(ours, empty, strict=True))
    return [Told(f"start to first paint of the 2,000 ft job (median {ratio:.2f} x)", min(ours), "ms", "empty table", min(empty))]


def environment() -> dict[str, str]:
    """What a terminal of a user's own gives the program."""
    kept = {name: value for name, value in os.environ.items() if not name.startswith("PYTHON") and name not in ("COLUMNS", "LINES")}
    return {**kept, "TERM": "xterm-256color", "COLORTERM": "truecolor"}


def seen_ms(command: list[str | Path], words: str) -> float:
    """From a command to words of its on the terminal."""
    with closing(Terminal(command, environment())) as terminal:
        return terminal.until(words)


def keys(commands: Path, file: Path, title: str) -> Iterator[Told]:
    """From a key to the last byte it paints, in frames; and the bytes, which a thin line feels."""
    with closing(Terminal([commands / "linewalk", file, "--by", "Bench"], environment())) as terminal:
        terminal.until(title)
        terminal.settle(LATER_S)
        for name, pressed in KEYS:
            yield _told(name, [_alone(terminal, key) for key in pressed])
        for name, key in BOXES.items():
            yield _told(name, [_opened(terminal, key) for _ in range(3)])


def _alone(terminal: Terminal, key: str) -> Burst:
    """A key by itself: what it leaves for later, such as that all is saved, is waited for and not counted."""
    burst = terminal.press(key)
    terminal.settle(LATER_S)
    return burst


def _opened(terminal: Terminal, key: str) -> Burst:
    """A key that opens something, which is closed again and leaves nothing for later; a lone Esc is waited out before it counts as one."""
    burst = terminal.press(key)
    terminal.press(ESCAPE)
    return burst


def _told(name: str, bursts: list[Burst]) -> Told:
    taken, size = [burst.last_ms for burst in bursts], median(len(burst.painted) for burst in bursts)
    return Told(f"key to last byte: {name} (worst {max(taken):.0f}, {size:,.0f} B)", median(taken), "ms", "frame", FRAME_MS)
