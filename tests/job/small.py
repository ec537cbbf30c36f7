"""A small job that uses most tables, and a hand-written text of it, for the file tests."""

from datetime import UTC, datetime, timedelta
from pathlib import Path

from engine.job.model.job import Job
from engine.job.model.log_entries import NoteEntry

NOW = datetime(2026, 11, 25, 14, 5, tzinfo=UTC)

HAND_WRITTEN = """\
format = 1

[job]
title = "Back yard"   # as the client calls it
crew = ["Ana", "Bo"]

[dogs.rex]
weight_lb = 50
shoulder_in = "22 in"
body_in = 30

[points.A]
east_ft = 0
north_ft = 0
[points.B]
east_ft = "40'"
north_ft = 0

[shots.S1]
method = "tie"
point = "T1"
from_a = "A"
from_b = "B"
tape_a_ft = "60' 0 1/2\\""
tape_b_ft = 72.11
side = "left"

[lines.fence]
points = ["A", "T1"]

[posts.P1]
line = "fence"
station_ft = 0
kind = "end"

[[log]]
id = "n1"
at = 2026-11-25T08:00:00-06:00
by = "Ana"
kind = "note"
text = "Gate side is soft."

[checks."posts.P1.driven_depth"]
at = 2026-11-25T09:00:00-06:00
by = "Bo"
reading_in = 20.5

[end]
complete = true
"""

SIGNED = {
    "signed_at": NOW,
    "signed_by": "Ana",
    "accepted_by": "the client",
    "engine": "0.1.0",
    "supports": {"P1": {"line": "fence", "station_ft": 0, "east_ft": 0, "north_ft": 0, "kind": "end", "support": "driven"}},
    "bays_ft": {"P1-P2": 24.5},
    "quantities": {"posts": 1},
}


def noted(job: Job, name: str, minute: int = 0) -> Job:
    """The job with one more note in its log."""
    entry = NoteEntry(id=name, at=NOW + timedelta(minutes=minute), by="Ana", kind="note", text=f"note {name}")
    return job.model_copy(update={"log": (*job.log, entry)})


def note_ids(job: Job) -> list[str]:
    """The ids of the log, without what became of ticks."""
    return [entry.id for entry in job.log if entry.kind != "superseded"]


def names(path: Path) -> list[str]:
    """The names in a file's folder, in order."""
    return sorted(found.name for found in path.parent.iterdir())
