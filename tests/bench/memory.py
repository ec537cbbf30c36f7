"""How much memory a program holds at its most, asked of Linux in a process of its own."""

import asyncio
import subprocess
import sys
from pathlib import Path

from textual.app import App

from tests.bench.timing import Told

SIZE = (120, 36)


def peaks(file: Path) -> list[Told]:
    """The walk screen on the job and one page further, against an empty table with our libraries."""
    return [Told("peak memory on the 2,000 ft job", _peak_mb(str(file)), "MB", "empty table", _peak_mb())]


def _peak_mb(*args: str) -> float:
    done = subprocess.run([sys.executable, "-m", "tests.bench.memory", *args], capture_output=True, text=True, check=True)
    return float(done.stdout)


def _own_peak_mb() -> float:
    """This process's own peak. Not getrusage: what it tells of a child starts at what its parent held."""
    lines = Path("/proc/self/status").read_text(encoding="ascii").splitlines()
    return next(float(line.split()[1]) / 1024 for line in lines if line.startswith("VmHWM:"))


async def _run(app: App[int]) -> None:
    async with app.run_test(size=SIZE) as pilot:
        for _ in range(4):
            await pilot.press("tab")
        await pilot.pause()


def _app(args: list[str]) -> App[int]:
    if args:
        from engine.job.file.store import load
        from tui.app import LinewalkApp

        return LinewalkApp(loaded=load(Path(args[0])), by="Bench")
    from tests.bench.empty_table import EmptyTable

    return EmptyTable()


if __name__ == "__main__":
    asyncio.run(_run(_app(sys.argv[1:])))
    print(_own_peak_mb())
