"""A program on a real pseudo-terminal: what it paints, and when."""

import fcntl
import os
import pty
import re
import select
import signal
import struct
import subprocess
import termios
from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from time import perf_counter

SIZE = (120, 36)
PATIENCE_S = 30.0
NO_WORK_NS = 4_000_000
"""So little is a timer that looks and finds nothing."""
_CONTROL = re.compile(rb"\x1b\[[0-9;?<>=]*[a-zA-Z]")


@dataclass(frozen=True)
class Burst:
    """What came until the terminal was quiet: milliseconds to its last byte (0 where nothing came), and all of it."""

    last_ms: float
    painted: bytes


@dataclass(frozen=True)
class Answer:
    """How long a key's answer took, and how much of it the program's main thread worked, in milliseconds."""

    wall_ms: float
    worked_ms: float


class Terminal:
    """A program run on a terminal of our size, until it is closed."""

    def __init__(self, command: Sequence[str | Path], environment: dict[str, str]) -> None:
        self._outer, inner = pty.openpty()
        fcntl.ioctl(inner, termios.TIOCSWINSZ, struct.pack("HHHH", SIZE[1], SIZE[0], 0, 0))
        self._start = perf_counter()
        self._program = subprocess.Popen(command, stdin=inner, stdout=inner, stderr=inner, env=environment, start_new_session=True)
        os.close(inner)

    def until(self, words: str) -> float:
        """Milliseconds from the start of the program until these words stand on the terminal."""
        self._read_until(words)
        return (perf_counter() - self._start) * 1000

    def _read_until(self, words: str) -> None:
        seen, end = b"", perf_counter() + PATIENCE_S
        while words.encode() not in _CONTROL.sub(b"", seen):
            if perf_counter() > end or not select.select([self._outer], [], [], PATIENCE_S)[0]:
                raise TimeoutError(f"never painted {words!r}; last: {seen[-300:]!r}")
            seen += os.read(self._outer, 65536)

    def press(self, key: str) -> Burst:
        """Write a key as a keyboard does; what is painted then."""
        os.write(self._outer, key.encode())
        return self.settle()

    def answer(self, key: str, words: str) -> Answer:
        """Write a key, and wait until these words are painted, whatever else is meanwhile."""
        start, worked = perf_counter(), self.worked_ns()
        os.write(self._outer, key.encode())
        self._read_until(words)
        return Answer((perf_counter() - start) * 1000, (self.worked_ns() - worked) / 1e6)

    def settle(self, rest_s: float = 0.1) -> Burst:
        """What is painted from now on, until the program has painted nothing and worked at nothing for so long."""
        start = last = resting_since = perf_counter()
        seen, worked = b"", self.worked_ns()
        while perf_counter() < resting_since + rest_s:
            if select.select([self._outer], [], [], 0.02)[0]:
                seen += os.read(self._outer, 65536)
                last = resting_since = perf_counter()
            elif (now := self.worked_ns()) > worked + NO_WORK_NS:
                worked, resting_since = now, perf_counter()
        return Burst((last - start) * 1000, seen)

    def worked_ns(self) -> int:
        """How long the program's main thread has run, by Linux."""
        pid = self._program.pid
        return int(Path(f"/proc/{pid}/task/{pid}/schedstat").read_text(encoding="ascii").split()[0])

    def close(self) -> None:
        """End the program and what it began, as closing the terminal does."""
        with suppress(ProcessLookupError):
            os.killpg(self._program.pid, signal.SIGTERM)
        self._program.wait()
        os.close(self._outer)
