"""A starter job: what a crew opens to begin a survey."""

from engine.job.model.job import Job
from engine.job.model.people import Who


def starter(title: str) -> Job:
    """An empty job with a title, ready to survey into."""
    return Job(job=Who(title=title[:200]))
