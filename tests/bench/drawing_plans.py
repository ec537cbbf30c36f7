"""How long the plan takes to be drawn on a screen: at another zoom, after a tick, after a move, and from post to post."""

from collections.abc import Callable, Iterator
from itertools import count

from engine.drawing.plan_shapes import plan_shapes
from engine.job.edit.edits import move_post
from engine.job.model.job import Job
from engine.walk import walk
from tests.bench.big_job import NOON
from tests.bench.timing import Told, best_ms
from tui.canvas.viewport import fit
from tui.widgets.plan_view import paint_plan, plan_bounds

SIZE = (100, 34)


def plans(job: Job, yardstick: float) -> Iterator[Told]:
    """Shapes and cells of the whole plan, every walk made before."""
    before = walk(job)
    post = next(name for name, one in job.posts.items() if one.kind == "line" and one.support == "driven")
    ticked = [job.model_copy(update={"checks": {k: t for k, t in job.checks.items() if k != key}}) for key in list(job.checks)[:7]]
    moved = [move_post(job, post, NOON, "Lead", along_ft=0.1 * n) for n in range(1, 8)]
    drawing = plan_shapes(job, before)
    view, posts = fit(plan_bounds(drawing), *SIZE), list(before.layout.supports)
    zoom, at = count(1), count()
    acts: dict[str, Callable[[], object]] = {
        "plan of 2,000 ft painted at another zoom": lambda: paint_plan(drawing, view.zoomed(1 + next(zoom) / 100)),
        "the same drawn and painted after a tick": _drawn(ticked),
        "the same drawn and painted after a move": _drawn(moved),
        "the same painted with the next post chosen": lambda: paint_plan(drawing, view, posts[next(at)]),
    }
    yield from (Told(what, best_ms(act), "ms", "plain loop", yardstick) for what, act in acts.items())


def _drawn(jobs: list[Job]) -> Callable[[], None]:
    """Draws the next of the jobs each time, walked ahead."""
    walked = iter([(job, walk(job)) for job in jobs])

    def draw() -> None:
        drawing = plan_shapes(*next(walked))
        paint_plan(drawing, fit(plan_bounds(drawing), *SIZE))

    return draw
