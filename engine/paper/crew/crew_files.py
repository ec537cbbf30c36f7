"""The crew's sheets put on the disk; each says of which version of the job it is, and a job that is signed off gets none."""

from os.path import isdir
from pathlib import Path

from engine.calc.dates import format_date
from engine.job.errors import NotWritten
from engine.job.file.disk import Disk
from engine.job.file.heading import Heading
from engine.job.file.store import Loaded
from engine.job.file_names import ENDING
from engine.paper.crew.crew_sheets import crew_html
from engine.paper.written_files import free_beside, write_files
from engine.walk import walk

FORM = ".html"


def write_sheets(loaded: Loaded, out: Path, *, unsaved: bool = False, replacing: bool = False, disk: Disk | None = None) -> Path:
    """Write the sheets of an opened job as one page, over an older one only where `replacing` is said; `unsaved` is whether the job holds
    more than its file.

    Raises: NotWritten, one sentence: for a job that is signed off, a job file's name, an ending that isn't .html.
    """
    disk = disk or Disk()
    if loaded.sealed:
        raise NotWritten(loaded.path, "is signed off, so nothing is left to work by: print its record, or reopen it for more work.")
    if out.suffix.lower() == ENDING:
        raise NotWritten(out, f"crew sheets can't be written over a job file. Give them a name that ends in {FORM}.")
    if out.suffix.lower() != FORM or isdir(out):
        raise NotWritten(out, f"crew sheets are a page to print: give them a name that ends in {FORM}.")
    if disk.realpath(out) == disk.realpath(loaded.path):
        raise NotWritten(out, "is the job file itself. Give the sheets another name.")
    page = crew_html(loaded.job, walk(loaded.job), planned_words(loaded.heading, unsaved))
    return write_files(disk, {out: page}, replacing=replacing)[0]


def planned_words(heading: Heading, unsaved: bool = False) -> str:
    """Which version of a job a sheet is of: `as planned on 11/24/2026 from revision 12`."""
    on = f"as planned on {format_date(heading.saved_at.date())}" if heading.saved_at else "as planned in a file without a date,"
    more = " and what isn't saved yet" if unsaved else ""
    return f"{on} from revision {heading.revision}{more}"


def free_sheets_name(job_file: Path) -> Path:
    """A name for sheets beside their job file that nothing stands under yet: `yard-sheets.html`, `yard-sheets-2.html` and so on."""
    return free_beside(job_file, "sheets", FORM)
