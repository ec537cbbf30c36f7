"""What is typed into a box of a form is saved, or the box is named in which it can't stay: nothing vanishes behind what was saved."""

from datetime import date
from pathlib import Path

import pytest
from textual.widgets import Static

from engine.change.renaming import corrected
from engine.job.edit import entering
from engine.job.errors import EntryRefused
from engine.job.file.store import load
from engine.job.model.fence import HeightChange, Surface
from engine.job.model.job import Job
from engine.job.model.rough import Rough
from engine.job.model.words.field_words import NAME
from engine.walk import walk
from tests.demo import accepted, others
from tests.tui.driving import keys, on_disk, shown, typed
from tests.tui.entry.test_slips_at_entry import downs
from tui.app import LinewalkApp
from tui.entry.entry_form import FormScreen
from tui.entry.form_values import fields_of, record, records, texts_held, told_by_name
from tui.entry.forms import FORMS, Form
from tui.entry.refused import field_of

JUNK = ("abc", "13.7", "99999999", ",", ", ,", "-", "yes", "x y", "12 abc", "-5")
TODAY = date(2026, 4, 14)


def with_all() -> list[Job]:
    """Jobs that hold among them a record of every kind."""
    more: dict[str, object] = {
        "rough": Rough(length_ft=200.0),
        "heights": {"low": HeightChange(line="back", from_ft=75.0, to_ft=120.0, height_ft=5.0)},
    }
    more["surfaces"] = {"walk": Surface(line="back", from_ft=10.0, to_ft=14.0, kind="paving")}
    return [accepted().model_copy(update=more), *others().values()]


def saved(form: Form, job: Job, name: str, texts: dict[str, str], before: dict[str, str]) -> Job:
    """The job as the form saves it; what it refuses is raised."""
    typed_anew = {key for key in texts if texts[key] != before[key]}
    of = name if form.named or form.method else form.section or None
    fields = told_by_name(form, fields_of(form, texts, before, record(form, job, name), TODAY), of, job, walk(job), typed_anew)
    return entering.put(job, form.table, None, fields) if of is None else corrected(job, form.table, of, fields)


@pytest.mark.parametrize("form", FORMS, ids=lambda form: form.kind)
def test_junk_in_any_box_of_any_form_is_saved_or_named(form: Form) -> None:
    job = next(job for job in with_all() if records(form, job))
    name = next(iter(records(form, job)))
    before = texts_held(form, name, job, walk(job))
    boxes = [field.key for field in form.fields if field.key != NAME]
    lost = [(key, junk) for key in boxes for junk in JUNK if junk != before[key] and not kept_or_named(form, job, name, before, key, junk)]
    assert lost == []


def kept_or_named(form: Form, job: Job, name: str, before: dict[str, str], key: str, junk: str) -> bool:
    """Whether junk in one box is in the job then and stands in that box again, or a box is named that it can't stand with."""
    try:
        after = saved(form, job, name, {**before, key: junk}, before)
    except EntryRefused as refused:
        return any(field_of(form, problem) for problem in refused.problems)
    now = name if name in records(form, after) else next(reversed(records(form, after)))
    return after != saved(form, job, name, before, before) and texts_held(form, now, after, walk(after))[key] != ""


async def test_a_place_typed_without_a_point_is_kept_and_one_typed_for_a_chosen_ground_moves_it(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Ann")
    async with app.run_test(size=(80, 24)) as pilot:
        await keys(pilot, "e", *downs("yards"), "right", "enter")
        screen = app.screen
        assert isinstance(screen, FormScreen)
        there = walk(on_disk(path)).survey.points["Y1"].xy
        for key, text in (("inside", ""), ("east_ft", f"{there[0]:.2f}"), ("north_ft", f"{there[1]:.2f}")):
            screen._box(key).focus()
            await keys(pilot, "ctrl+u", "ctrl+k")
            await typed(pilot, text)
        await keys(pilot, "enter")
        yard = on_disk(path).yards["back"]
        assert (yard.inside, yard.east_ft, yard.north_ft) == (None, round(there[0], 2), round(there[1], 2))

        await keys(pilot, "enter")
        screen = app.screen
        assert isinstance(screen, FormScreen)
        assert screen._box("inside").value.startswith("back and house, ")
        screen._box("north_ft").focus()
        await keys(pilot, "ctrl+u", "ctrl+k")
        await typed(pilot, f"{there[1] + 1:.2f}")
        await keys(pilot, "enter")
    assert on_disk(path).yards["back"] == yard.model_copy(update={"north_ft": round(there[1] + 1, 2)})


@pytest.mark.parametrize(
    ("east", "north", "wrong"), [("abc", "", "east_ft"), ("12", "", "east_ft"), ("", "99999999", "north_ft"), ("1", "2", "east_ft")]
)
async def test_a_place_typed_beside_the_point_of_a_yard_is_refused_at_its_box(path: Path, east: str, north: str, wrong: str) -> None:
    before = path.read_bytes()
    app = LinewalkApp(loaded=load(path), by="Ann")
    async with app.run_test(size=(80, 24)) as pilot:
        await keys(pilot, "e", *downs("yards"), "right", "enter")
        screen = app.screen
        assert isinstance(screen, FormScreen)
        for key, text in (("east_ft", east), ("north_ft", north)):
            screen._box(key).focus()
            await keys(pilot, "ctrl+u", "ctrl+k")
            await typed(pilot, text)
        await keys(pilot, "enter")
        assert app.screen is screen
        assert app.focused is screen._box(wrong)
        assert "closes" not in shown(app)
        says = [str(under.content) for under in screen.query(".wrong.-shown").results(Static)]
        assert says == ["The point or ground inside tells the place: leave this empty, or clear that one and give East and North."]
    assert path.read_bytes() == before
