"""A phone call, and fences of the same shape as they would be surveyed."""

from engine.ahead.rough_job import rough_job
from engine.job.model.job import Job
from engine.job.model.rough import Rough

PHONE = Rough(length_ft=140, start_meets="house", end_meets="house", corners=1, gates_ft=(5,), height_ft=5, dogs="two beagles")


def said(rough: Rough) -> Job:
    """A job in which nothing else is known."""
    return Job(rough=rough)


def taped(rough: Rough, length_ft: float) -> Job:
    """The fence surveyed at this very length, somewhere else on the ground: a hundredth of a foot less would be a ring less."""
    made = rough_job(Job(), rough, length_ft)
    points = {
        name: point.model_copy(update={"east_ft": point.east_ft + 40.0, "north_ft": point.north_ft - 25.0})
        for name, point in made.points.items()
    }
    return made.model_copy(update={"points": points})
