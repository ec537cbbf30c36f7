"""The app: our two themes, the jobs screen or one job, and who is working."""

import gc
import getpass
import os
from pathlib import Path
from typing import ClassVar

from textual.app import App
from textual.binding import Binding, BindingType

from engine.job.store import Loaded
from tui.theme import DUSK, SUN, install, role_defaults
from tui.working import open_working


class LinewalkApp(App[int]):
    """Opens on one job or on a folder of them."""

    TITLE = "Linewalk"
    ENABLE_COMMAND_PALETTE = False
    BINDINGS: ClassVar[list[BindingType]] = [Binding("ctrl+c", "quit", show=False, priority=True)]

    def __init__(self, *, loaded: Loaded | None = None, folder: Path | None = None, by: str = "") -> None:
        super().__init__()
        self.loaded, self.folder, self.by = loaded, folder, by
        install(self, SUN if os.environ.get("LINEWALK_COLOURS", "") == "sun" else DUSK)

    def get_theme_variable_defaults(self) -> dict[str, str]:
        """Our colour roles, known to every style sheet before a theme is set."""
        return role_defaults()

    def on_mount(self) -> None:
        """Open what was named on the command line."""
        if self.loaded is not None:
            self.open_job(self.loaded)
        elif self.folder is not None:
            from tui.screens.jobs import JobsScreen

            self.push_screen(JobsScreen(self.folder))

    def open_job(self, loaded: Loaded) -> None:
        """One job in the walk screen."""
        from tui.screens.walk import WalkScreen

        crew = loaded.job.job.crew
        self.push_screen(WalkScreen(open_working(loaded, self.by or (crew[0] if crew else _login()))))
        gc.collect()
        gc.freeze()  # what stands now stays: a later sweep over all of it would hold up a key by several frames


def _login() -> str:
    try:
        return getpass.getuser()
    except (KeyError, OSError):
        return "crew"


def run_job(loaded: Loaded, by: str) -> int:
    """Open one job; the exit code is 0."""
    return LinewalkApp(loaded=loaded, by=by).run() or 0


def run_folder(folder: Path, by: str) -> int:
    """Open the jobs of a folder; the exit code is 0."""
    return LinewalkApp(folder=folder, by=by).run() or 0
