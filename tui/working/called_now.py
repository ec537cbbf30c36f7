"""What an item is called once another laptop gave its post, gate, line or tree another name."""

from collections.abc import Callable

from engine.job.edit.renames_found import called, renames
from engine.job.merge.told_apart import posts_called, posts_renamed
from engine.job.model.checks import Tick
from engine.job.model.item_key import ItemKey
from engine.job.model.job import Job


def called_now(before: Job, now: Job) -> Callable[[ItemKey, Tick], tuple[ItemKey, Tick]]:
    """Gives an item of the job before, and what was ticked there or would be, with the names of the job now."""
    posts, found = posts_renamed(before, now), renames(before, now)

    def named(key: ItemKey, tick: Tick) -> tuple[ItemKey, Tick]:
        job = posts_called(before.model_copy(update={"checks": {key: tick}}), posts)
        for one in found:
            job = called(job, one)
        return next(iter(job.checks.items()))

    return named
