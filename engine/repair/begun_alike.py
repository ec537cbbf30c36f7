"""The repair that two files of one signed job both began from, where each was made on a laptop of its own."""

from engine.job.errors import JobError
from engine.job.file.kept_text import kept_job
from engine.job.file.store import as_saved
from engine.job.model.job import Job
from engine.repair.what_stands import repaired
from engine.walk import walk


def begun_alike(ours: Job, theirs: Job) -> Job | None:
    """That repair as it began, made anew from the signed job that both keep; None where they keep none, or not the same. Where that was
    called otherwise on the other laptop, it has no name; of what was changed in it the laptop that can tell more is believed."""
    told, other = ours.repair_of, theirs.repair_of
    if told is None or other is None:
        return None
    if told.file != other.file:
        told, other = (one.model_copy(update={"file": ""}) for one in (told, other))
    less = min(told.changed, other.changed, key=lambda changed: (len("".join(changed)), changed))
    told, other = (one.model_copy(update={"changed": less}) for one in (told, other))
    if told != other:
        return None
    try:
        signed = kept_job(told).job
    except JobError:
        return None
    return as_saved(repaired(signed, walk(signed), told)) if signed.record is not None else None
