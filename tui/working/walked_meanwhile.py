"""A job just read, walked by a child process while this one imports the screen: to work it out takes about as long as to import that.

The child is a copy of this process, which has read the file: it opens no job, takes no lock and prints nothing; it hands over its walk and
is gone. Where no child can be (other systems, one processor, threads that a copy would stop amid their work), and where it comes to
nothing, the job is walked here: to the same walk, or the same fault.
"""

import copyreg
import os
import pickle
import signal
import sys
from contextlib import suppress
from functools import partial
from io import BytesIO
from select import select
from threading import active_count
from typing import Any, BinaryIO, NoReturn

from engine.job.model.base import Part
from engine.job.model.job import Job
from engine.walk import Walk, take_in, walk
from tui.working.working_copy import Walked

PATIENCE_S = 10.0
"""How long a child is waited for: none needs that, but one that hangs must not keep the screen from opening."""


def walked_meanwhile(job: Job) -> Walked:
    """Begin to walk a job; what is given tells the walk, and waits for it."""
    if not may_have_a_child():
        return partial(walk, job)
    reading, writing = os.pipe()
    reads, writes = os.fdopen(reading, "rb"), os.fdopen(writing, "wb")
    try:
        child = os.fork()
    except OSError:  # too many processes
        reads.close()
        writes.close()
        return partial(walk, job)
    if child == 0:
        reads.close()  # so that it ends when nobody is left to read it
        _hand_over(job, writes)
    writes.close()
    return partial(_taken_over, job, child, reads)


def may_have_a_child() -> bool:
    """Whether a screen is about to open, and a copy of this process can work beside it, safely and to any use."""
    on_a_terminal = os.isatty(0) and os.isatty(2)
    return on_a_terminal and sys.platform == "linux" and active_count() == 1 and len(os.sched_getaffinity(0)) > 1


def _hand_over(job: Job, writes: BinaryIO) -> NoReturn:
    """All of the child's life: whatever it meets is met and told by its parent, which then walks itself."""
    try:
        nowhere = os.open(os.devnull, os.O_RDWR)
        for stream in (0, 1, 2):
            os.dup2(nowhere, stream)
        with writes:
            writes.write(told(walk(job), job))
    finally:
        os._exit(0)


def _taken_over(job: Job, child: int, reads: BinaryIO) -> Walk:
    with reads:
        if not select([reads], [], [], PATIENCE_S)[0]:
            os.kill(child, signal.SIGKILL)
        came = reads.read()
    try:
        walked = heard(came, job)
    except (EOFError, pickle.UnpicklingError):  # it came to nothing, or to half
        walked = walk(job)
    else:
        take_in(walked)
    with suppress(ChildProcessError):  # who started this program may have asked that its children are never waited for
        os.waitpid(child, 0)
    return walked


def told(walked: Walk, job: Job) -> bytes:
    """A walk in bytes; parts of the job, which both have, are told by their places in it."""
    parts = _parts(job)
    places = {id(part): place for place, part in enumerate(parts)}

    def part_told(part: Part) -> str | tuple[Any, ...]:
        place = places.get(id(part))
        return part.__reduce_ex__(pickle.HIGHEST_PROTOCOL) if place is None else (part_of_the_job, (place,))

    written = BytesIO()
    pickler = pickle.Pickler(written, pickle.HIGHEST_PROTOCOL)
    pickler.dispatch_table = {**copyreg.dispatch_table, **dict.fromkeys({type(part) for part in parts}, part_told)}
    pickler.dump(walked)
    return written.getvalue()


def heard(came: bytes, job: Job) -> Walk:
    """The walk that was told of this job."""
    walked: Walk = _Heard(came, job).load()
    return walked


class _Heard(pickle.Unpickler):
    def __init__(self, came: bytes, job: Job) -> None:
        super().__init__(BytesIO(came))
        self._parts = _parts(job)

    def find_class(self, module: str, name: str) -> Any:
        return self._parts.__getitem__ if name == part_of_the_job.__name__ else super().find_class(module, name)


def part_of_the_job(place: int) -> Part:
    """Stands in a told walk for the part of the job at a place; whoever hears it knows the job."""
    raise LookupError(place)


def _parts(job: Job) -> list[Part]:
    """Parts of a job in an order of its own."""
    held = [every for field in vars(job).values() for every in (field.values() if isinstance(field, dict) else (field,))]
    return [part for part in (*held, *job.log) if isinstance(part, Part)]
