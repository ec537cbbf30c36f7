"""What was wanted when it was ticked: a height, a roll, a gate, what holds a brace foot. Older ticks don't say all of it."""

import pytest

from engine.change.older_ticks import with_facts
from engine.change.what_it_did import what_it_did
from engine.job.model.item_key import ItemKey, item_key
from engine.job.model.job import Job
from engine.job.model.tick_facts import NO_FACTS, as_said_by
from engine.walk import walk
from tests.demo import accepted
from tests.test_done_means_done import all_ticked, states


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
    keys = (*LEAF[:4], *AT_EYES, *WHOLE, "bracing.P2.footed")
    assert [key for key in keys if old.checks[item_key(key)].of == done.checks[item_key(key)].of] == []
    assert states(old, *keys) == dict.fromkeys(keys, "done")
    written = with_facts(old, walk(old))
    assert {key: f"{tick.of}" for key, tick in written.checks.items()} == {key: f"{tick.of}" for key, tick in done.checks.items()}
    assert set(states(in_need_of(written, height_ft=5.0), *keys).values()) == {"open"}


def test_an_opening_that_was_clear_for_one_mower_is_looked_at_again_for_another() -> None:
    """An older tick, which doesn't say for which, counts until the rule is another."""
    done = all_ticked(accepted())
    clear = item_key("layout.side.clear")
    says_less = done.checks[clear].model_copy(update={"of": as_said_by(NO_FACTS, done.checks[clear].of)})
    old = done.model_copy(update={"checks": {**done.checks, clear: says_less}})
    assert states(old, "layout.side.clear") == {"layout.side.clear": "done"}
    for job in (done, with_facts(old, walk(old))):
        gate = job.rules.gate.model_copy(update={"mower_width_in": 42.0})
        wider = job.model_copy(update={"rules": job.rules.model_copy(update={"gate": gate})})
        assert what_it_did(walk(job), walk(wider)).words(76) == "1 item opens again (side: opening clear for the mower)."
