"""Work that goes into the job under a name: asked for where it isn't known, and offered on no sealed job."""

from collections.abc import Awaitable, Callable
from functools import wraps
from inspect import iscoroutine
from typing import Any, Protocol, TypeVar

from engine.job.edit.edits import reopen
from tui.boxes.job_screen import JobScreen


class OnScreen(Protocol):
    """Keys of a screen."""

    @property
    def screen(self) -> JobScreen:
        """The screen they belong to."""


Keys = TypeVar("Keys", bound=OnScreen)
Act = Callable[[], object]


def in_name(screen: JobScreen, act: Act, *, sealed_too: bool = False) -> None:
    """Does what is asked once it is known who does it; says why where nothing may be done."""
    screen.said_now = False
    if screen.may_change(sealed_too=sealed_too):
        if screen.hand.working.by:
            _do(screen, act)
        else:
            screen.begin(_ask_first(screen, act))


async def _ask_first(screen: JobScreen, act: Act) -> None:
    if await ask_who(screen):
        _do(screen, act)


def _do(screen: JobScreen, act: Act) -> None:
    doing = act()
    if iscoroutine(doing):
        screen.begin(doing)


async def ask_who(screen: JobScreen) -> bool:
    """Whether somebody is working now; the name is kept for this laptop."""
    from tui.boxes.who_box import WhoDialog

    name = await screen.ask(WhoDialog(screen.hand.job.job.crew, screen.hand.working.by))
    if name is not None:
        screen.hand.works_as(name)
    return name is not None


async def ask_to_reopen(screen: JobScreen) -> None:
    """A sealed job opened again, once it was said why and what that does was seen."""
    from tui.boxes.choice import Ask

    def seen(why: str) -> Awaitable[bool]:
        from engine.paper.seal_check import reason_kept

        why = reason_kept(why, screen.hand.working.loaded.seal_holds, screen.hand.working.touched)
        says = f"Reopened: {why.rstrip('.')}. The signature is struck and the record goes; the next sign-off writes a new one."
        return screen.shown_first("Reopen the job", "reopened", lambda job, at, by: reopen(job, why, at, by), says=says, again="reopen it")

    await screen.ask_then(Ask("Reopen the job", "It is signed off and sealed. Say why you reopen it.", "why"), seen)


def by_name(action: Callable[[Keys], object]) -> Callable[[Keys], None]:
    """An action that needs a name; on a sealed job it says how to reopen it."""

    @wraps(action)
    def asked(keys: Keys) -> None:
        in_name(keys.screen, lambda: action(keys))

    return asked


def by_name_sealed_too(action: Callable[[Keys], object]) -> Callable[[Keys], None]:
    """An action that needs a name, on a sealed job too."""

    @wraps(action)
    def asked(keys: Keys) -> None:
        in_name(keys.screen, lambda: action(keys), sealed_too=True)

    return asked


def asks(action: Callable[[Keys], Any]) -> Callable[[Keys], None]:
    """An action that asks and waits for answers, beside the keys."""

    @wraps(action)
    def begun(keys: Keys) -> None:
        keys.screen.said_now = False
        keys.screen.begin(action(keys))

    return begun
