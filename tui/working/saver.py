"""The way to the disk: the open job's working copy, saved in a thread of its own, one save at a time and always the newest job.

The screen never waits for the disk. What a thread brings home lies in a box until the screen's thread takes it in with `land`.
It also paints first: threads of one program take turns, so a save starts when no key has come for a moment, which is about when it came
to an end beside the painting. "Saved" is said when it is on disk. Leaving, Ctrl+C, a fault, a signal and a closed terminal don't wait
for that moment: each goes by `send` or `finish`. Only a machine that goes dark within it takes the last key with it, as it ever could.
"""

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from queue import Empty, SimpleQueue
from threading import Thread, Timer
from time import monotonic
from typing import TYPE_CHECKING

from engine.calc.frozen import dataclass
from engine.calc.units import in_hand
from engine.job.errors import JobError, NotSaved, shown
from engine.job.file.disk import Disk, digest, read_whole, remove
from engine.job.file.store import Loaded, keep_elsewhere, load, state_folder
from engine.job.model.job import Job
from tui.working.working_copy import Outcome, Request, Working, kept_words, landed, looked, sending

if TYPE_CHECKING:
    from engine.job.merge.asked import Keep

Mark = tuple[int, int, int]
"""When a file was written, how long it is, and which one: what tells without reading it that it is another."""
PAUSE_S = 0.15
"""How long no change may come before those that came are saved: about what the screen takes to paint one."""
LONGEST_PAUSE_S = 0.5
"""How long after the first of them they are saved at the latest, where the hand doesn't rest."""
SLOW_S = 2.0
"""How long a save may take before the crew is told that the disk doesn't answer."""
AGAIN_S = 5.0
"""How long after a failed save the next try is made."""
LOOK_S = 2.0
"""How often the file is looked at for what another laptop saved."""
LAST_WAIT_S = 5.0
"""How long the program stays for the disk when it is left in spite of it."""
HOLD_TRIES, HOLD_PAUSE_S = 20, 0.005
"""How often a copy is tried to be held that is being looked at, and how long is waited in between."""


@dataclass(frozen=True)
class RescueCopy:
    """A copy of the job made elsewhere while the disk hangs; `path` is None where that failed too."""

    path: Path | None


@dataclass(frozen=True)
class Seen:
    """The file as another laptop left it, looked at while `known` was what we knew of it; `apart` is whether it doesn't come from that."""

    known: Loaded
    now: Loaded
    apart: bool


@dataclass(frozen=True)
class Gone:
    """Whether the file was there no more, when it was looked at while `known` was what we knew of it."""

    known: Loaded
    gone: bool


class Saver:
    """Holds the working copy. `change` takes an edited one and sees it saved; `tell` is called, from the thread, when one came back."""

    def __init__(self, working: Working, disk: Disk | None = None, state: Path | None = None) -> None:
        self._working = working
        in_hand(working.job.job.units)
        self.disk, self.state = replace(disk or Disk(), claim=self._claim), state or state_folder()
        self.tell: Callable[[], None] = lambda: None
        self._box: SimpleQueue[Outcome | RescueCopy | Seen | Gone] = SimpleQueue()
        self._mark: Mark | None = None
        self._looked, self._looking = monotonic(), False
        self._since = self._first = monotonic()
        self._due: float | None = None
        self._kept: Job | None = None
        self._held: dict[Path, Callable[[], None]] = {}
        """What lets go of each copy kept elsewhere: it is this window's from before it is written until it is away, or the window is."""
        self._over = False
        self._answered: Keep | None = None
        """What was answered while a save was under way: it goes with the next."""

    @property
    def working(self) -> Working:
        """The job as it stands in hand; whatever the screen says of lengths is in its units."""
        return self._working

    @working.setter
    def working(self, working: Working) -> None:
        if working.rescue is not None and working.rescue not in self._held:
            self._claim(working.rescue)
        self._working = working
        in_hand(working.job.job.units)

    @property
    def at_rest(self) -> bool:
        """Whether nothing is on its way to the disk or about to be, or has come back and isn't taken in yet."""
        return self.working.sent is None and self._due is None and self._box.empty()

    def change(self, working: Working) -> None:
        """Another working copy in hand; what isn't on disk of it is sent there once the hand rests."""
        self.working, now = working, monotonic()
        if self._due is None:
            self._first = now
        self._due = min(now + PAUSE_S, self._first + LONGEST_PAUSE_S)
        timer = Timer(max(0.0, self._due - now), self.tell)
        timer.daemon = True
        timer.start()

    def send(self, keep: "Keep | None" = None) -> None:
        """Save the job in hand at once; where a save is under way the newest is saved right after that one."""
        self._due = None
        before, self.working = self.working.sent, sending(self.working, keep)
        self._answered = keep if before is not None and keep is not None else self._answered
        request = self.working.sent
        if request is not None and request is not before:
            self._since = monotonic()
            self._in_a_thread(lambda: stored(request, self.disk, self.state))

    def land(self) -> bool:
        """Take in what came back, in the screen's thread; whether anything did. What was edited meanwhile is sent next."""
        arrived = not self._box.empty()
        while not self._box.empty():
            self._take_in(self._box.get())
        self._send_once_rested()
        return arrived

    def _send_once_rested(self) -> None:
        if self._due is not None and monotonic() >= self._due:
            self.send()

    def _take_in(self, came: Outcome | RescueCopy | Seen | Gone) -> None:
        """A copy that came when no save was under way any more is not needed: the save made its own, or none is left to make."""
        before = self.working.rescue
        if isinstance(came, Gone):
            if came.known is self._known and self.working.sent is None:
                self.working = replace(self.working, gone=came.gone)
            return
        if isinstance(came, Seen) and self.working.conflicts:
            if came.known is self._known:
                self._ask_anew()
            return
        if isinstance(came, Seen):
            if came.known is self.working.loaded:
                self.working = looked(self.working, came.now, apart=came.apart)
            if came.apart:
                self.send()
            return
        if isinstance(came, RescueCopy):
            if self.working.sent is None:
                self.discard(came.path)
            elif came.path is not None:
                self.working = replace(self.working, rescue=came.path)
                self._say_slow()
                self.discard(before)
            return
        self.working, self._since, self._kept = landed(self.working, came), monotonic(), None
        for path in {before, came.request.rescue} - {self.working.rescue}:
            self.discard(path)
        if came.rescue is not None and self.working.rescue is None:  # left out of a signed file: it waits for nothing here
            self._let_go_of(came.rescue)
        answered, self._answered = self._answered, None
        if self.working.conflicts and answered is not None:
            self.send(answered)
        elif self.working.job is not came.request.job and not self.working.conflicts and self._due is None:
            self.send()

    @property
    def _known(self) -> Loaded:
        """The file as it was seen last: what was read or saved, or what a question is about."""
        return self.working.asked_of or self.working.loaded

    def _ask_anew(self) -> None:
        """The file is another one than the one that is asked about: joined with that, something else is to be asked, or nothing."""
        from engine.job.merge.asked import Keep

        self.send(Keep(self.working.answers))

    def discard(self, path: Path | None) -> None:
        """Take away a copy whose work is in its file, or in a newer copy, and let go of it once it is away."""
        if path is not None:
            Thread(target=self._take_away, args=(path,), daemon=True).start()

    def _take_away(self, path: Path) -> None:
        if remove(self.disk, path):
            self._let_go_of(path)

    def _claim(self, path: Path) -> Callable[[], None]:
        if not self._over:
            self._held[path] = held(self.disk, path)
        return lambda: self._let_go_of(path)

    def _let_go_of(self, path: Path) -> None:
        self._held.pop(path, lambda: None)()

    def let_go(self) -> None:
        """The window goes: what waits for the file waits in it no more."""
        self._over = True
        for path in (*self._held,):
            self._let_go_of(path)

    def tend(self) -> None:
        """Look after a job that isn't on disk: while the disk hangs keep a copy elsewhere, after it failed try again."""
        self._send_once_rested()
        waited_s, working = monotonic() - self._since, self.working
        if working.sent is not None and waited_s >= SLOW_S:
            self._say_slow()
            if self._kept is not working.job:
                self._kept = working.job
                self._in_a_thread(self._keep_a_copy)
        elif working.sent is None and working.trouble and not working.conflicts and waited_s >= AGAIN_S:
            self.send()
        elif self.at_rest and (working.saved or working.conflicts) and not self._looking and monotonic() - self._looked >= LOOK_S:
            self._looking = True
            Thread(target=self._look, args=(self._known, working.gone), name="looker", daemon=True).start()

    def _look(self, known: Loaded, gone: bool) -> None:
        """In a thread: the file is read only where its mark is another one; what can't be read now is looked at again later."""
        try:
            mark = _mark_of(self.disk, known.path)
            if gone != (mark is None):
                self._box.put(Gone(known, mark is None))
                self.tell()
            if mark not in (self._mark, None) and digest(read_whole(self.disk, known.path)) != known.digest:
                self._box.put(_seen(known, load(known.path, disk=self.disk, state=self.state)))
                self.tell()
            self._mark = mark
        except (OSError, JobError):
            return
        finally:
            self._looked, self._looking = monotonic(), False

    def _say_slow(self) -> None:
        if self.working.sent is not None:
            self.working = replace(self.working, slow=slow_words(self.working.rescue))

    def finish(self, wait_s: float = LAST_WAIT_S) -> str:
        """The last thing before the program ends: one more try, else a copy elsewhere; a sentence where the work isn't in its file."""
        end = monotonic() + wait_s
        self.send()
        while self.working.sent is not None and monotonic() < end:
            self._wait(end)
        if self.working.saved:
            return ""
        if self.working.sent is not None:
            self._in_a_thread(self._keep_a_copy)
            self._wait(end + wait_s)
        self.let_go()
        path = self.working.rescue
        kept = f"They are kept in {path}." if path else "No copy could be kept elsewhere."
        return f"{self.working.loaded.path.name}: the last changes are not in the file. {kept}"

    def _wait(self, end: float) -> None:
        try:
            self._take_in(self._box.get(timeout=max(0.01, end - monotonic())))
        except Empty:
            return

    def _keep_a_copy(self) -> RescueCopy:
        working = self.working
        return RescueCopy(keep_elsewhere(working.loaded, working.job, working.clock(), disk=self.disk, state=self.state))

    def _in_a_thread(self, work: Callable[[], Outcome | RescueCopy]) -> None:
        def run() -> None:
            self._box.put(work())
            self.tell()

        Thread(target=run, name="saver", daemon=True).start()


def held(disk: Disk, copy: Path) -> Callable[[], None]:
    """What lets go of a copy that is held from now on, where it can be; one that somebody just looks at is free in a moment."""
    for _ in range(HOLD_TRIES):
        try:
            return disk.hold(copy)
        except BlockingIOError:
            disk.sleep(HOLD_PAUSE_S)
        except OSError:
            break
    return lambda: None


def _seen(known: Loaded, now: Loaded) -> Seen:
    from engine.job.versions.ancestors import came_from

    return Seen(known, now, apart=came_from(now, known) is False)


def _mark_of(disk: Disk, path: Path) -> Mark | None:
    """None where there is no file."""
    try:
        found = disk.stat(path)
    except (FileNotFoundError, NotADirectoryError):
        return None
    return found.st_mtime_ns, found.st_size, found.st_ino


def stored(request: Request, disk: Disk, state: Path) -> Outcome:
    """One save, from its first byte to its last; what keeps the work out of its file comes back as words, with a copy kept elsewhere."""
    from engine.job.versions.sharing import save_shared

    loaded, job, at = request.loaded, request.job, request.at
    try:
        shared = save_shared(loaded, job, at, request.keep, base=request.base, taken=request.taken, disk=disk, state=state)
    except JobError as error:
        kept = error.rescue if isinstance(error, NotSaved) else None
        return Outcome(request, error=error, rescue=kept or request.rescue)
    except Exception as error:  # a fault of ours must not end the thread in silence: the crew would wait for "saved" for ever
        kept = keep_elsewhere(loaded, job, at, disk=disk, state=state) or request.rescue
        fault = NotSaved(loaded.path, f"the program met a fault ({shown(repr(error), 200)}).", kept)
        return Outcome(request, error=fault, rescue=kept)
    kept = keep_elsewhere(loaded, job, at, disk=disk, state=state) if shared.conflicts or shared.left_out else None
    if shared.left_out and kept is None:
        return Outcome(request, error=NotSaved(loaded.path, "the job was signed off meanwhile, and no copy of yours could be kept.", None))
    return Outcome(request, shared, rescue=kept)


def slow_words(rescue: Path | None) -> str:
    """What to say while the disk doesn't answer."""
    return f"Not saved yet: the disk doesn't answer. Go on working, and don't switch off. {kept_words(rescue)}"
