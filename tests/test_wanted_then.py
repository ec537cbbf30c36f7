"""What was wanted when it was ticked, and what it was about: a height, a roll, a gate, where a line ran, how far out a brace foot stood.
Older ticks don't say all of it."""

from collections.abc import Callable
from datetime import timedelta
from pathlib import Path

import pytest

from engine.change.older_ticks import with_facts
from engine.change.what_it_did import what_it_did
from engine.job.edit import edits, entering
from engine.job.edit.entering import rename
from engine.job.file.store import load, new, save
from engine.job.merge.merge import merge
from engine.job.model.item_key import ItemKey, item_key
from engine.job.model.job import Job
from engine.job.model.log_entries import SupersededEntry
from engine.job.model.tick_facts import NO_FACTS, TickFacts, as_said_by
from engine.walk import walk
from tests.demo import AT, BY, accepted
from tests.test_done_means_done import LATER, all_ticked, states


def in_need_of(job: Job, **changes: object) -> Job:
    """The job with another fence, or another pull of its cables."""
    fence = {name: value for name, value in changes.items() if name != "tension_lbf"}
    pull = {name: value for name, value in changes.items() if name == "tension_lbf"}
    cables = job.rules.cables.model_copy(update=pull)
    return job.model_copy(update={"fence": job.fence.model_copy(update=fence), "rules": job.rules.model_copy(update={"cables": cables})})


LEAF = tuple(f"gate.side.{what}" for what in ("hung", "swing_clear", "latch_holds", "bottom_gap", "diagonal_a"))
AT_EYES = ("bracing.P2.band_a", "cables.L1.sag", "staking.P1-P2.flush", "staking.P1-P2.tight")
WHOLE = ("punch.back.walked", "punch.job.gates_worked_by_client", "punch.job.client_accepts")


def test_a_fence_of_another_height_opens_the_leaf_and_what_hangs_at_other_eyes_and_is_accepted_anew() -> None:
    """The leaf that hangs is of the old height; so are band, cables and the apron. A lock, a foot and a post stay what they are."""
    done = all_ticked(accepted())
    lower = in_need_of(done, height_ft=5.0)
    stays = ("gate.side.opening", "gate.side.hinge_plumb", "cables.L1.closed", "bracing.P2.foot_a", "posts.P2.plumb")

    assert set(states(done, *LEAF, *AT_EYES, *WHOLE, *stays).values()) == {"done"}
    assert states(lower, *LEAF, *AT_EYES, *WHOLE) == dict.fromkeys((*LEAF, *AT_EYES, *WHOLE), "open")
    assert states(lower, *stays) == dict.fromkeys(stays, "done")


def test_a_gate_of_another_width_or_none_is_worked_and_accepted_anew_and_the_yard_isn_t_walked_again() -> None:
    done = all_ticked(accepted())
    side = done.gates["side"]
    for gates in ({"side": side.model_copy(update={"leaf_width_ft": 4.5})}, {}):
        found = walk(done.model_copy(update={"gates": gates})).checklists["punch"].by_key
        open_ones = {key.what for key, line in found.items() if line.state == "open"}
        assert open_ones == {"client_accepts"} | ({"gates_worked_by_client"} if gates else set())


@pytest.mark.parametrize(
    ("roll", "opens", "stays"),
    [
        ("wire", ("wire_hung", "apron_turned", "slits_lapped", "seam_ringed"), ("mesh_hung", "corners_tied")),
        ("mesh", ("mesh_hung", "seam_ringed", "corners_tied"), ("wire_hung", "apron_turned")),
    ],
)
def test_what_hangs_of_another_roll_is_not_the_roll_that_is_wanted_now(roll: str, opens: tuple[str, ...], stays: tuple[str, ...]) -> None:
    """Rolls of 48" hang; 36" is what the fence wants now, and stakes go through another apron."""
    narrow = in_need_of(all_ticked(accepted()), **{roll: f"{roll}-36"})
    open_now, done_now = (tuple(f"fabric.L1.{what}" for what in some) for some in (opens, stays))

    assert states(narrow, *open_now) == dict.fromkeys(open_now, "open")
    assert states(narrow, *done_now) == dict.fromkeys(done_now, "done")
    assert states(narrow, "staking.P1-P2.tight") == {"staking.P1-P2.tight": "open" if roll == "wire" else "done"}


def test_a_brace_foot_that_was_held_without_a_plate_is_open_where_only_a_plate_would_hold_it() -> None:
    """By 50 lb of pull P2's foot may be banded lower and driven 17" deep; by 120 lb that doesn't hold."""
    done = all_ticked(accepted())
    footed = ItemKey("bracing", "P2", "footed")
    says = [walk(job).checklists["bracing"].by_key[footed].item.says for job in (done, in_need_of(done, tension_lbf=120.0))]

    assert ["or banded" in one for one in says] == [True, False]
    assert states(in_need_of(done, tension_lbf=120.0), str(footed), "bracing.P2.pinned") == {
        str(footed): "open",
        "bracing.P2.pinned": "done",
    }


def test_an_older_program_s_tick_that_lacks_a_size_counts_until_the_first_edit_writes_it_in() -> None:
    done = all_ticked(accepted())
    old = done.model_copy(
        update={"checks": {key: tick.model_copy(update={"of": as_said_by(NO_FACTS, tick.of)}) for key, tick in done.checks.items()}}
    )
    footed = "bracing.P2.footed"
    keys = (*LEAF[:4], *AT_EYES, *WHOLE, footed)
    assert [key for key in keys if old.checks[item_key(key)].of == done.checks[item_key(key)].of] == []
    assert states(old, *keys) == dict.fromkeys(keys, "done")
    written = with_facts(old, walk(old))
    assert {key: f"{tick.of}" for key, tick in written.checks.items()} == {key: f"{tick.of}" for key, tick in done.checks.items()}
    lower = states(in_need_of(written, height_ft=5.0), *keys)
    assert lower == {**dict.fromkeys(keys, "open"), footed: "done"}, "a foot under a lower fence holds more than is asked"
    assert states(in_need_of(written, tension_lbf=120.0), footed) == {footed: "open"}


def test_an_opening_that_was_clear_for_one_mower_is_looked_at_again_for_a_wider_one() -> None:
    """An older tick, which doesn't say for which, counts until the rule is another."""
    done = all_ticked(accepted())
    clear = item_key("layout.side.clear")
    says_less = done.checks[clear].model_copy(update={"of": as_said_by(NO_FACTS, done.checks[clear].of)})
    old = done.model_copy(update={"checks": {**done.checks, clear: says_less}})
    assert states(old, "layout.side.clear") == {"layout.side.clear": "done"}
    for job in (done, with_facts(old, walk(old))):
        gate = job.rules.gate.model_copy(update={"mower_width_in": 56.0})
        wider = job.model_copy(update={"rules": job.rules.model_copy(update={"gate": gate})})
        assert what_it_did(walk(job), walk(wider)).words(76) == "1 item opens again (side: opening clear for the mower)."


SURVEYED = tuple(
    f"survey.{item}"
    for item in ("job.client_walked", "west.boundary_found", "A-H.measured_twice", "A-B.measured_twice", "back.levels_shot",
                 "job.photos_taken")
)  # fmt: skip


def shot(job: Job, name: str, **fields: object) -> Job:
    """The job with a shot put right, or a new one made like another."""
    like = job.shots[str(fields.pop("like", name))].model_dump(exclude_none=True)
    return entering.put(job, "shots", name, {**like, **fields})


def without(job: Job, start: str) -> Job:
    """The job without the shots whose names start so."""
    return job.model_copy(update={"shots": {name: one for name, one in job.shots.items() if not name.startswith(start)}})


def without_tapes(job: Job) -> Job:
    """The job with nothing that checks its ties: a point lies where they say."""
    return without(without(job, "tape-"), "paces-")


def opened(before: Job, after: Job) -> set[str]:
    """What the survey asks again."""
    one, other = (walk(job).checklists["survey"].by_key for job in (before, after))
    return {str(key) for key, line in one.items() if line.state == "done" and other[key].state == "open"}


NEW = {"like": "tie-N1", "point": "Q9", "tape_a_ft": 31.0}
CHANGES: tuple[tuple[Callable[[Job], Job], set[str]], ...] = (
    (lambda job: shot(job, "tie-C", tape_a_ft=139.0), {"job.client_walked", "A-B.measured_twice", "back.levels_shot"}),
    (lambda job: shot(job, "tie-N1", tape_a_ft=18.8), {"west.boundary_found", "A-H.measured_twice"}),
    (lambda job: shot(job, "tie-N1", side="right"), {"west.boundary_found", "A-H.measured_twice"}),
    (lambda job: shot(job, "tie-Q9", **NEW), {"A-H.measured_twice"}),
    (lambda job: shot(job, "tie-N1-again", like="tie-N1", tape_a_ft=16.37), set()),
    (lambda job: shot(job, "tie-N1", tape_a_ft=16.3650), set()),
    (lambda job: without(job, "level-"), {"back.levels_shot"}),
    (lambda job: without(job, "level-07"), {"back.levels_shot"}),
    (lambda job: shot(job, "level-07", rod_ft=9.5), {"back.levels_shot"}),
    (lambda job: shot(job, "level-07", station_ft=91.0), {"back.levels_shot"}),
    (lambda job: shot(job, "level-99", like="level-07", station_ft=91.0), set()),
    (lambda job: job.model_copy(update={"lines": {**job.lines, "two": job.lines["back"]}}), {"job.client_walked", "job.photos_taken"}),
)


@pytest.mark.parametrize(("change", "asks"), CHANGES)
def test_what_was_done_on_the_survey_is_asked_again_where_what_it_was_done_for_changed(
    change: Callable[[Job], Job], asks: set[str]
) -> None:
    """A level at one more break, or one more tape of the same point, takes nothing back of what was shot and measured."""
    done = all_ticked(without_tapes(accepted()))
    after = change(done)
    assert states(done, *SURVEYED) == dict.fromkeys(SURVEYED, "done")
    assert opened(done, after) == {f"survey.{item}" for item in asks}
    back = after.model_copy(update={"shots": done.shots, "lines": done.lines})
    assert opened(done, back) == set()


def test_a_point_that_was_placed_after_it_was_ticked_is_held_from_the_next_edit_on() -> None:
    """The client walked the line before its corner was shot."""
    walked = item_key("survey.job.client_walked")
    bare = without(without_tapes(accepted()), "tie-C")
    job = edits.tick(bare, walked, AT, BY, of=walk(bare).checklists["survey"].by_key[walked].item.of)
    placed = job.model_copy(update={"shots": without_tapes(accepted()).shots})
    assert states(placed, str(walked)) == {str(walked): "done"}
    held = with_facts(placed, walk(placed))
    assert states(held, str(walked)) == {str(walked): "done"}
    assert states(shot(held, "tie-C", tape_a_ft=139.0), str(walked)) == {str(walked): "open"}


def test_a_tick_that_holds_but_names_counts_until_the_first_edit_writes_the_places_in() -> None:
    done = all_ticked(without_tapes(accepted()))
    checks = {key: tick.model_copy(update={"of": TickFacts(words=tick.of.words)}) for key, tick in done.checks.items()}
    twice = [key for key in checks if key.what in ("measured_twice", "photos_taken")]
    checks |= {key: checks[key].model_copy(update={"of": NO_FACTS}) for key in twice}
    old = done.model_copy(update={"checks": {key: tick for key, tick in checks.items() if key.stage == "survey"}})
    corner = {"tape_a_ft": 139.0}
    assert states(old, *SURVEYED) == dict.fromkeys(SURVEYED, "done")
    assert opened(old, shot(old, "tie-C", **corner)) == set()
    written = with_facts(old, walk(old))
    assert {key: tick.of for key, tick in written.checks.items()} == {key: done.checks[key].of for key in written.checks}
    assert opened(written, shot(written, "tie-C", **corner)) == opened(done, shot(done, "tie-C", **corner)) != set()


def test_a_level_that_was_added_since_is_no_part_of_what_was_ticked() -> None:
    """A new way adds levels of its own, and takes them away again where it is struck."""
    done = all_ticked(without_tapes(accepted()))
    added = shot(done, "level-99", like="level-07", station_ft=91.0)
    assert with_facts(added, walk(added)) is added
    assert opened(added, without(added, "level-99")) == set()
    assert opened(added, without(added, "level-07")) == {"survey.back.levels_shot"}
    again = edits.untick(added, item_key("survey.back.levels_shot"), LATER, BY)
    again = all_ticked(again)
    assert opened(again, without(again, "level-99")) == {"survey.back.levels_shot"}


def test_what_a_tick_holds_of_a_shot_follows_its_name_whether_it_counts_or_not() -> None:
    """With one more level since, it holds less than is asked; with one less it counts no more."""
    done = all_ticked(without_tapes(accepted()))
    for job in (done, shot(done, "level-99", like="level-07", station_ft=91.0), without(done, "level-07")):
        for old in ("level-08", "tie-C"):
            after = rename(job, "shots", old, "zz")
            assert states(after, *SURVEYED) == states(job, *SURVEYED)
            assert opened(after, shot(after, "zz", **({"rod_ft": 1.0} if old[0] == "l" else {"tape_a_ft": 139.0}))) == opened(
                job, shot(job, old, **({"rod_ft": 1.0} if old[0] == "l" else {"tape_a_ft": 139.0}))
            )
            assert rename(after, "shots", "zz", old) == job


AT_FOOT = tuple(f"bracing.P2.{what}" for what in ("solid_a", "band_a", "plumb", "footed"))


def foot_read(job: Job, out_ft: float, minutes: int = 0) -> Job:
    """The job with P2's brace foot read so far out."""
    foot = item_key("bracing.P2.foot_a")
    of = walk(job).checklists["bracing"].by_key[foot].item.of
    return edits.tick(job, foot, LATER + timedelta(minutes=minutes), BY, reading_ft=out_ft, of=of)


def farther_out(job: Job) -> Job:
    """The job whose braces are to stand further out."""
    bracing = job.rules.bracing.model_copy(update={"foot_ft": 6.5})
    return job.model_copy(update={"rules": job.rules.model_copy(update={"bracing": bracing})})


def test_what_was_done_at_a_brace_foot_is_open_where_the_foot_was_read_elsewhere_since() -> None:
    done = all_ticked(accepted())
    wanted = farther_out(done)
    assert states(wanted, *AT_FOOT[:3]) == dict.fromkeys(AT_FOOT[:3], "done"), "the foot stands where it stood"
    moved = foot_read(done, 5.4)
    assert states(moved, *AT_FOOT, "bracing.P2.foot_a") == {**dict.fromkeys(AT_FOOT, "open"), "bracing.P2.foot_a": "done"}
    assert states(moved, "bracing.P3.solid_a", "bracing.P2.pinned") == {"bracing.P3.solid_a": "done", "bracing.P2.pinned": "done"}
    assert "foot_gives" in {finding.code for finding in walk(moved).findings}
    assert states(foot_read(done, 5.01), *AT_FOOT) == dict.fromkeys(AT_FOOT, "done"), "a tape tells no difference"
    assert states(foot_read(moved, 5.0, 1), *AT_FOOT) == dict.fromkeys(AT_FOOT, "done"), "it stands where it stood again"
    assert states(foot_read(wanted, 6.5), *AT_FOOT[:3]) == dict.fromkeys(AT_FOOT[:3], "open")


def test_a_foot_that_was_read_after_it_was_set_is_held_from_the_next_edit_on() -> None:
    """An older file's ticks don't say how far out it stood either."""
    done = all_ticked(accepted())
    foot = item_key("bracing.P2.foot_a")
    bare = done.model_copy(update={"checks": {key: tick for key, tick in done.checks.items() if key != foot}})
    unread = {key: bare.checks[item_key(key)] for key in AT_FOOT}
    said = {item_key(key): tick.model_copy(update={"of": without_out(tick.of)}) for key, tick in unread.items()}
    bare = bare.model_copy(update={"checks": {**bare.checks, **said}})
    assert states(bare, *AT_FOOT) == dict.fromkeys(AT_FOOT, "done")
    read = foot_read(bare, 5.0)
    assert states(read, *AT_FOOT) == dict.fromkeys(AT_FOOT, "done")
    held = with_facts(read, walk(read))
    assert with_facts(held, walk(held)) is held
    assert {key: held.checks[item_key(key)].of for key in AT_FOOT} == {key: done.checks[item_key(key)].of for key in AT_FOOT}
    assert states(foot_read(held, 5.4, 1), *AT_FOOT) == dict.fromkeys(AT_FOOT, "open")


def test_two_who_set_one_foot_say_the_same_though_only_one_knew_how_far_out_it_was_read() -> None:
    done = all_ticked(accepted())
    keys = [item_key("bracing.P2.foot_a"), item_key("bracing.P2.solid_a")]
    base = done.model_copy(update={"checks": {key: tick for key, tick in done.checks.items() if key not in keys}})

    def solid(job: Job, minutes: int) -> Job:
        of = walk(job).checklists["bracing"].by_key[keys[1]].item.of
        return edits.tick(job, keys[1], LATER + timedelta(minutes=minutes), f"{minutes}", of=of)

    one, other = solid(foot_read(base, 5.2), 1), solid(base, 2)
    for ours, theirs in ((one, other), (other, one)):
        merged = merge(base, ours, theirs)
        assert merged.conflicts == ()
        assert states(merged.job, *map(str, keys)) == dict.fromkeys(map(str, keys), "done")


def without_out(of: TickFacts) -> TickFacts:
    """Facts that don't say how far out a foot stood."""
    return of._replace(sizes=tuple(size for size in of.sizes if not size.name.endswith(" read out")))


def test_what_was_opened_so_is_open_in_the_file_too_and_what_it_was_is_kept(tmp_path: Path) -> None:
    """Ticked, saved, opened, changed, saved and opened again."""
    first = new(tmp_path / "yard.toml", all_ticked(without_tapes(accepted())), AT, state=tmp_path / "state")
    there = load(first.path)
    assert states(there.job, *SURVEYED, *AT_FOOT) == dict.fromkeys((*SURVEYED, *AT_FOOT), "done")
    changed = foot_read(without(shot(shot(there.job, "tie-C", tape_a_ft=139.0), "tie-N1", tape_a_ft=18.8), "level-07"), 5.4)
    save(there, changed, LATER, state=tmp_path / "state")
    again = load(first.path).job
    asked = ("job.client_walked", "west.boundary_found", "A-H.measured_twice", "A-B.measured_twice", "back.levels_shot")
    assert opened(there.job, again) == {f"survey.{item}" for item in asked}
    assert states(again, *AT_FOOT) == dict.fromkeys(AT_FOOT, "open")
    key = item_key("survey.job.client_walked")
    line = walk(again).checklists["survey"].by_key[key]
    assert line.was is not None
    ticked = edits.tick(again, key, LATER + timedelta(minutes=5), BY, of=line.item.of)
    assert [entry.of for entry in ticked.log if isinstance(entry, SupersededEntry) and entry.item == key] == [line.was.of]
    assert states(ticked, str(key)) == {str(key): "done"}
