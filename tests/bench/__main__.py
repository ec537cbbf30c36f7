"""Every measurement in one run: `python -m tests.bench`. It prints and judges nothing; a reader compares the ratios of two runs.

Numbers after it are the sizes, in yards, at which the growth of the walk is looked at: `python -m tests.bench 4 16 80` goes to 2,000 posts.
"""

import os
import sys
import tempfile
from collections.abc import Iterable
from pathlib import Path

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # as the command line does

from engine.job.file.store import new  # after the environment is set
from tests.bench import drawing_plans, estimating, folder_keys, memory, painting, photo_page, storing, working_out
from tests.bench.big_job import NOON, big_job
from tests.bench.installed import installed
from tests.bench.timing import Told, yardstick_ms
from tui.base.sweeping import Sweeping


def main(sizes: list[int]) -> None:
    """Measure and print, with things thrown away swept up no oftener than while the screen is worked with."""
    Sweeping().begin()
    yardstick = yardstick_ms()
    print(f"plain loop of 200,000 steps: {yardstick:.1f} ms; everything else in ms or MB and as a ratio of the same run")
    job = big_job()
    with tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as name:  # a child of a program that was ended may write a last line
        folder = Path(name)
        os.environ["XDG_STATE_HOME"] = str(folder / "state")
        file = new(folder / "big.toml", job, NOON).path
        _show(
            "working out",
            [*working_out.walks(job, yardstick), *working_out.settling(job), *working_out.layout_cold(), *working_out.growth(sizes)],
        )
        _show("estimates", estimating.estimates())
        _show("plans", drawing_plans.plans(job, yardstick))
        _show("calculations", working_out.calculations(yardstick))
        _show("storing", [*storing.saves(job, folder / "storing"), *storing.folder_view(folder / "folder")])
        _show("photos", photo_page.pages(folder / "photos"))
        _show("the day before", storing.hours_of_finished_jobs(folder / "finished"))
        _show("memory", memory.peaks(file))
        commands = installed(folder / "installed")
        _show("painting", painting.first_paint(commands, file, job.job.title))
        _show("keys", painting.keys(commands, file, job.job.title))
        _show("a folder of 2,000 jobs", folder_keys.first_screenful_and_keys(commands, folder_keys.made(folder / "many")))


def _show(title: str, told: Iterable[Told]) -> None:
    print(title)
    for row in told:
        print(row, flush=True)


if __name__ == "__main__":
    main([int(size) for size in sys.argv[1:]] or [2, 4, 10, 20])
