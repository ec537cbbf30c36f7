"""Rows of words as a CSV text that a spreadsheet reads as words."""

import csv
import io
import re
from collections.abc import Iterable, Sequence

from engine.job.model.job import Job

RESTS_ON = {True: "estimate", False: "survey"}
"""What a table's figures rest on, by whether that is what was said before anything was surveyed."""
_PLAIN_NUMBER = re.compile(r"-[\d,.]+[\d'\"/ .,-]*")


def csv_text(columns: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """A CSV text: lines end with CR LF, the first one names the columns. A cell that a spreadsheet would take for a formula starts with an
    apostrophe. Source: RFC 4180, section 2."""
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\r\n")
    writer.writerow(columns)
    writer.writerows([_harmless(cell) for cell in row] for row in rows)
    return text.getvalue()


def job_name(job: Job) -> str:
    """What a row says of which job it is: its number, its title where it has none."""
    return job.job.number or job.job.title


def in_one_word(head: str) -> str:
    """A head as other programs like it: `opening read` is opening_read; words never end like a figure's head in inches."""
    name = "_".join(re.findall(r"\w+", head.lower()))
    return f"{name}_what" if name.endswith("_in") else name


def marked(text: str) -> str:
    """A CSV text as it is put into a file: behind a byte order mark, by which spreadsheet programs know UTF-8; without it they take a
    letter with an accent for two of the machine's old code page. Source: RFC 3629, section 6."""
    return f"\N{ZERO WIDTH NO-BREAK SPACE}{text}"


def _harmless(cell: str) -> str:
    risky = cell.startswith(("=", "+", "@", "\t")) or (cell.startswith("-") and not _PLAIN_NUMBER.fullmatch(cell))
    return f"'{cell}" if risky else cell
