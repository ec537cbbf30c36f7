"""A job as it would be read from its file: every length at the places that a file keeps."""

from engine.job.file.job_tables import tables_of
from engine.job.file.log_order import by_effect, without_follows
from engine.job.model.job import Job


def as_read(job: Job) -> Job:
    """The job as another laptop reads it, with not a value of it in common."""
    tables = tables_of(job)
    plain = without_follows(tables)
    return Job.model_validate({**plain, "log": [plain["log"][number] for number in by_effect(tables.get("log"))[0]]})
