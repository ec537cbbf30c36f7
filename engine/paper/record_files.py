"""The record put on the disk: one page, one text, or a folder of tables; a job file is never written over."""

from collections.abc import Sequence
from os.path import isdir
from pathlib import Path
from typing import Literal

from engine.job.errors import NotWritten
from engine.job.file.disk import Disk
from engine.job.file.store import Loaded
from engine.job.file_names import ENDING
from engine.paper.client.client_page import client_html
from engine.paper.firm.firm_file import firm_on_page
from engine.paper.photos.photos_on_page import photos_on_page
from engine.paper.record_office import OF_SOME_JOBS, record_text
from engine.paper.record_page import record_html
from engine.paper.seal_check import seal_broken
from engine.paper.tables.csv_tables import file_name, record_csv, record_markdown
from engine.paper.tables.csv_text import marked
from engine.paper.written_files import free_beside, part_of, write_files, write_into_folder
from engine.walk import walk

Reader = Literal["office", "client"]
FORMS = ".html, .md, .txt, .csv, or a folder (a name that ends in /)"


def write_record(
    loaded: Loaded,
    out: Path,
    *,
    reader: Reader = "office",
    unsaved: bool = False,
    as_folder: bool = False,
    replacing: bool = False,
    disk: Disk | None = None,
    state: Path | None = None,
) -> tuple[Path, ...]:
    """Write the record of an opened job as its ending says: `.html`, `.md`, `.txt`, or one CSV a table for `.csv` and a folder.

    `record.csv` gives `record-supports.csv` and so on; a folder is made where there is none. A file that is there is replaced only where
    `replacing` is said. The client's copy is a page and nothing else. Pages have the firm's head, out of its own file, and say
    where the job is `unsaved`: where it holds more than its file.

    Raises: NotWritten, one sentence, also for a job file's name and for an ending it doesn't know; FirmRefused.
    """
    disk = disk or Disk()
    into_folder = as_folder or isdir(out)
    _refuse(loaded, out, into_folder, disk)
    ending = out.suffix.lower()
    page = ending == ".html" and not into_folder
    if reader == "client" and not page:
        raise NotWritten(out, "the client's copy is a page to print: give it a name that ends in .html.")
    firm = firm_on_page(loaded, disk=disk, state=state) if page else None
    worked = walk(loaded.job)
    seal = seal_broken(loaded, worked, disk=disk, state=state)
    if reader == "client":
        texts = {out: client_html(loaded.job, worked, firm, loaded.seal_holds, seal, unsaved)}
    elif into_folder or ending == ".csv":
        tables = record_csv(loaded.job, worked, seal).items()
        texts = {out / f"{name}.csv" if into_folder else part_of(out, name): marked(text) for name, text in tables}
    elif ending == ".html":
        photos = photos_on_page(loaded, disk)
        texts = {out: record_html(loaded.job, worked, loaded.seal_holds, loaded.seal_says, seal, photos, firm, unsaved)}
    elif ending == ".md":
        texts = {out: record_markdown(loaded.job, worked, seal)}
    else:
        texts = {out: record_text(loaded.job, worked, seal)}
    if into_folder:
        return write_into_folder(disk, out, texts, replacing=replacing)
    return write_files(disk, texts, replacing=replacing)


def older_words(written: Sequence[Path]) -> tuple[str, ...]:
    """A sentence for each table that lies where a record's were written and that this record hasn't: it is of an older one."""
    supports = next((path for path in written if path.name.endswith("supports.csv")), None)
    if supports is None:
        return ()
    names = (f"{supports.name.removesuffix('supports.csv')}{file_name(title)}.csv" for title in OF_SOME_JOBS)
    there = (supports.with_name(name) for name in names)
    return tuple(f"{one} is of an older record: this one has no such table." for one in there if one not in written and one.exists())


def free_page_name(job_file: Path, reader: Reader = "office") -> Path:
    """A name for a page beside its job file that nothing stands under yet: `yard-record.html`, `yard-record-2.html` and so on; of the
    client's copy `yard-client.html`."""
    return free_beside(job_file, "record" if reader == "office" else reader, ".html")


def _refuse(loaded: Loaded, out: Path, into_folder: bool, disk: Disk) -> None:
    if out.suffix.lower() == ENDING:
        raise NotWritten(out, f"a record can't be written over a job file. Give it {FORMS}.")
    if not into_folder and out.suffix.lower() not in (".html", ".md", ".txt", ".csv"):
        raise NotWritten(out, f"a record can be {FORMS}.")
    if disk.realpath(out) == disk.realpath(loaded.path):
        raise NotWritten(out, "is the job file itself. Give the record another name.")
