"""Why a form was refused: which of its fields a problem stands under, and in which words."""

import re

from engine.job.errors import PathInFile, Problem
from engine.job.model.words.refusals import as_a_tape_reads
from tui.entry.forms import Form

NEEDED = " is needed."


def field_of(form: Form, problem: Problem) -> str:
    """The field a problem stands under; an empty text for the form as a whole."""
    keys = [field.key for field in form.fields]
    inside = _inside(form, problem.path)
    if inside in keys:
        return inside
    return problem.field if problem.field in keys else ""


def _inside(form: Form, path: PathInFile) -> str:
    """The field of a path: behind the table, and behind the name where the table has several records."""
    place = 1 if form.single and not form.section else 2
    return str(path[place]) if len(path) > place and path[0] == form.table else ""


def in_words(form: Form, problem: Problem) -> str:
    """A sentence with the fields called as the form calls them, and a capital first, but not in what the crew typed."""
    said = as_a_tape_reads(problem.message, str(problem.path[-1]) if problem.path else "")
    said = said.replace(f"{form.section}.", "") if form.section else said
    for field in form.fields:
        if said == f"{field.key}{NEEDED}":
            return f"{field.label}{NEEDED}"
        if "_" in field.key:
            said = re.sub(rf"\b{field.key}\b", f"{field.label[:1].lower()}{field.label[1:]}", said)
    return said if said.startswith(str(problem.value)) else f"{said[:1].upper()}{said[1:]}"
