"""Errors people can meet: one class tree; each message says what is wrong, where, and what to do."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Problem:
    """One thing wrong in a job: the path of keys to it, one sentence with what to do, and the value that stands there."""

    path: tuple[str | int, ...]
    message: str
    value: object | None = None


class JobError(Exception):
    """Anything about a job that the crew must be told."""


class EditRefused(JobError):
    """A change that can't be made to this job."""
