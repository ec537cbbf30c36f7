"""Whether a job is an estimate still."""

from engine.job.model.job import Job
from engine.walk import Walk


def rests_on_it(job: Job, worked: Walk) -> bool:
    """Whether all there is of the fence is what was said: no line of it was surveyed."""
    return job.rough is not None and not worked.survey.lines
