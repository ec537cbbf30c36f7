"""Rows of words as a CSV text that a spreadsheet reads as words."""

import csv
import io
import re
from collections.abc import Iterable, Sequence

_PLAIN_NUMBER = re.compile(r"-[\d,.]+[\d'\"/ .,-]*")


def csv_text(columns: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """A CSV text: lines end with CR LF, the first one names the columns. A cell that a spreadsheet would take for a formula starts with an
    apostrophe. Source: RFC 4180, section 2."""
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\r\n")
    writer.writerow(columns)
    writer.writerows([_harmless(cell) for cell in row] for row in rows)
    return text.getvalue()


def _harmless(cell: str) -> str:
    risky = cell.startswith(("=", "+", "@", "\t")) or (cell.startswith("-") and not _PLAIN_NUMBER.fullmatch(cell))
    return f"'{cell}" if risky else cell
