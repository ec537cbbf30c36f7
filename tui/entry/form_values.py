"""Between a form and the job: records as text in boxes, boxes as fields, the names a box can be picked from."""

from collections.abc import Collection, Mapping
from datetime import date
from types import UnionType
from typing import Annotated, Any, Literal, Union, get_args, get_origin

from engine.calc.dates import DateError, parse_date
from engine.calc.force_words import amount_typed
from engine.calc.length_words import parting_commas, said_in_units
from engine.calc.units import LengthUnit, bare_unit
from engine.change.station_by_name import station_told_ft
from engine.job.edit.next_record import next_point, next_station_ft, ordered_points
from engine.job.errors import EditRefused, EntryRefused, Problem
from engine.job.model.base import Part
from engine.job.model.fence import Yard
from engine.job.model.job import Job
from engine.job.model.stock_row import StockRow
from engine.job.model.stock_table import default_rows, stock_of
from engine.job.model.words.field_words import NAME, YES_NO, value_text
from engine.stages.survey.grounds import YardGround, ground_at, grounds
from engine.walk import Walk
from tui.entry.forms import Field, Form
from tui.widgets.read_back import ReadBack, day_read_back, length_read_back

UNITS: tuple[LengthUnit, ...] = ("ft", "in")
_LIKE = {
    "ft": "Like 23' 4 1/2\", 23 4 1/2, 23.4 or 7 m; a bare number is feet.",
    "in": "Like 22 1/2, 22.5 or 35 cm; a bare number is inches.",
    "m": "Like 7.25, 38 cm or 380 mm; a bare number is metres.",
    "cm": "Like 56.5, 0.6 m or 565 mm; a bare number is centimetres.",
}

_ONE_PLACE = "The point or ground inside tells the place: leave this empty, or clear that one and give East and North."

Texts = dict[str, str]


def records(form: Form, job: Job) -> dict[str, Part]:
    """The records of a kind by name; a table that is one record gives it, if it is there, under its own name. Stock lists all there is."""
    if form.single:
        held: Part | None = getattr(job, form.table)
        return {} if held is None else {form.kind: getattr(held, form.section) if form.section else held}
    table: Mapping[str, Part] = stock_of(job.stock) if form.table == "stock" else getattr(job, form.table)
    return {name: row for name, row in table.items() if not form.method or getattr(row, "method", "") == form.method}


def record(form: Form, job: Job, name: str) -> Part | None:
    """What the file holds of one record: of a stock row only what the job says of it."""
    return job.stock.get(name) if form.table == "stock" else records(form, job).get(name)


def options(field: Field, form: Form, job: Job, walked: Walk | None = None) -> tuple[str, ...]:
    """What a field can be picked from; grounds of a job only once it is walked."""
    match field.pick:
        case "":
            return _own_words(_type(form, field.key))
        case "grounds":
            return (*(ground.words for ground in _grounds(job, walked)), *ordered_points(job)) if walked else ordered_points(job)
        case "points" | "stations":
            return ordered_points(job)
        case "meets":
            return (*job.structures, *job.trees, *job.lines)
        case "lines" | "yards":
            return tuple(getattr(job, field.pick))
        case "stock":
            return tuple(stock_of(job.stock))
    return tuple(name for name, row in stock_of(job.stock).items() if row.kind == field.pick)


def several(field: Field, form: Form) -> bool:
    """Whether a field takes several names, parted by blanks."""
    return bool(field.pick) and get_origin(_type(form, field.key)) is tuple


def texts_of(form: Form, name: str, row: Part | None) -> Texts:
    """A record as it stands in the boxes."""
    shown = {field.key: _text(field, getattr(row, field.key, None)) for field in form.fields if field.key != NAME}
    return {NAME: name, **shown} if form.named else shown


def first_texts(form: Form, job: Job) -> Texts:
    """What a new record starts with: what the last one of its kind leaves behind, else what the model takes by itself."""
    last = last_record(form, job)
    return {field.key: _first(form, field, job, last) for field in form.fields}


def last_record(form: Form, job: Job) -> Part | None:
    """The record of a kind that was entered last."""
    return next(reversed((job.stock if form.table == "stock" else records(form, job)).values()), None)


def fields_of(form: Form, texts: Texts, before: Texts, row: Part | None, today: date) -> dict[str, Any]:
    """Boxes as fields of the record: an empty one is left out, one that nobody changed keeps its value to the last figure."""
    fields: dict[str, Any] = {"method": form.method} if form.method else {}
    for field in form.fields:
        text = texts[field.key].strip()
        if field.key == NAME or not text:
            continue
        if row is not None and text == before.get(field.key):
            fields[field.key] = getattr(row, field.key)
        elif get_origin(_type(form, field.key)) is tuple:
            fields[field.key] = _listed(text, field)
        else:
            fields[field.key] = _near(text, today) if _type(form, field.key) is date else amount_typed(text, field.key.rpartition("_")[2])
    return fields


def changed_too(before: Texts, held: Texts, typed: Texts) -> Texts:
    """Of boxes that were typed in what the record holds there now, where since they were filled that was made something else as well."""
    return {key: held[key] for key, was in before.items() if held[key] != was and typed.get(key) not in (was, held[key])}


def read_back_of(form: Form, field: Field, today: date) -> ReadBack | None:
    """How a field shows what it understood: a length or a date."""
    kind = _type(form, field.key)
    if kind is date or get_origin(kind) is tuple:
        return day_read_back(today) if kind is date else None
    unit = next((unit for unit in UNITS if field.key.endswith(f"_{unit}")), None)
    return length_read_back(unit) if unit else None


def told_by_name(
    form: Form, fields: Mapping[str, Any], name: str | None, job: Job, walked: Walk, typed: Collection[str] = ()
) -> dict[str, Any]:
    """The same fields with the names of points for stations, and what a ground is called by, written as what the file holds; `typed` are
    those that hold something else than they did. Raises: EntryRefused with what is wrong under its field."""
    return (
        _ground_by_name(fields, name, job, walked, typed) if form.table == "yards" else _stations_by_name(form, fields, name, job, walked)
    )


def _ground_by_name(fields: Mapping[str, Any], name: str | None, job: Job, walked: Walk, typed: Collection[str]) -> dict[str, Any]:
    """A ground that was picked is a place inside it, and a point that was picked stands for no other place: one that is typed beside them
    is refused, or is another place of the ground that stood there."""
    inside, place = fields.get("inside"), {key: fields[key] for key in ("east_ft", "north_ft") if key in fields}
    rest = {key: value for key, value in fields.items() if key != "inside" and key not in place}
    if inside is None:
        return {**rest, **place}
    chosen = next((ground for ground in _grounds(job, walked) if ground.words == inside), None)
    own = next((key for key in place if key in typed), None)
    if own is not None and chosen is not None and "inside" not in typed:
        return {**rest, **place}
    if own is not None:
        raise EntryRefused([Problem(("yards", name or "", own), _ONE_PLACE, place[own])])
    return {**rest, **({"inside": inside} if chosen is None else {"east_ft": chosen.inside[0], "north_ft": chosen.inside[1]})}


def texts_held(form: Form, name: str | None, job: Job, walked: Walk) -> Texts:
    """What the boxes hold of a record as it is now, or of a new one."""
    if name is None:
        return first_texts(form, job)
    held = record(form, job, name)
    words = ground_words(held, job, walked)
    return {**texts_of(form, name, held), **({"inside": words} if words else {})}


def ground_words(row: Part | None, job: Job, walked: Walk) -> str:
    """What the ground of a yard is called where no point of it was measured; empty where none holds it."""
    if not isinstance(row, Yard) or row.east_ft is None or row.north_ft is None:
        return ""
    found = ground_at(_grounds(job, walked), job, _places(walked), (row.east_ft, row.north_ft))
    return found.words if found else ""


def _grounds(job: Job, walked: Walk) -> tuple[YardGround, ...]:
    return grounds(job, _places(walked))


def _places(walked: Walk) -> dict[str, tuple[float, float]]:
    return {name: point.xy for name, point in walked.survey.points.items()}


def _stations_by_name(form: Form, fields: Mapping[str, Any], name: str | None, job: Job, walked: Walk) -> dict[str, Any]:
    """Names of points for stations, as the stations they are."""
    line, told = str(fields.get("line", "")), dict(fields)
    for field in form.fields:
        text = told.get(field.key)
        if field.pick != "stations" or not isinstance(text, str):
            continue
        try:
            told[field.key] = station_told_ft(job, walked, line, text, last=field.key == "to_ft")
        except EditRefused as error:
            raise EntryRefused([Problem((form.table, name or "", field.key), error.says, text)]) from error
    return told


def _near(text: str, today: date) -> date | str:
    """A day, in the year nearest to today where none was written; what can't be read is refused when it is saved."""
    try:
        return parse_date(text, today)
    except DateError:
        return text


def hint_of(form: Form, field: Field) -> str:
    """What to write into a field, in one line."""
    if field.key == NAME:
        return field.hint or form.hint or "A short name without spaces, such as T1 or back_gate."
    described = said_in_units(form.model.model_fields[field.key].description or "")
    unit = next((_LIKE[bare_unit(unit)] for unit in UNITS if field.key.endswith(f"_{unit}")), "")
    if _type(form, field.key) is date:
        unit = "A date like 11/25 or 11/25/2026."
    return " ".join(part for part in (said_in_units(field.hint) or f"{described[:1].upper()}{described[1:]}", unit) if part)


def placeholder_of(form: Form, field: Field, name: str) -> str:
    """What stands greyed in an empty box: of stock what the list brings."""
    standard = default_rows().get(name) if form.table == "stock" else None
    return _text(field, getattr(standard, field.key, None)) if standard is not None and field.key != NAME else ""


def summary(form: Form, row: Part) -> str:
    """A record on one line: what it says beyond what it takes by itself."""
    if isinstance(row, StockRow):
        return f"{row.name or '':<34.34} {'' if row.loaded is None else f'{row.loaded} loaded'}"
    model = form.model.model_fields
    said = ((field, getattr(row, field.key)) for field in form.fields if field.key != NAME)
    return "  ".join(_shown(field, value) for field, value in said if value not in (None, "", ()) and value != model[field.key].default)


def _shown(field: Field, value: object) -> str:
    text = _text(field, value)
    return f"{field.label.lower()} {text}" if isinstance(value, bool) else text


def _first(form: Form, field: Field, job: Job, last: Part | None) -> str:
    if field.follow == "count":
        return next_point(job)
    if last is None:
        names = options(field, form, job) if field.pick in ("lines", "yards") else ()
        return names[0] if len(names) == 1 else _default(form, field)
    if field.follow == "step":
        station_ft = next_station_ft(job, getattr(last, "line", ""))
        return "" if station_ft is None else value_text("station_ft", station_ft)
    if field.follow == "keep":
        return _text(field, getattr(last, field.key))
    return _text(field, getattr(last, field.follow[1:])) if field.follow else _default(form, field)


def _default(form: Form, field: Field) -> str:
    return (
        ""
        if field.key == NAME or form.model.model_fields[field.key].is_required()
        else _text(field, form.model.model_fields[field.key].default)
    )


def _text(field: Field, value: object) -> str:
    return value_text(field.key, value, between=" " if field.pick else ", ")


def _listed(text: str, field: Field) -> tuple[str, ...]:
    if field.pick:
        return tuple(text.replace(",", " ").split()) or (text,)
    parts = parting_commas().split(text) if field.key.endswith("_ft") else text.split(",")
    return tuple(part.strip() for part in parts if part.strip()) or (text,)


def _own_words(kind: object) -> tuple[str, ...]:
    if kind is bool:
        return YES_NO
    return tuple(str(word) for word in get_args(kind)) if get_origin(kind) is Literal else ()


def _type(form: Form, key: str) -> object:
    """The bare type of a field, without its limits and without None."""
    kind: object = str if key == NAME else form.model.model_fields[key].annotation
    while get_origin(kind) in (Annotated, Union, UnionType):
        kind = next(part for part in get_args(kind) if part is not type(None))
    return kind
