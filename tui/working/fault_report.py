"""A fault of ours: a report file instead of a traceback over the crew's screen, and a code of its own to end with."""

import os
import traceback
from datetime import datetime
from pathlib import Path

FAULT = 3
"""What the program ends with after a fault of its own; never 1 or 2, which speak of the job."""


def fault_words(error: BaseException, folder: Path | None = None) -> str:
    """Writes a report into this program's own folder and says so in one sentence; nothing of the job is shown."""
    try:
        path = _write_report(error, folder or _report_folder())
    except OSError as unwritten:
        return f"Linewalk met a fault of its own ({type(error).__name__}), and no report of it could be written: {unwritten.strerror}."
    return f"Linewalk met a fault of its own. The report is in {path}; send it to whoever looks after the program."


def _report_folder() -> Path:
    from engine.job.file.store import state_folder

    return state_folder() / "faults"


def _write_report(error: BaseException, folder: Path) -> Path:
    """The report under a name that nothing has yet: version, time and where it happened."""
    from engine import __version__

    now = datetime.now().astimezone()
    text = f"linewalk {__version__}, {now.isoformat(timespec='seconds')}\n\n{''.join(traceback.format_exception(error))}"
    folder.mkdir(parents=True, exist_ok=True)
    path = folder / f"{now:%Y%m%d-%H%M%S}-{os.getpid()}.txt"
    with path.open("x", encoding="utf-8", errors="backslashreplace") as report:
        report.write(text)
    return path
