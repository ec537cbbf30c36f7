"""A yard surveyed by keys alone at 80x24, from an empty file to an accepted layout, every record read back from the file."""

from pathlib import Path

import pytest
from textual.pilot import Pilot

from engine.job.edit import edits
from engine.job.file.store import load, new, starter
from engine.job.model.fence import Gate
from engine.job.model.job import Job
from engine.job.model.rules import Rules
from engine.job.model.shots import LevelShot, TieShot
from engine.job.model.signed_record import Record
from engine.walk import walk
from tests.demo import AT
from tests.tui.driving import keys, on_disk, shown
from tui.app import LinewalkApp
from tui.boxes.dialog import ThrowAwayDialog
from tui.entry.entry import EntryScreen
from tui.entry.entry_form import FormScreen
from tui.entry.forms import FORMS
from tui.screens.walk_screen import WalkScreen
from tui.widgets.pick_input import PickInput
from tui.widgets.rows import Rows

SIZE = (80, 24)
_KEYS = {" ": "space", "'": "apostrophe", '"': "quotation_mark", "/": "slash", "-": "minus", ".": "full_stop", ",": "comma"}


@pytest.fixture
def path(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    (tmp_path / "jobs").mkdir()
    file = tmp_path / "jobs" / "maple.toml"
    new(file, starter("maple"))
    return file


def under(app: LinewalkApp, field: str) -> str:
    """The line under a field."""
    lines = [line.strip() for line in shown(app).splitlines()]
    return lines[next(at for at, line in enumerate(lines) if line.startswith(field)) + 1]


async def filled(pilot: Pilot[int], *texts: str) -> None:
    """Each text into the field where the cursor is, Tab between them and Enter behind the last; an empty text leaves a field as it is."""
    for number, text in enumerate(texts):
        if number:
            await pilot.press("tab")
        for character in text:
            await pilot.press(_KEYS.get(character, character))
    await keys(pilot, "enter")


async def kind(pilot: Pilot[int], app: LinewalkApp, name: str) -> None:
    """Down the kinds to one of them, into its form, and up to its first field."""
    if isinstance(app.screen, FormScreen):
        await keys(pilot, "escape")
    if isinstance(app.screen, ThrowAwayDialog):
        await keys(pilot, "y")
    assert isinstance(app.screen, EntryScreen)
    rows = app.screen.query_one("#kinds", Rows)
    await keys(pilot, "left", "home")
    for _ in FORMS:
        if rows.current != name:
            await keys(pilot, "down")
    assert rows.current == name
    await keys(pilot, "enter")
    assert isinstance(app.screen, FormScreen)
    first = app.screen.query(PickInput).first()
    for _ in app.screen.query(PickInput):
        if app.focused is not first:
            await keys(pilot, "shift+tab")
    assert app.focused is first


async def survey_points(pilot: Pilot[int], app: LinewalkApp) -> None:
    """Two known corners, five ties, two offsets, one point by three tapes: ten points."""
    await kind(pilot, app, "points")
    await filled(pilot, "A", "0", "0", "north-west corner")
    await filled(pilot, "B", "40'", "0")
    await kind(pilot, app, "shots-tie")
    await filled(pilot, "T1", "a", "b", "l", "60'", "72' 1 3/8\"")
    assert "T1 is good to ±" in shown(app)
    assert "Nothing checks it yet." in shown(app)
    for tape_a, tape_b in (("72' 1 3/8\"", "60"), ("63' 3\"", "63' 3"), ("36' 0 5/8\"", "36' 0 5/8\""), ("51' 5 3/4\"", "47' 5 1/8\"")):
        await filled(pilot, tape_a, tape_b)
    await kind(pilot, app, "shots-offset")
    await filled(pilot, "O1", "a", "b", "l", "20", "20")
    await filled(pilot, "30 ft", "10 ft")
    await kind(pilot, app, "shots-tape")
    await filled(pilot, "a", "X1", "50' 11 7/8\"")
    assert "X1 floats: only one tape reaches it." in shown(app)
    for start, length in (("b", "58' 3 11/16\""), ("T1", "14' 1 11/16\"")):
        await keys(pilot, "shift+tab")
        await filled(pilot, start, "X1", length)
    assert "fits to" in shown(app)


async def draw_the_fence(pilot: Pilot[int], app: LinewalkApp) -> None:
    """House, tree, two lines that meet at the tree, a gate, a yard, a rock to keep clear of, a dog, one stock row."""
    await kind(pilot, app, "structures")
    await filled(pilot, "house", "", "A b")
    await kind(pilot, app, "trees")
    await filled(pilot, "oak", "t3", "14 in")
    await kind(pilot, app, "lines")
    await filled(pilot, "west", "a T1 T3", "str", "house", "tree", "oak")
    await filled(pilot, "east", "b t2 t3", "str", "ho", "tr", "o")
    assert "Line east is 80' 0" in shown(app)
    await kind(pilot, app, "gates")
    await filled(pilot, "side", "w", "20")
    await kind(pilot, app, "obstacles")
    await filled(pilot, "rock", "rock", "O1", "2' 6\"")
    await kind(pilot, app, "yards")
    await filled(pilot, "back", "T4", "back yard")
    assert "Yard back closes: 2,400 sq ft." in shown(app)
    await kind(pilot, app, "dogs")
    await filled(pilot, "rex", "", "52", "22", "30", "y", "", "y", "", "back")
    await kind(pilot, app, "stock")
    await filled(pilot, "post-8", "12")


async def shoot_levels(pilot: Pilot[int], app: LinewalkApp) -> None:
    """Stations step on by the last spacing; a rod reading with an instrument does as well as a level."""
    await kind(pilot, app, "shots-level")
    await filled(pilot, "west", "0", "0")
    await keys(pilot, "shift+tab")
    await filled(pilot, "10", "-0.5 ft")
    assert app.screen.query_one("#in-station_ft", PickInput).value == "20' 0\""
    await filled(pilot, "", "4' 6\"", "3' 6\"")
    await filled(pilot, "5' 0")
    assert "Level -1' 6\" at 30' 0\" on line west, 4 on it now." in shown(app)


def check_the_file(job: Job) -> None:
    """Every record as it was typed, and nothing else."""
    assert {name: (point.east_ft, point.north_ft) for name, point in job.points.items()} == {"A": (0.0, 0.0), "B": (40.0, 0.0)}
    assert list(job.shots) == [
        *("tie-T1", "tie-T2", "tie-T3", "tie-T4", "tie-T5", "offset-O1", "offset-O2", "tape-A-X1", "tape-B-X1", "tape-T1-X1"),
        *("level-west-1", "level-west-2", "level-west-3", "level-west-4"),
    ]
    tie = job.shots["tie-T1"]
    assert isinstance(tie, TieShot)
    assert (tie.from_a, tie.from_b, tie.side, tie.tape_a_ft, tie.tape_b_ft) == ("A", "B", "left", 60.0, 72.1146)
    levels = [shot for shot in job.shots.values() if isinstance(shot, LevelShot)]
    assert [(level.station_ft, level.ground_ft) for level in levels] == [(0.0, 0.0), (10.0, -0.5), (20.0, -1.0), (30.0, -1.5)]
    assert {name: (line.points, line.start_at, line.end_at) for name, line in job.lines.items()} == {
        "west": (("A", "T1", "T3"), "house", "oak"),
        "east": (("B", "T2", "T3"), "house", "oak"),
    }
    assert job.gates == {"side": Gate(line="west", station_ft=20.0)}
    assert (job.trees["oak"].point, job.trees["oak"].diameter_in) == ("T3", 14.0)
    assert (job.obstacles["rock"].kind, job.obstacles["rock"].radius_ft) == ("rock", 2.5)
    assert (job.dogs["rex"].weight_lb, job.dogs["rex"].jumps, job.dogs["rex"].climbs, job.dogs["rex"].yard) == (52.0, True, False, "back")
    assert job.stock["post-8"].loaded == 12


async def test_a_crew_surveys_a_yard_from_an_empty_file_and_accepts_a_layout(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await keys(pilot, "e")
        await survey_points(pilot, app)
        await draw_the_fence(pilot, app)
        await shoot_levels(pilot, app)
        await keys(pilot, "escape", "escape")
        assert isinstance(app.screen, WalkScreen)
        job = on_disk(path)
        check_the_file(job)
        worked = walk(job)
        assert sorted(worked.survey.points) == ["A", "B", "O1", "O2", "T1", "T2", "T3", "T4", "T5", "X1"]
        assert worked.survey.points["X1"].xy == pytest.approx((10, 50), abs=0.01)
        assert worked.survey.yards["back"].closed
        assert {support.line for support in worked.layout.supports.values()} == {"west", "east"}
        await keys(pilot, "2", "a")
        planned = on_disk(path).posts
        assert len(planned) == len(worked.layout.supports) >= 8
        assert {post.support for post in planned.values()} == {"driven", "tree", "structure"}

        # A line under an accepted plan stays.
        await keys(pilot, "e")
        await kind(pilot, app, "lines")
        await keys(pilot, "escape", "right", "x")
        assert "west is still used by" in shown(app)
        assert "the accepted plan" in shown(app)
        assert on_disk(path).posts == planned
        assert list(on_disk(path).lines) == ["west", "east"]


async def test_what_is_wrong_stands_under_its_field_and_nothing_is_saved(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    stands = path.read_bytes()
    async with app.run_test(size=SIZE) as pilot:
        await keys(pilot, "e")
        await kind(pilot, app, "points")
        await filled(pilot, "A 1", "abc", "20")
        assert under(app, "Name  A 1").startswith("A name is up to 40 letters")
        await filled(pilot, "A")
        assert under(app, "East  abc").startswith("abc is not a length: write it like 23' 4 1/2\"")
        await kind(pilot, app, "lines")
        await filled(pilot, "west", "A B")
        assert 'Line west names the point "A", which is neither known nor measured' in " ".join(shown(app).split())
        await kind(pilot, app, "shots-tie")
        await keys(pilot, "enter")
        assert shown(app).count("is needed.") == 1
        await kind(pilot, app, "fence")
        await filled(pilot, "9")
        assert under(app, "Height  9") == '"9" is out of range: it must be at most 8\'.'
    assert path.read_bytes() == stands


async def test_a_record_is_put_right_renamed_taken_out_and_brought_back(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await keys(pilot, "e")
        await kind(pilot, app, "points")
        await filled(pilot, "A", "0", "0")
        await filled(pilot, "B", "7.31 m", "0")
        await filled(pilot, "C", "0", "30")
        await kind(pilot, app, "shots-leg")
        await filled(pilot, "a", "L1", "N 45 30 E", "20")
        assert app.screen.query_one("#in-from_point", PickInput).value == "L1"
        assert app.screen.query_one("#in-to_point", PickInput).value == "L2"
        await keys(pilot, "ctrl+z")
        assert on_disk(path).shots == {}
        await keys(pilot, "ctrl+y")
        assert list(on_disk(path).shots) == ["leg-A-L1"]

        # B by another name, its place as it was to the last figure.
        await kind(pilot, app, "points")
        await keys(pilot, "escape", "right", "home", "down", "enter", "shift+tab")
        await filled(pilot, "pin")
        assert on_disk(path).points["pin"].east_ft == 23.9829
        assert list(on_disk(path).points) == ["A", "pin", "C"]

        await keys(pilot, "right", "home", "x")
        assert list(on_disk(path).points) == ["A", "pin", "C"]
        await keys(pilot, "end", "x")
        assert list(on_disk(path).points) == ["A", "pin"]
        await keys(pilot, "u")
        assert list(on_disk(path).points) == ["A", "pin", "C"]
        await keys(pilot, "escape")
        assert isinstance(app.screen, WalkScreen)
        await keys(pilot, "u")
        assert "pin" not in on_disk(path).points


async def test_names_are_picked_with_the_arrows(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await keys(pilot, "e")
        await kind(pilot, app, "points")
        for name, east in (("A1", "0"), ("A2", "10"), ("B1", "20")):
            await filled(pilot, name, east, "0")
        await kind(pilot, app, "structures")
        await filled(pilot, "house", "", "")
        box = app.screen.query_one("#in-points", PickInput)
        assert box.has_focus
        await keys(pilot, "a", "down", "down", "space", "down", "up", "up")
        assert box.value == "A2 A2"
        await keys(pilot, "up")
        assert box.value == "A2 A1"
        await keys(pilot, "space")
        await filled(pilot, "b")
        assert on_disk(path).structures["house"].points == ("A2", "A1", "B1")


async def test_a_sealed_job_opens_no_form(path: Path) -> None:
    job = starter("sealed")
    record = Record(signed_at=AT, signed_by="Mo", accepted_by="the client", engine="0.1.0")
    sealed = path.with_name("sealed.toml")
    new(sealed, edits.sign(job, record, AT, "Mo", "the client"))
    app = LinewalkApp(loaded=load(sealed), by="Mo")
    async with app.run_test(size=SIZE) as pilot:
        await keys(pilot, "e", "enter")
        assert isinstance(app.screen, EntryScreen)


def test_every_table_of_the_job_and_every_field_of_its_records_has_its_form() -> None:
    """All but what is decided or logged elsewhere."""
    assert {form.table for form in FORMS} == set(Job.model_fields) - {
        "format",
        "alternatives",
        "posts",
        "log",
        "checks",
        "record",
        "repair_of",
    }
    assert {form.method for form in FORMS if form.table == "shots"} == {"tie", "tape", "offset", "leg", "paces", "level"}
    assert {form.section for form in FORMS if form.table == "rules"} == set(Rules.model_fields)
    for form in FORMS:
        keys_told = [field.key for field in form.fields if field.key != "id"]
        assert sorted(keys_told) == sorted(set(form.model.model_fields) - {"method", "eye_tolerance_in"}), form.kind
