"""The app: our two themes, the jobs screen or one job, and who is working."""

import asyncio
import os
import signal
import sys
from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path
from time import monotonic
from typing import Any, ClassVar, TextIO

from rich.console import RenderableType
from rich.terminal_theme import TerminalTheme
from textual import work
from textual._compositor import CompositorUpdate
from textual.app import App
from textual.binding import Binding, BindingType
from textual.events import Event, InputEvent, Paste
from textual.filter import ANSIToTruecolor, LineFilter
from textual.screen import Screen
from textual.timer import Timer

from engine.job.edit.edits import read_alone
from engine.job.errors import JobError
from engine.job.file.disk import Disk
from engine.job.file.store import Loaded, load, state_folder
from tui.base.apart import apart
from tui.base.few_bytes import InFewBytes
from tui.base.key_buttons import press
from tui.base.key_order import KeyOrder
from tui.base.plain_characters import PlainCharacters
from tui.base.sure_timers import SureTimers
from tui.base.sweeping import Sweeping
from tui.base.terminal import alt_numbers_are_keys, is_plain
from tui.base.theme import DUSK, SUN, install, role_defaults
from tui.working.fault_report import FAULT, fault_words
from tui.working.job_in_hand import Follower, JobInHand
from tui.working.saver import Saver
from tui.working.who_works import remembered_name
from tui.working.working_copy import Walked, open_working

SWEEP_S = 0.5
"""How often it is looked whether the hand rests, so that what was thrown away can be swept up."""
SPARE_S = 0.005
"""The longest that a key waits for what is prepared as it comes."""


class LinewalkApp(SureTimers, App[int]):
    """Opens on one job or on a folder of them."""

    TITLE = "Linewalk"
    ENABLE_COMMAND_PALETTE = False
    CSS = """
    Toast { width: 1fr; max-width: 100%; padding: 0 1; margin-top: 0; background: $panel; color: $foreground; }
    ToastRack { dock: top; align: left top; margin-bottom: 0; overflow-y: hidden; }
    .-tall > ToastRack { dock: bottom; align: left bottom; }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("ctrl+c", "quit_now", show=False, priority=True),
        Binding("ctrl+q", "quit", show=False, priority=True),
    ]

    def __init__(
        self,
        *,
        loaded: Loaded | None = None,
        walked: Walked | None = None,
        folder: Path | None = None,
        by: str = "",
        disk: Disk | None = None,
    ) -> None:
        super().__init__()
        self.loaded, self.walked, self.folder, self.by, self.disk = loaded, walked, folder, by, disk
        self.hand: JobInHand | None = None
        self.opening = self._quitting = self._asking = False
        self._let_go = ""
        """What was agreed to be lost, as it was asked."""
        self._plain = (PlainCharacters(),) if is_plain() else ()
        alt_numbers_are_keys()
        self.sweeping = Sweeping()
        self._sweeps: Timer | None = None
        self._to_prepare = read_alone()
        self.key_order = KeyOrder(self, super().on_event, self._handle_exception)
        install(self, SUN if os.environ.get("LINEWALK_COLOURS", "") == "sun" else DUSK)

    def get_line_filters(self) -> Sequence[LineFilter]:
        """Plain characters where the terminal has no others, besides the library's own. Its filter of colours that a terminal knows by name
        is left out: there are none here, and it looks at every line."""
        return (*(one for one in super().get_line_filters() if not isinstance(one, ANSIToTruecolor)), *self._plain)

    @property
    def ansi_theme(self) -> TerminalTheme:
        """What such colours would be; asked for every line."""
        return self.ansi_theme_dark

    def get_theme_variable_defaults(self) -> dict[str, str]:
        """Our colour roles, known to every style sheet before a theme is set."""
        return role_defaults()

    async def on_event(self, event: Event) -> None:
        """What is typed goes on in its order, everything else at once."""
        if isinstance(event, InputEvent):
            self.sweeping.touched()
        if isinstance(event, InputEvent | Paste) and not event.is_forwarded:
            await self.key_order.take(event)
        else:
            await super().on_event(event)

    def _display(self, screen: Screen[Any], renderable: RenderableType | None) -> None:
        super()._display(screen, InFewBytes(renderable) if isinstance(renderable, CompositorUpdate) else renderable)

    def on_mount(self) -> None:
        if self.loaded is not None:
            self.open_job(self.loaded, self.walked)
        elif self.folder is not None:
            from tui.screens.jobs import JobsScreen

            self.push_screen(JobsScreen(self.folder))
            self.call_after_refresh(self._sweep_from_now_on)

    def open_file(self, path: Path, *, instead: bool = False) -> None:
        """Read a job and open it, `instead` of the one that is open, or say why it can't be read; a slow disk is waited for without holding
        up the screen. What is typed from now on is for that job."""
        self.opening = True
        self._open_file(path, instead)

    @work(exclusive=True)
    async def _open_file(self, path: Path, instead: bool) -> None:
        try:
            loaded = await apart(lambda: load(path, disk=self.disk))
        except JobError as error:
            self.notify(str(error), severity="error", markup=False, timeout=10)
        else:
            if instead:
                await self._close_job()
            self.open_job(loaded)
        self.opening = False

    async def _close_job(self) -> None:
        """Every screen of the job that is open, its walk screen last."""
        from tui.screens.walk_screen import WalkScreen

        while any(isinstance(screen, WalkScreen) for screen in self.screen_stack):
            await self.pop_screen()

    def open_job(self, loaded: Loaded, walked: Walked | None = None) -> None:
        """One job in the walk screen."""
        from tui.screens.walk_screen import WalkScreen

        if self.hand is not None:
            self.hand.saver.let_go()
        self.hand = JobInHand(Saver(open_working(loaded, self.by or remembered_name(state_folder()), walked=walked), self.disk))
        self.hand.followers = self._followers
        screen = WalkScreen(self.hand)
        # As wide as it will be from the start: the library finds that out once everything has its styles, and gives them out again.
        screen.add_class(*screen._get_breakpoint_classes(self.size.width, WalkScreen.HORIZONTAL_BREAKPOINTS))
        self.push_screen(screen)
        self.call_after_refresh(self._sweep_from_now_on)

    def on_unmount(self) -> None:
        """What waits for the file waits in no window any more."""
        if self.hand is not None:
            self.hand.saver.let_go()

    def _followers(self) -> list[Follower]:
        """The screens that show the job, as they lie on each other."""
        return [screen for screen in self.screen_stack if isinstance(screen, Follower) and screen.is_mounted]

    def _sweep_from_now_on(self) -> None:
        """Once something is seen: what was made until then stays."""
        if not self._sweeps:
            self._sweeps = self.set_interval(SWEEP_S, self._use_rest)
        self.sweeping.begin()

    def _use_rest(self) -> None:
        """Where nobody waits: what was thrown away is swept up, and then, little by little, what a first key would wait for is done."""
        self.sweeping.sweep_at_rest()
        until_s = monotonic() + SPARE_S
        while self.sweeping.rests and monotonic() < until_s and next(self._to_prepare, None):
            pass

    @property
    def at_rest(self) -> bool:
        """Whether nothing typed waits, no job is being opened, no folder read, and nothing is on its way to the disk."""
        screens = all(getattr(screen, "at_rest", True) for screen in self.screen_stack)
        return screens and self.key_order.at_rest and not self.opening and (self.hand is None or self.hand.saver.at_rest)

    async def action_quit_now(self) -> None:
        """As `action_quit`; where that asks already, leave at once."""
        if self._asking:
            self.exit()
        else:
            await self.action_quit()

    async def action_quit(self) -> None:
        """Leave, whatever is open, once what is typed may be lost. Where a change isn't on disk yet: once it is, or at a second press."""
        from tui.boxes.dialog import once_let_go

        if self._quitting:
            self.exit()
        elif not self._asking:
            self._asking = bool(self.not_kept)
            await once_let_go(self, self._leave, self._stay)

    @property
    def not_kept(self) -> str:
        """What is asked before all that is typed on any screen is thrown away."""
        asks = next(filter(None, (getattr(screen, "not_kept", "") for screen in reversed(self.screen_stack))), "")
        return f"This closes Linewalk. {asks}" if asks else ""

    def _stay(self) -> None:
        self._asking = False

    def _leave(self) -> None:
        self._asking = False
        if self.hand is None or self.hand.working.saved:
            self.exit()
            return
        self._quitting, self._let_go = True, self.not_kept
        self.notify("Waiting for the disk. Ctrl+C again leaves now, and keeps the work elsewhere.", severity="warning", timeout=10)
        self.hand.send()

    def action_light(self) -> None:
        self.theme = DUSK if self.theme == SUN else SUN

    def action_press(self, key: str) -> None:
        press(self, key)

    def _fatal_error(self) -> None:
        """A fault of ours: the screen closes without a word; report and rescue follow once the terminal is its own again."""
        self._close_messages_no_wait()

    def on_landed(self) -> None:
        """Something came back from the disk: whoever waits to leave may go, unless something was typed since."""
        if self._quitting and self.hand is not None and self.hand.working.saved:
            if self.not_kept in ("", self._let_go):
                self.exit()
            else:
                self._quitting = False
                self.notify("Everything is saved but what is typed here. Ctrl+C leaves.", severity="warning", timeout=10)


def run_job(loaded: Loaded, by: str, walked: Walked | None = None) -> int:
    """Open one job; the exit code is 0, 1 where the last changes are not in its file, 3 after a fault of ours."""
    return _run(LinewalkApp(loaded=loaded, walked=walked, by=by))


def run_folder(folder: Path, by: str) -> int:
    """Open the jobs of a folder; the exit code is as for one job."""
    return _run(LinewalkApp(folder=folder, by=by))


def _run(app: LinewalkApp) -> int:
    if not (_is_terminal(sys.__stdin__) and _is_terminal(sys.__stderr__)):
        raise JobError("A screen needs a terminal, and there is none here. `check`, `plan` and `record` print without one.")
    _save_before_dying(app)
    try:
        code = app.run() or 0
        if app._exception is not None:
            _say(fault_words(app._exception))
            code = FAULT
    except KeyboardInterrupt:
        code = 0  # asked to end from outside: as by its own key
    finally:
        left = _finish(app.hand)
    return code or (1 if left else 0)


def _save_before_dying(app: LinewalkApp) -> None:
    """A terminal that is closed, or somebody who ends the program: the work goes to the disk, then it ends as it would have."""

    def die(number: int) -> None:
        if app.hand is not None:
            app.hand.saver.finish()
        signal.signal(number, signal.SIG_DFL)
        os.kill(os.getpid(), number)

    def dying(number: int, _frame: object) -> None:
        try:
            asyncio.get_running_loop().call_soon_threadsafe(die, number)
        except RuntimeError:
            die(number)

    for name in ("SIGHUP", "SIGTERM"):
        if hasattr(signal, name):
            signal.signal(getattr(signal, name), dying)


def _finish(hand: JobInHand | None) -> bool:
    """However the screen came to its end: what isn't on disk yet goes there, or elsewhere. Whether it isn't in its file."""
    if hand is None or hand.working.saved:
        return False
    _say("Waiting for the disk ...")
    says = hand.saver.finish()
    _say(says or "Everything is saved.")
    return bool(says)


def _say(words: str) -> None:
    """To whoever still listens: the terminal may be gone, which must not keep the work from the disk."""
    with suppress(OSError):
        print(words, file=sys.stderr, flush=True)


def _is_terminal(stream: TextIO | None) -> bool:
    return stream is not None and stream.isatty()
