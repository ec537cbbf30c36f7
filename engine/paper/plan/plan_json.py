"""The whole walk as plain data for JSON: a head, nine stages by name, findings, take-off. The same bytes on every run and machine."""

import json
from collections.abc import Mapping, Sequence
from dataclasses import is_dataclass
from datetime import date

from pydantic import BaseModel

from engine import __version__
from engine.calc.units import in_units
from engine.checklist import Checklist, Item
from engine.findings import STAGES
from engine.job.model.item_key import ItemKey
from engine.job.model.job import Job
from engine.job.model.tick_facts import TickFacts
from engine.paper.ahead.estimate_tables import estimate_json
from engine.paper.plan.plan_keys import fields_of, key_in_unit
from engine.stages.fabric.infills import StripNumber
from engine.stages.layout.keep_outs import KeepOutId
from engine.walk import Walk

FORMAT = "linewalk plan"
FORMAT_NUMBER = 1
"""Raised where a key goes away, or means something else; a key more doesn't raise it."""
SENTENCES = ("says", "do", "why", "means", "closes_with", "or_else", "where")
"""Keys of what is for people, in the units of the job."""
NO_JOB = Job()
PLACES = 4
IN_WORDS = (ItemKey, KeepOutId, StripNumber, TickFacts)
"""Values that are told as one text."""


def plan(walk: Walk, seal: Sequence[str] = (), job: Job = NO_JOB) -> dict[str, object]:
    """Walk as plain data under a head; then what was changed in a signed-off file since it was signed, where anything was, and what the
    job's fence was estimated at, where anything was said of it. Figures are in the units of their keys, sentences in those of the job."""
    with in_units(job.job.units):
        return _plan(walk, seal, job)


def _plan(walk: Walk, seal: Sequence[str], job: Job) -> dict[str, object]:
    stages = {}
    for name in STAGES:
        result = _plain(getattr(walk, name))
        assert isinstance(result, dict)
        del result["items"]
        result["findings"] = _plain(walk.stage_findings[name])
        result["checklist"] = _checklist(walk.checklists[name])
        stages[name] = result
    changed = {"changed_since_signed": list(seal)} if seal else {}
    said = {name: _plain(value) for name, value in estimate_json(job, walk).items()}
    told = {"stages": stages, "findings": _plain(walk.findings), "takeoff": _plain(walk.takeoff.rows)}
    return {**_head(job), **changed, **said, **told}


def _head(job: Job) -> dict[str, object]:
    """What this is, by which program, and of which job."""
    who = {"number": job.job.number, "title": job.job.title, "signed_off": job.record is not None}
    return {"format": FORMAT, "format_number": FORMAT_NUMBER, "program": "linewalk", "program_version": __version__, "job": who}


def plan_text(walk: Walk, seal: Sequence[str] = (), job: Job = NO_JOB) -> str:
    """Walk as JSON text, two spaces deep, one newline at the end."""
    return json_text(plan(walk, seal, job))


def json_text(value: object) -> str:
    """Any plain data as it is printed."""
    return json.dumps(value, indent=2, ensure_ascii=False, allow_nan=False) + "\n"


def _checklist(checklist: Checklist) -> list[object]:
    rows = []
    for line in checklist.lines:
        row: dict[str, object] = {"key": str(line.item.key), "says": line.item.says, "state": line.state, "passes": line.passes}
        if line.item.reading is not None:
            row["reading"] = _plain(line.item.reading)
        if line.tick is not None:
            row["tick"] = _plain(line.tick)
            if line.item.tells is not None and line.tick.reading is not None:
                row["means"] = line.item.tells.words(line.tick.reading)
        rows.append(row)
    return list(rows)


def _plain(value: object, parts: Sequence[str] = ()) -> object:
    """Any value of a result; a bare tuple of figures by the names of its parts."""
    if isinstance(value, float):
        return round(value, PLACES) + 0.0
    if isinstance(value, IN_WORDS):
        return str(value)
    if isinstance(value, Item):
        return {"key": str(value.key), "says": value.says}
    if isinstance(value, BaseModel):
        return value.model_dump(mode="json", exclude_none=True)
    if is_dataclass(value) or hasattr(value, "_fields"):
        return {key_in_unit(field, value): _plain(getattr(value, field.name), field.parts) for field in fields_of(value)}
    if isinstance(value, Mapping):
        return {str(key): _plain(inner, parts) for key, inner in value.items()}
    if isinstance(value, tuple | list):
        inner = [_plain(one, parts) for one in value]
        bare = len(value) == len(parts) > 0 and isinstance(value[-1], float)
        return dict(zip(parts, inner, strict=True)) if bare else inner
    return value.isoformat() if isinstance(value, date) else value
