"""How long the engine works: the whole walk cold, as it grows, and its three heaviest calculations."""

import random
from collections.abc import Sequence
from functools import partial

from engine import walk as walking
from engine.calc.adjust import adjust
from engine.calc.cutting import Stock, plan_cuts
from engine.calc.spacing import Stretch, best_supports
from engine.job.job import Job
from tests.bench.big_job import big_job, proposed
from tests.bench.timing import Told, best_ms
from tests.calc.networks import random_network
from tests.calc.test_packing import fewest_by_milp

PLAIN = "plain loop"


def walks(job: Job, yardstick: float) -> list[Told]:
    """The walk with nothing remembered, and again after one tick."""
    ticked = job.model_copy(update={"checks": dict(list(job.checks.items())[1:])})
    cold = best_ms(lambda: walking.walk(job), before=walking._memory.clear)
    walking.walk(job)
    return [
        Told("walk of 2,000 ft, nothing remembered", cold, "ms", PLAIN, yardstick),
        Told("the same after a tick", best_ms(lambda: walking.walk(ticked)), "ms", "cold walk", cold),
    ]


def growth(sizes: Sequence[int]) -> list[Told]:
    """Cold walks of jobs of so many yards (about 26 supports each), each against the size before it."""
    told: list[Told] = []
    yards_before, before = 0, 0.0
    for yards in sizes:
        job = big_job(yards)
        taken = best_ms(partial(walking.walk, job), 3 if yards <= 16 else 1, walking._memory.clear)
        supports = len(walking.walk(job).layout.supports)
        told.append(Told(f"walk of {supports} supports", taken, "ms", f"{yards_before} yards", before))
        yards_before, before = yards, taken
    return told


def calculations(yardstick: float) -> list[Told]:
    """Adjustment of 50 points, layout of 2,000 ft, a cut plan against an integer program."""
    made = random_network(3, 50)
    bays = 2000.0
    stretch = Stretch(start_ft=0.0, end_ft=bays, max_bay_ft=25.0, min_bay_ft=4.0, grid_ft=0.25, blocked=((301.0, 306.0), (840.0, 848.0)))
    rng = random.Random(5)
    pieces = {f"L{k}": float(rng.randrange(400, 610)) for k in range(25)}
    sizes = [int(piece) for piece in pieces.values()]
    by_milp = best_ms(lambda: fewest_by_milp(sizes, 1500), 1)
    return [
        Told(
            f"adjustment, 50 points and {len(made.shots)} shots",
            best_ms(lambda: adjust(made.known, made.approximate, made.shots)),
            "ms",
            PLAIN,
            yardstick,
        ),
        Told("best supports of one 2,000 ft stretch", best_ms(lambda: best_supports(stretch)), "ms", PLAIN, yardstick),
        Told("cut plan of 25 pieces", best_ms(lambda: plan_cuts(pieces, (Stock("roll", 1500.0),))), "ms", "integer program", by_milp),
    ]


def layout_cold() -> list[Told]:
    """Survey and layout of a job that has no plan yet: the set of supports is looked for, not read."""
    job = proposed()
    taken = best_ms(lambda: walking.walk(job), before=walking._memory.clear)
    planned = big_job()
    return [
        Told(
            "walk of 2,000 ft with the layout to propose",
            taken,
            "ms",
            "plan accepted",
            best_ms(lambda: walking.walk(planned), before=walking._memory.clear),
        )
    ]
