"""A job in hand, for the tests of the working copy and of its way to the disk: edits, a clock, and a save that is waited for."""

from datetime import datetime, timedelta

from engine.job.edit import edits
from engine.job.file.disk import Disk
from engine.job.file.store import state_folder
from engine.job.merge.asked import Keep, Side
from engine.job.model.item_key import ItemKey, item_key
from engine.job.model.job import Job
from engine.job.model.log_entries import live
from engine.paper.as_built import build_record
from engine.walk import walk
from tests.demo import AT
from tui.working import working_copy as in_hand
from tui.working.saver import stored
from tui.working.working_copy import Edit, Working, landed, sending

FLAG, OTHER = item_key("layout.P4.flag"), item_key("layout.P5.flag")


class Clock:
    """A minute later each time it is asked."""

    def __init__(self) -> None:
        self.asked = 0

    def __call__(self) -> datetime:
        self.asked += 1
        return AT + timedelta(minutes=self.asked)


def put(working: Working, keep: Side | None = None) -> Working:
    """The working copy once the job in hand was saved, or couldn't be."""
    return home(sending(working, Keep(otherwise=keep) if keep else None))


def home(sent: Working, now: Working | None = None) -> Working:
    """The working copy as it is now once the save that was under way came back."""
    return landed(now or sent, stored(sent.sent, Disk(), state_folder())) if sent.sent else sent


def edited(working: Working, words: str, edit: Edit) -> Working:
    return put(in_hand.edited(working, words, edit))


def undone(working: Working) -> tuple[Working, str]:
    back = in_hand.undone(working)
    return put(back.working), back.words


def redone(working: Working) -> tuple[Working, str]:
    forth = in_hand.redone(working)
    return put(forth.working), forth.words


def ticked(key: ItemKey) -> Edit:
    return lambda job, at, by: edits.tick(job, key, at, by)


def noted(text: str) -> Edit:
    return lambda job, at, by: edits.note(job, text, at, by)


def titled(title: str) -> Edit:
    return lambda job, _at, _by: job.model_copy(update={"job": job.job.model_copy(update={"title": title})})


def signed(job: Job, at: datetime, by: str) -> Job:
    return edits.sign(job, build_record(job, walk(job), at, by, "the client", {}), at, by, "the client")


def reopened(job: Job, at: datetime, by: str) -> Job:
    return edits.reopen(job, "one more gate", at, by)


def notes(job: Job) -> list[str]:
    return [entry.text for entry in live(job.log) if entry.kind == "note"]


def standing(job: Job) -> Job:
    """The job without what was struck."""
    return job.model_copy(update={"log": live(job.log)})
