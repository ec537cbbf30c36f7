"""Names that stand in a box or in a called line, followed where what they name is called otherwise meanwhile."""

import re
from collections.abc import Collection, Mapping
from typing import TYPE_CHECKING

from engine.job.edit.called_shot import says_kind
from engine.job.model.cross_checks import point_names
from engine.job.model.job import Job
from engine.job.model.words.field_words import NAME
from tui.entry.forms import Field, Form

if TYPE_CHECKING:
    from tui.working.called_now import NewNames

CAME = "{} came in from another laptop meanwhile. Enter once more means that one; a point of your own wants another name."

_TABLES = {
    "": (), "points": ("points",), "stations": ("points",), "grounds": ("points",), "meets": ("structures", "trees", "lines"),
    "lines": ("lines",), "yards": ("yards",),
}  # fmt: skip
"""By what a box is picked from, the tables that it names records of; all others are kinds of stock."""
_WORD = re.compile(r"[^\s,]+")


def box_called(form: Form, field: Field, text: str, names: "NewNames", record: str | None) -> str:
    """What stands in a box of a form, with the names that hold now; its own name is that of the record that is open."""
    if field.key == NAME:
        return names.record(form.table, text) if text == record else text
    return names.words(text, _TABLES.get(field.pick, ("stock",)), lengths=field.pick == "stations")


def line_called(text: str, names: "NewNames", method: str) -> str:
    """A shot as it is called out, with the names that hold now."""
    kind, blank, rest = text.partition(" ") if says_kind(text) else ("", "", text)
    return f"{kind}{blank}{names.words(rest, ('lines', 'points') if method == 'level' else ('points',), lengths=True)}"


def come_since(points: Collection[str], job: Job, named: Mapping[str, str]) -> dict[str, str]:
    """By box the point it names that wasn't among these and is there now."""
    come = point_names(job) - set(points)
    found = {key: next((word for word in _WORD.findall(text) if word in come), "") for key, text in named.items()}
    return {key: name for key, name in found.items() if name}
