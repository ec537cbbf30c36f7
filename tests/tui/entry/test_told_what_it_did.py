"""What an edit in a form opened and found is told by real keys, in one line below what was entered, and taken back; then the file."""

from pathlib import Path
from textwrap import wrap

import pytest
from textual.content import Content

from engine.job.file.store import load
from engine.job.model.job import Job
from engine.walk import walk
from tests.demo import accepted
from tests.test_done_means_done import all_ticked
from tests.tui.driving import keys, on_disk, shown, typed
from tests.tui.entry.test_field_entry import kind
from tui.app import LinewalkApp
from tui.entry.entered import told
from tui.entry.entry import EntryScreen
from tui.widgets.pick_input import PickInput
from tui.widgets.rows import Rows

SIZE = (80, 24)


@pytest.fixture(scope="module")
def done() -> Job:
    """The demo with everything done."""
    return all_ticked(accepted())


@pytest.fixture
def job(done: Job) -> Job:
    return done


def counting(path: Path) -> int:
    """How many items of the saved job are done."""
    return sum(line.settled for checklist in walk(on_disk(path)).checklists.values() for line in checklist.lines)


def said(app: LinewalkApp) -> str:
    """What stands in the lines above the keys, as one."""
    return " ".join(" ".join(shown(app).splitlines()[-4:-1]).split())


@pytest.mark.parametrize(
    ("of", "record", "field", "text", "first", "line"),
    [
        ("fence", "", "height_ft", "5", "✓ Entered: fence.", "! 100 items open again in 7 stages."),
        (
            "rules-cables", "", "tension_lbf", "60",
            "✓ Entered: rules for cables.", "! 3 items open again (P2 and P11-P12), 2 new fixes (P2 and P11-P12).",
        ),
        (
            "points", "B", "east_ft", "90' 5",
            "✓ Entered: known point B.", "! 201 items open again in 9 stages, 4 new fixes (tape-H-C, P9, P3 and 3 more).",
        ),
        (
            "stock", "wire-48", "width_in", "36",
            "✓ Entered: stock row wire-48.", "X 54 items open again in 2 stages, 2 new stops, 2 new ways out, 3 new fixes.",
        ),
    ],
)  # fmt: skip
async def test_a_form_tells_what_it_opened_and_found_and_undo_what_counts_again(
    path: Path, of: str, record: str, field: str, text: str, first: str, line: str
) -> None:
    before, count = counting(path), line.split()[1]
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await keys(pilot, "e")
        await kind(pilot, app, of)
        if record:
            await keys(pilot, "escape", "right", "home")
            while app.screen.query_one("#records", Rows).current != record:
                await keys(pilot, "down")
            await keys(pilot, "enter")
        while app.focused is not app.screen.query_one(f"#in-{field}", PickInput):
            await keys(pilot, "tab")
        await keys(pilot, "ctrl+u")
        await typed(pilot, text)
        await keys(pilot, "enter")
        assert isinstance(app.screen, EntryScreen)
        assert f"{first} u takes that back. {line}" in said(app)
        assert f" {line}" in [one.rstrip() for one in shown(app).splitlines()], "on a line of its own"
        assert before - counting(path) == int(count)

        await keys(pilot, "u")
        assert f"Taken back: {first.removeprefix('✓ Entered: ')} {count} item" in said(app)
        assert " count again" in said(app)
        assert counting(path) == before


async def test_done_work_that_is_asked_no_more_is_told_beside_what_opens(path: Path) -> None:
    """A gate put elsewhere in the survey: of its posts in the plan nothing is asked any more of what is braced and hung there."""
    before = {line.item.key for checklist in walk(on_disk(path)).checklists.values() for line in checklist.lines if line.state == "done"}
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await keys(pilot, "e")
        await kind(pilot, app, "gates")
        await keys(pilot, "escape", "right", "home", "enter")
        while app.focused is not app.screen.query_one("#in-station_ft", PickInput):
            await keys(pilot, "tab")
        await keys(pilot, "ctrl+u", "2", "4", "enter")
        assert "! 3 items open again (L2), 23 done items gone (side, P2 and P3)." in said(app)
        now = {line.item.key for checklist in walk(on_disk(path)).checklists.values() for line in checklist.lines if line.state == "done"}
        assert len(before - now) == 3 + 23

        await keys(pilot, "u")
        assert "26 items count again" in said(app)


async def test_a_wall_taped_lower_than_the_eyes_in_it_is_told_where_it_is_entered(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await keys(pilot, "e")
        await kind(pilot, app, "structures")
        await keys(pilot, "escape", "right", "home", "enter")
        while app.focused is not app.screen.query_one("#in-height_ft", PickInput):
            await keys(pilot, "tab")
        await keys(pilot, "ctrl+u", "5", "enter")
        assert "P1's top eye is at 5' 11 3/4\", and house, which holds it, is 5' 0\" high." in said(app)
    saved = on_disk(path)
    assert saved.structures["house"].height_ft == 5.0
    assert [one.subjects for one in walk(saved).posts.findings if one.code == "wall_low"] == [("P1", "house"), ("P16", "house")]


async def test_what_nothing_came_of_is_told_as_ever(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await keys(pilot, "e")
        await kind(pilot, app, "job")
        await keys(pilot, "tab")
        await typed(pilot, " now")
        await keys(pilot, "enter")
        assert said(app).endswith("✓ Entered: job heading. u takes that back.")
        await keys(pilot, "u")
        assert said(app).endswith(" Taken back: job heading")


async def test_a_shot_put_right_in_the_field_book_and_a_record_taken_out_tell_it_too(path: Path) -> None:
    """On the job itself what was taken back, and what counts again, is told like all that a key there does."""
    before = counting(path)
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await keys(pilot, "e")
        await kind(pilot, app, "shots-tie")
        await keys(pilot, "escape", "right", "home", "b", "ctrl+u")
        await typed(pilot, "tie M A 66' 3 H 119' 3 1/8 right")
        await keys(pilot, "enter")
        row = " ".join(shown(app).split())
        assert "Ctrl+Z takes that back. ! 200 items open again in 9 stages, 3 new fixes (P9, P3, P2, P12 and P11-P12)." in row
        assert before - counting(path) == 200
        await keys(pilot, "ctrl+z")
        assert said(app).endswith("Taken back: tie tie-M. 200 items count again in 9 stages, 4 fixes gone.")
        assert "items open again" not in shown(app), "what was taken back isn't told of any more"

        await keys(pilot, "escape")
        await kind(pilot, app, "obstacles")
        await keys(pilot, "escape", "right", "x")
        assert said(app).endswith("Obstacle ledge is out. u takes that back. ! 3 items open again (L2 and P4-P5), 1 fix gone (P4-P5).")
        await keys(pilot, "escape", "u")
        assert [notice.message for notice in app._notifications] == [
            "Taken back: obstacle ledge taken out. 1 new fix (P4-P5), 3 items count again."
        ]
    assert counting(path) == before


@pytest.mark.parametrize("width", [60, 80, 120])
def test_however_much_is_said_of_a_shot_the_key_and_what_came_of_it_have_room(job: Job, width: int) -> None:
    before, after = walk(job), walk(job.model_copy(update={"fence": job.fence.model_copy(update={"height_ft": 6.5})}))
    long = Content('The tape from A to N1 reads 4" short, or the tape from H to N1 reads 5" long, or it is one of 7 more. ' * 3)
    first, line = told(long, "Ctrl+Z", before, after, width).plain.split("\n")
    assert told(long, "Ctrl+Z", before, after, 10).plain.endswith(" and more.")
    assert first.endswith(" … Ctrl+Z takes that back.")
    assert len(wrap(first, width - 2)) == 2
    assert line.startswith("! 70 items open again")
    assert len(line) <= width - 2
