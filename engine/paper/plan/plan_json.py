"""The whole walk as plain data for JSON: nine stages by name, findings, take-off. The same bytes on every run and machine."""

import json
from collections.abc import Mapping, Sequence
from dataclasses import fields, is_dataclass
from datetime import date

from pydantic import BaseModel

from engine.checklist import Checklist, Item
from engine.findings import STAGES, UNPRINTED
from engine.job.model.job import Job
from engine.job.model.tick_facts import TickFacts
from engine.paper.ahead.estimate_tables import estimate_json
from engine.stages.bracing.foot_ground import FootGround
from engine.stages.bracing.what_pulls import StatePull
from engine.stages.fabric.infills import StripNumber
from engine.stages.layout.keep_outs import KeepOutId
from engine.walk import Walk

PLACES = 4


def plan(walk: Walk, seal: Sequence[str] = (), job: Job | None = None) -> dict[str, object]:
    """Walk as plain data; first what was changed in a signed-off file since it was signed, where anything was, then what the job's fence
    was estimated at, where anything was said of it."""
    stages = {}
    for name in STAGES:
        result = _plain(getattr(walk, name))
        assert isinstance(result, dict)
        del result["items"]
        result["findings"] = _plain(walk.stage_findings[name])
        result["checklist"] = _checklist(walk.checklists[name])
        stages[name] = result
    changed = {"changed_since_signed": list(seal)} if seal else {}
    said = {} if job is None else {name: _plain(value) for name, value in estimate_json(job, walk).items()}
    return {**changed, **said, "stages": stages, "findings": _plain(walk.findings), "takeoff": _plain(walk.takeoff.rows)}


def plan_text(walk: Walk, seal: Sequence[str] = (), job: Job | None = None) -> str:
    """Walk as JSON text, two spaces deep, one newline at the end."""
    return json.dumps(plan(walk, seal, job), indent=2, ensure_ascii=False, allow_nan=False) + "\n"


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


def _plain(value: object) -> object:
    if isinstance(value, float):
        return round(value, PLACES) + 0.0
    if isinstance(value, KeepOutId | StripNumber | TickFacts):
        return str(value)
    if isinstance(value, Item):
        about = {"key": str(value.key), "stage": value.key.stage, "subject": value.subject}
        return about | {name: _plain(getattr(value, name)) for name in ("says", "reading", "of", "tells")}
    if is_dataclass(value):
        return {field.name: _plain(getattr(value, field.name)) for field in fields(value) if field.metadata != UNPRINTED}
    if isinstance(value, BaseModel):
        return value.model_dump(mode="json", exclude_none=True)
    if isinstance(value, Mapping):
        return {str(key): _plain(inner) for key, inner in value.items()}
    if isinstance(value, StatePull | FootGround):
        return {name: _plain(inner) for name, inner in value._asdict().items()}
    if isinstance(value, tuple | list):
        return [_plain(inner) for inner in value]
    return value.isoformat() if isinstance(value, date) else value
