"""The time of what is done: by the laptop's clock, and in a repair after what stands from before it, whatever that clock says."""

from collections.abc import Callable
from datetime import UTC, datetime, timedelta

from engine.calc.dates import format_date
from engine.job.model.job import Job

RIGHT_AFTER = timedelta(seconds=1)


def now() -> datetime:
    """This moment, with its offset, to the second."""
    return datetime.now(UTC).astimezone().replace(microsecond=0)


def done_at(job: Job, now: datetime) -> datetime:
    """When something is done that is done now: what is new in a repair would else be taken for what stood, and count for nothing."""
    repair_of = job.repair_of
    if repair_of is None or not repair_of.stood(now):
        return now
    return (repair_of.until + RIGHT_AFTER).astimezone(now.tzinfo)


def clock_behind(job: Job, clock: Callable[[], datetime]) -> tuple[str, ...]:
    """That a clock says a time before a repair, and what comes of it; nothing where it doesn't."""
    repair_of = job.repair_of
    if repair_of is None or not repair_of.stood(says := clock()):
        return ()
    until = repair_of.until.astimezone(says.tzinfo)
    return (
        f"This laptop's clock says {_said(says)}, and the job before was worked on until {_said(until)}. Set the clock. What is done here "
        "before that counts, and is kept as done right after the job before.",
    )


def _said(at: datetime) -> str:
    return f"{format_date(at.date())} {at:%H:%M}"
