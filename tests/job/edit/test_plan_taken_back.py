"""A plan or a new way struck: what stood before it comes back as it was, and what stands on it since is named and struck with it."""

from datetime import timedelta
from pathlib import Path

import pytest

from engine.change.fresh_layout import accepted_again, fresh_layout
from engine.change.logged_places import with_places
from engine.change.new_way.given_up import NewWay, given_up
from engine.change.new_way.job_after import with_new_way
from engine.job.edit import edits, entering
from engine.job.edit.striking import comes_of_it, in_the_way, strike
from engine.job.errors import EditRefused
from engine.job.file.store import load, new
from engine.job.model.item_key import item_key
from engine.job.model.job import Job
from engine.job.model.log_entries import live
from engine.stages.layout.stage import planned_posts
from engine.walk import walk
from tests.demo import AT, BY
from tests.stages.flat_yards import posts, straight

LATER = AT + timedelta(days=9)
FLAG, CLOSED, SAG = item_key("layout.P2.flag"), item_key("cables.L2.closed"), item_key("cables.L2.sag")


def line_of(*stations: float, **tables: object) -> Job:
    """Posts along 120 ft due north, N 30 ft to the right of the middle, a level every 60 ft, a gate past the middle."""
    shots = {f"V{n}": {"method": "level", "line": "n", "station_ft": n * 60.0, "level_ft": 100.0 + n} for n in range(3)}
    gates = {"main": {"line": "n", "station_ft": 101.0}}
    return straight(120.0, {"N": (30.0, 60.0)}, posts=posts("n", *stations), shots=shots, gates=gates, **tables)


def laid_out_again() -> Job:
    """P2 comes 4 in further, which its flag notices; P3 goes, and two others come."""
    job = line_of(0, 19.7, 36, 54, 72, 90, 120)
    job = edits.tick(job, FLAG, AT, BY, of=walk(job).checklists["layout"].by_key[FLAG].item.of)
    return accepted_again(job, fresh_layout(job, walk(job)), LATER, BY)


def another_way() -> Job:
    job = line_of(*range(0, 121, 20))
    job = edits.tick(edits.tick(job, CLOSED, AT, BY), SAG, AT, BY, reading_in=6)
    before = walk(job)
    return with_new_way(job, before, given_up(job, before, NewWay("P3", "P5", ("N",)), LATER), LATER, BY)


def refused(job: Job, kind: str) -> str:
    name = next(entry.id for entry in job.log if entry.kind == kind)
    with pytest.raises(EditRefused) as error:
        strike(job, name, LATER, BY)
    return str(error.value)


def struck(job: Job, kind: str) -> Job:
    return strike(job, next(entry.id for entry in live(job.log) if entry.kind == kind), LATER, "Teal")


def test_a_fresh_layout_goes_back_to_the_plan_before_with_the_flags_that_it_opened() -> None:
    before = line_of(0, 19.7, 36, 54, 72, 90, 120)
    job = laid_out_again()
    assert job.posts != before.posts
    assert FLAG not in job.checks
    back = struck(job, "planned")
    assert (back.posts, list(back.posts)) == (before.posts, list(before.posts))
    assert list(back.checks) == [FLAG]
    assert [(entry.kind, entry.struck_by) for entry in back.log] == [("planned", "Teal")]


def test_what_was_logged_with_a_plan_is_struck_with_it() -> None:
    """P7 stands past its line's end, which a plan can't hold: its move is logged again with the fresh layout."""
    job = edits.move_post(line_of(0, 19.7, 36, 54, 72, 90, 120), "P7", AT, BY, along_ft=2.0)
    job = edits.tick(job, item_key("posts.P7.driven_depth"), AT, BY, reading_in=24)
    again = accepted_again(job, fresh_layout(job, walk(job)), LATER, BY)
    assert [entry.kind for entry in again.log] == ["move", "planned", "move"]
    back = struck(again, "planned")
    assert [entry.struck_at is None for entry in back.log] == [True, False, False]
    assert walk(back).layout.supports["P7"].xy == pytest.approx((0, 122), abs=1e-6)


def test_a_new_way_gives_back_the_line_its_gates_levels_posts_and_the_ticks_of_its_loops() -> None:
    before = line_of(*range(0, 121, 20))
    job = another_way()
    assert [entry.kind for entry in job.log] == ["superseded", "reroute"]
    assert (job.gates["main"].station_ft, job.lines["n"].points) == (pytest.approx(133.1, abs=0.1), ("S", "at-P3", "N", "at-P5", "E"))
    back = struck(job, "reroute")
    assert (back.lines, back.gates, back.shots, back.posts) == (before.lines, before.gates, before.shots, before.posts)
    assert {key: tick.reading_in for key, tick in back.checks.items()} == {CLOSED: None, SAG: 6.0}
    assert [(entry.kind, entry.struck_by) for entry in back.log] == [("superseded", "Teal"), ("reroute", "Teal")]


def test_a_loop_closed_anew_on_the_new_way_keeps_its_new_tick() -> None:
    job = edits.tick(another_way(), SAG, LATER, "Ana", reading_in=7)
    back = struck(job, "reroute")
    assert back.checks[SAG].reading_in == 7.0
    assert [(entry.kind, entry.struck_at is None) for entry in back.log] == [("superseded", True), ("reroute", False)]


def with_it(job: Job, kind: str) -> str:
    """What the preview says besides of striking the first entry of a kind; that much is struck."""
    entry = next(entry for entry in live(job.log) if entry.kind == kind)
    return comes_of_it(job, entry)


def first_struck(job: Job, kind: str) -> Job:
    return strike(job, next(entry.id for entry in live(job.log) if entry.kind == kind), LATER + timedelta(days=1), "Teal")


def test_what_stands_on_a_plan_is_named_and_struck_with_it_the_last_first() -> None:
    before = line_of(0, 19.7, 36, 54, 72, 90, 120)
    moved = edits.move_post(laid_out_again(), "P2", LATER, "Ana", along_ft=1)
    again = edits.move_post(accepted_again(moved, fresh_layout(moved, walk(moved)), LATER, "Ana"), "P4", LATER, "Ana", along_ft=-2)
    assert with_it(again, "planned") == (
        "Struck with it: the move of P2 on Apr 23, the plan accepted on Apr 23 and the move of P4 on Apr 23."
    )
    back = first_struck(again, "planned")
    assert (back.posts, list(back.posts), list(back.checks)) == (before.posts, list(before.posts), [FLAG])
    assert [(entry.kind, entry.struck_by) for entry in back.log] == [(one.kind, "Teal") for one in again.log]
    assert walk(back).layout.supports == walk(before).layout.supports


def test_a_new_way_beneath_a_plan_and_another_new_way_gives_back_the_line_as_it_ran() -> None:
    before = line_of(*range(0, 121, 20))
    job = another_way()
    job = accepted_again(job, fresh_layout(job, walk(job)), LATER, "Ana")
    first, second = job.posts, walk(job)
    way = NewWay("P1", next(iter(second.layout.lines["n"].supports[2:3])), ())
    job = with_new_way(job, second, given_up(job, second, way, LATER), LATER, "Ana")
    assert job.posts != first
    assert in_the_way(job, next(entry for entry in job.log if entry.kind == "reroute")) == ""
    back = first_struck(job, "reroute")
    assert (back.lines, back.gates, back.shots, back.posts) == (before.lines, before.gates, before.shots, before.posts)
    assert {key: tick.reading_in for key, tick in back.checks.items()} == {CLOSED: None, SAG: 6.0}
    assert [entry.kind for entry in live(back.log)] == []


def test_what_was_done_to_a_post_that_a_new_way_left_as_it_was_stays_when_that_is_struck() -> None:
    """P2 stands before the new way, by the same station; P6 past it, by another one. P3 is where it begins."""
    for post in ("P2", "P6"):
        job = edits.move_post(another_way(), post, LATER, "Ana", along_ft=1.0, out_ft=0.5)
        assert with_it(job, "reroute") == ""
        back = struck(job, "reroute")
        assert [(entry.kind, entry.struck_by) for entry in back.log][-2:] == [("reroute", "Teal"), ("move", "")]
        assert walk(back).layout.supports[post].xy == pytest.approx(walk(job).layout.supports[post].xy)
    end = edits.move_post(another_way(), "P3", LATER, "Ana", along_ft=1.0)
    assert with_it(end, "reroute") == "Struck with it: the move of P3 on Apr 23."
    assert walk(struck(end, "reroute")).layout.supports["P3"].xy == pytest.approx((0.0, 40.0))


@pytest.mark.parametrize(("station_ft", "stays"), [(30.0, True), (70.0, False)])
def test_a_post_added_before_the_new_way_stays_and_one_added_along_it_goes_with_it(station_ft: float, stays: bool) -> None:
    job = edits.add_post(another_way(), "n", station_ft, LATER, "Ana")
    added = job.log[-1].post  # type: ignore[union-attr]  # of a post
    job = edits.move_post(job, added, LATER, "Ana", out_ft=1.0)
    back = struck(job, "reroute")
    if not stays:
        assert with_it(job, "reroute") == f"Struck with it: the adding of {added} on Apr 23 and the move of {added} on Apr 23."
        assert (added in walk(back).layout.supports, live(back.log)) == (False, ())
        return
    assert walk(back).layout.supports[added].xy == pytest.approx((1.0, station_ft))


def test_what_was_done_to_a_post_that_a_plan_took_as_it_was_stays_when_that_is_struck() -> None:
    job = laid_out_again()
    assert job.posts["P1"] == line_of(0, 19.7, 36, 54, 72, 90, 120).posts["P1"]
    moved = edits.add_post(edits.move_post(job, "P1", LATER, "Ana", out_ft=0.5), "n", 100.0, LATER, "Ana")
    back = struck(moved, "planned")
    assert [entry.kind for entry in live(back.log)] == ["move", "add"]
    assert walk(back).layout.supports["P1"].xy == pytest.approx((0.5, 0.0))


def test_nothing_stays_on_a_first_plan_that_is_struck() -> None:
    job = edits.accept_layout(straight(120.0), line_of(0, 60, 120).posts, AT, BY)
    added = edits.add_post(job, "n", 30.0, LATER, "Ana")
    assert with_it(added, "planned") == "Struck with it: the adding of P4 on Apr 23."
    assert (struck(added, "planned").posts, live(struck(added, "planned").log)) == ({}, ())


@pytest.mark.parametrize(
    ("table", "name", "fields", "says"),
    [
        ("gates", "main", {"line": "n", "station_ft": 140.0}, "Gate main was changed since."),
        ("gates", "second", {"line": "n", "station_ft": 60.0}, "Gate second was entered on n since, along the new way."),
        ("shots", "W", {"method": "level", "line": "n", "station_ft": 60.0, "level_ft": 9.0}, "Shot W was entered on n since"),
        ("heights", "low", {"line": "n", "from_ft": 50, "to_ft": 70, "height_ft": 5}, "Change of height low was entered on n since"),
    ],
)
def test_what_was_entered_along_a_new_way_is_named(table: str, name: str, fields: dict[str, object], says: str) -> None:
    assert refused(entering.put(another_way(), table, name, fields), "reroute").startswith(says)


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("station_ft", "there", "words"),
    [(20, (0, 20), "20' 0\""), (55, (12.4808, 48.3205), "48' 3 7/8\""), (140, (0, 107.8889), "107' 10 5/8\"")],
)
def test_a_rock_stays_where_it_was_found_whichever_way_is_struck(
    station_ft: float, there: tuple[float, float], words: str, tmp_path: Path
) -> None:
    """Before the new way; 15 ft along its first run, which goes 30 ft out in 20; and past it, where it is 32' 1 3/8" longer."""
    job = another_way()
    found = with_places(edits.obstacle(job, "rock", "n", station_ft, LATER, BY, long_ft=2, wide_ft=1), walk(job), job)
    assert with_it(found, "reroute") == ""
    back = struck(found, "reroute")
    for was in (found, back):
        (rock,) = (one for one in walk(was).layout.keep_outs if one.id.source == "log")
        middle = tuple((max(at) + min(at)) / 2 for at in zip(*rock.polygon, strict=True))
        assert middle == pytest.approx(there, abs=0.01)
    assert rock.why == f"rock found at {words} on n"
    path = new(tmp_path / "yard.toml", back, AT, state=tmp_path / "state").path
    assert load(path).job == back


def test_a_rock_of_which_an_older_program_wrote_no_place_goes_with_the_new_way_it_was_taped_along() -> None:
    found = edits.obstacle(another_way(), "rock", "n", 60, LATER, BY)
    assert with_it(found, "reroute") == "Struck with it: the rock found on n on Apr 23."
    assert live(struck(found, "reroute").log) == ()
    before = edits.obstacle(another_way(), "rock", "n", 20, LATER, BY)
    assert (with_it(before, "reroute"), struck(before, "reroute").lines["n"].points) == ("", ("S", "E"))


def older(job: Job) -> Job:
    """The job as an older program wrote it, which kept nothing of what stood before a plan."""
    bare = [entry.model_copy(update={"before": None}) if entry.kind == "planned" else entry for entry in older_ways(job).log]
    return job.model_copy(update={"log": tuple(bare)})


def older_ways(job: Job) -> Job:
    """The same of new ways alone."""
    bare = [entry.model_copy(update={"before": None, "after": None}) if entry.kind == "reroute" else entry for entry in job.log]
    return job.model_copy(update={"log": tuple(bare)})


def test_a_new_way_that_an_older_program_wrote_says_that_it_is_not_kept() -> None:
    """The line runs there, and only that entry says what it ran through and which sleeves it left."""
    assert refused(older(another_way()), "reroute").startswith("What stood before it isn't kept in this file")


def test_a_plan_that_an_older_program_wrote_is_struck_in_the_log_and_stays_as_it_stands() -> None:
    job = edits.move_post(older(laid_out_again()), "P2", LATER, "Ana", along_ft=1)
    assert comes_of_it(job, job.log[0]) == (
        "What stood before it isn't kept in this file, which an older program wrote. The plan stays as it stands: only the log changes."
    )
    back = struck(job, "planned")
    assert [(entry.kind, entry.struck_by) for entry in back.log] == [("planned", "Teal"), ("move", "")]
    assert walk(back).layout.supports == walk(job).layout.supports


def test_moves_that_a_plan_of_an_older_program_holds_are_struck_with_it() -> None:
    """Its posts stand where they were moved to: without the plan the move would count again."""
    moved = edits.move_post(line_of(0, 19.7, 36, 54, 72, 90, 120), "P4", AT, BY, along_ft=1.0)
    job = older(edits.accept_layout(moved, planned_posts(walk(moved).layout), LATER, BY))
    assert with_it(job, "planned").endswith("only the log changes. Struck with it: the move of P4 on Apr 14.")
    for back in (struck(job, "planned"), struck(struck(job, "move"), "planned")):
        assert (back.posts, live(back.log), walk(back).layout.supports["P4"].xy) == (job.posts, (), pytest.approx((0, 55)))


def test_a_plan_beneath_a_new_way_that_an_older_program_wrote_says_that() -> None:
    job = laid_out_again()
    before = walk(job)
    way = with_new_way(job, before, given_up(job, before, NewWay("P1", "P4", ("N",)), LATER), LATER, BY)
    says = refused(older_ways(way), "planned")
    assert says.startswith("The new way of n on Apr 23 stands on it. What stood before it isn't kept in this file")


@pytest.mark.parametrize(("kind", "job"), [("planned", laid_out_again()), ("reroute", another_way())])
def test_it_is_told_by_the_file_on_another_day(kind: str, job: Job, tmp_path: Path) -> None:
    path = new(tmp_path / "yard.toml", job, AT, state=tmp_path / "state").path
    there = load(path).job
    assert there == job
    assert struck(there, kind) == struck(job, kind)


def test_a_first_plan_holds_no_copy_of_itself(tmp_path: Path) -> None:
    job = straight(120.0)
    path = new(tmp_path / "yard.toml", edits.accept_layout(job, line_of(0, 60, 120).posts, AT, BY), AT, state=tmp_path / "state").path
    assert path.read_text(encoding="utf-8").count("[log.") == 1
    assert struck(load(path).job, "planned").posts == {}


def test_a_reading_that_was_taken_back_comes_back_and_one_ticked_anew_goes_into_the_log() -> None:
    job = edits.tick(line_of(*range(0, 121, 20)), SAG, AT, BY, reading_in=6)
    opened = edits.untick(job, SAG, LATER, "Ana")
    assert struck(opened, "superseded").checks == job.checks
    again = edits.tick(opened, SAG, LATER, "Ana", reading_in=7)
    assert comes_of_it(again, again.log[0]) == 'L2 sag: 7", ticked on Apr 23 by Ana, counts no more.'
    back = struck(again, "superseded")
    assert back.checks == job.checks
    assert [(entry.reading_in, entry.opened, entry.struck_by) for entry in back.log] == [(6.0, True, "Teal"), (7.0, True, "")]  # type: ignore[union-attr]  # ticks


def test_a_new_name_is_followed_into_what_is_kept() -> None:
    """The line's first point, its gate and the line itself get other names after the new way; it is struck all the same."""
    job = entering.rename(another_way(), "points", "S", "start")
    job = entering.rename(entering.rename(job, "gates", "main", "drive"), "lines", "n", "north")
    back = struck(job, "reroute")
    assert back.lines["north"].points == ("start", "E")
    assert (back.gates["drive"].line, back.gates["drive"].station_ft) == ("north", 101.0)
    assert {post.line for post in back.posts.values()} == {"north"}
