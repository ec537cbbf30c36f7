"""What is typed in one burst with its Enter is what is in the file, in every form and box, and so it is on a real terminal."""

import fcntl
import os
import pty
import select
import signal
import struct
import sys
import termios
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from time import monotonic

import pytest
from textual.events import Paste

from engine.job.file.store import load
from engine.job.model.item_key import item_key
from engine.stages.punch.closing_list import left_open
from engine.walk import walk
from tests.tui.driving import burst, keys, on_disk, reach, until_saved
from tui.app import LinewalkApp
from tui.entry.entry_form import FormScreen
from tui.entry.forms import FORMS

DEPTH = item_key("posts.P2.driven_depth")
PROCESSORS = os.sched_getaffinity(0)

CORRECTED = {
    "job": ("number", "26-77", lambda job: job.job.number, "26-77"),
    "utility_notice": ("ticket", "T 4411", lambda job: job.utility_notice.ticket, "T 4411"),
    "points": ("note", "pin found", lambda job: job.points["A"].note, "pin found"),
    "shots-tie": ("tape_b_ft", "23' 7 1/2\"", lambda job: job.shots["tie-M"].tape_b_ft, 23.625),
    "shots-tape": ("length_ft", "27", lambda job: job.shots["tape-M-C"].length_ft, 27.0),
    "shots-offset": ("along_ft", "11' 3\"", lambda job: job.shots["offset-F1"].along_ft, 11.25),
    "shots-paces": ("paces", "41", lambda job: job.shots["paces-C-B"].paces, 41.0),
    "shots-level": ("rod_ft", "4.25", lambda job: job.shots["level-01"].rod_ft, 4.25),
    "structures": ("height_ft", "12", lambda job: job.structures["house"].height_ft, 12.0),
    "trees": ("diameter_in", "14 1/2", lambda job: job.trees["oak"].diameter_in, 14.5),
    "obstacles": ("note", "slate", lambda job: job.obstacles["ledge"].note, "slate"),
    "utilities": ("depth_in", "18", lambda job: job.utilities["gas"].depth_in, 18.0),
    "boundaries": ("setback_ft", "1' 3\"", lambda job: job.boundaries["west"].setback_ft, 1.25),
    "decks": ("height_ft", "3", lambda job: job.decks["deck"].height_ft, 3.0),
    "lines": ("note", "along the wood", lambda job: job.lines["back"].note, "along the wood"),
    "gates": ("leaf_width_ft", "4", lambda job: job.gates["side"].leaf_width_ft, 4.0),
    "yards": ("name", "Back yard", lambda job: job.yards["back"].name, "Back yard"),
    "dogs": ("weight_lb", "44", lambda job: job.dogs["biscuit"].weight_lb, 44.0),
    "fence": ("height_ft", "5", lambda job: job.fence.height_ft, 5.0),
    "stock": ("loaded", "7", lambda job: job.stock["cable-3-32"].loaded, 7),
    "rules-survey": ("misfit", "4", lambda job: job.rules.survey.misfit, 4.0),
    "rules-layout": ("bay_max_ft", "22", lambda job: job.rules.layout.bay_max_ft, 22.0),
    "rules-posts": ("pull_days", "9", lambda job: job.rules.posts.pull_days, 9),
    "rules-bracing": ("foot_ft", "4' 6\"", lambda job: job.rules.bracing.foot_ft, 4.5),
    "rules-cables": ("tension_lbf", "60", lambda job: job.rules.cables.tension_lbf, 60.0),
    "rules-fabric": ("lap_in", "5", lambda job: job.rules.fabric.lap_in, 5.0),
    "rules-staking": ("stake_max_ft", "3' 6\"", lambda job: job.rules.staking.stake_max_ft, 3.5),
    "rules-gate": ("gap_in", "3", lambda job: job.rules.gate.gap_in, 3.0),
    "rules-hours": ("pause_min", "25", lambda job: job.rules.hours.pause_min, 25.0),
}
"""By kind of record: the field corrected of its first record, what is typed, where the file holds it, and what it then holds."""

FRESH = {
    "rough": ("140\t15\r", lambda job: (job.rough.length_ft, job.rough.spread_pct), (140.0, 15.0)),
    "shots-leg": ("A\tM\tN 45 E\t30' 6\"\r", lambda job: [shot.length_ft for shot in job.shots.values() if shot.method == "leg"], [30.5]),
    "surfaces": ("path\tback\t30\t34\tpaving\r", lambda job: (job.surfaces["path"].from_ft, job.surfaces["path"].to_ft), (30.0, 34.0)),
    "heights": ("low\tback\t60\t90\t4\r", lambda job: job.heights["low"].height_ft, 4.0),
}
"""Kinds that the job has no record of: all of a new one in one burst."""

BOXES = {
    "obstacle": ("lo\t\t80\r\r", lambda job: (job.log[-1].kind, job.log[-1].station_ft), ("obstacle", 80.0)),
    "add": ("la236\t\twide bay\r\r", lambda job: (job.log[-1].kind, job.log[-1].station_ft, job.log[-1].why), ("add", 236.0, "wide bay")),
    "leave out": ("ld\rnot needed\r\r", lambda job: (job.log[-1].kind, job.log[-1].why), ("drop", "not needed")),
    "note": ("lnopens inwards\r", lambda job: (job.log[-1].kind, job.log[-1].text), ("note", "opens inwards")),
    "delivery": ("listak\t3\r\r", lambda job: (job.log[-1].stock, job.log[-1].packs), ("stake", 3)),
    "move": (
        "m1' 6\"\r-3 in\rrock\r",
        lambda job: [getattr(job.log[-1], name) for name in ("along_ft", "out_ft", "why")],
        [1.5, -0.25, "rock"],
    ),
    "reading": ("30\r", lambda job: job.checks[DEPTH].reading_in, 30.0),
    "reading out of range": ("3\rslate\r", lambda job: (job.checks[DEPTH].reading_in, job.checks[DEPTH].note), (3.0, "slate")),
    "readings": (
        "30\r29 1/2\r",
        lambda job: [tick.reading_in for tick in job.checks.values()],
        [30.0, 29.5],
    ),
    "layout kept": ("jksix\rlow\r", lambda job: job.alternatives["six"].note, "low"),
    "photo": ("lpgate.jpg\tthe latch\r", lambda job: (job.log[-1].file, job.log[-1].caption), ("gate.jpg", "the latch")),
    "strike": ("gs\r", lambda job: [entry.struck_by for entry in job.log], ["Ann"]),
    "shots called": (
        "1ctie W1 A 50 B 60 2 1/2 right\rtape A W1 50\r",
        lambda job: (job.shots["tie-W1"].tape_b_ft, job.shots["tape-W1-A"].length_ft),
        (pytest.approx(60 + 2.5 / 12, abs=1e-4), 50.0),
    ),
    "who": ("wBo\r1 ", lambda job: [tick.by for tick in job.checks.values()], ["Bo"]),
}
"""Every box: all the keys from the job on, where the file holds what was typed, and what it then holds."""


def _to(kind: str) -> list[str]:
    """Keys from the first kind of record to this one, the shorter way round."""
    at = [form.kind for form in FORMS].index(kind)
    return ["down"] * at if at <= len(FORMS) / 2 else ["up"] * (len(FORMS) - at)


@pytest.mark.parametrize("kind", CORRECTED)
async def test_a_value_and_its_enter_at_once_correct_a_record(path: Path, kind: str) -> None:
    field, text, held, expected = CORRECTED[kind]
    app = LinewalkApp(loaded=load(path), by="Ann")
    async with app.run_test(size=(80, 24)) as pilot:
        single = next(form.single for form in FORMS if form.kind == kind)
        await keys(pilot, "e", *_to(kind), *(() if single else ("right",)), "enter")
        assert isinstance(app.screen, FormScreen)
        while app.focused is not None and app.focused.id != f"in-{field}":
            await pilot.press("tab")
        await burst(pilot, text + "\r")
    assert held(on_disk(path)) == expected


@pytest.mark.parametrize("kind", FRESH)
async def test_a_whole_record_and_its_enter_at_once_are_entered(path: Path, kind: str) -> None:
    text, held, expected = FRESH[kind]
    app = LinewalkApp(loaded=load(path), by="Ann")
    async with app.run_test(size=(80, 24)) as pilot:
        await keys(pilot, "e", *_to(kind), "enter")
        await burst(pilot, text)
    assert held(on_disk(path)) == expected


def test_every_form_has_its_case() -> None:
    assert {form.kind for form in FORMS} == CORRECTED.keys() | FRESH.keys()


@pytest.mark.parametrize("box", BOXES)
async def test_a_box_takes_all_that_was_typed_at_once(path: Path, box: str) -> None:
    text, held, expected = BOXES[box]
    app = LinewalkApp(loaded=load(path), by="Ann")
    async with app.run_test(size=(80, 24)) as pilot:
        app.screen.chosen = "P3"  # type: ignore[attr-defined]  # the walk screen's
        await pilot.pause()
        if box.startswith("reading"):
            await reach(pilot, DEPTH)
            await keys(pilot, "down", "up")
        await burst(pilot, text)
    assert held(on_disk(path)) == expected


async def test_sign_off_and_reopening_take_every_reason(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Ann")
    async with app.run_test(size=(80, 24)) as pilot:
        walked = walk(load(path).job)
        left = len(left_open(walked.punch, walked.stage_findings, walked.checklists))
        await burst(pilot, "s" + "".join(f"reason {n}\r" for n in range(left)) + "Mo\rthe client\r")
        signed = on_disk(path)
        assert signed.record is not None
        assert (signed.record.told_by, signed.log[-1].accepted_by) == ("Mo", "the client")
        await burst(pilot, "sdeer came\r\r")
        assert [notice.message for notice in app._notifications] == ["Reopened: deer came. u takes that back."], "no word of the seal"
    assert on_disk(path).log[-1].why == "deer came"


async def test_a_new_job_is_called_what_was_typed(file: Path) -> None:
    app = LinewalkApp(folder=file.parent, by="Ann")
    async with app.run_test(size=(80, 24)) as pilot:
        await until_saved(pilot)
        await burst(pilot, "nelm\r")
    assert (file.parent / "elm.toml").exists()


@pytest.mark.parametrize(("text", "number"), [("26-88\r", "26-88"), ("26\n88\n", "26 88"), ("26-99", "2611")])
async def test_lines_pasted_become_one_and_their_last_end_is_an_enter(path: Path, text: str, number: str) -> None:
    app = LinewalkApp(loaded=load(path), by="Ann")
    async with app.run_test(size=(80, 24)) as pilot:
        await keys(pilot, "e", "enter")
        app.post_message(Paste(text))
        await until_saved(pilot)
    assert on_disk(path).job.number == number


async def test_a_length_pasted_onto_a_cell_is_its_reading_and_its_end_an_enter(path: Path) -> None:
    """The first paste starts and keeps a reading; of the next, begun by hand, the end is pasted; on a plain check nothing is read."""
    app = LinewalkApp(loaded=load(path), by="Ann")
    async with app.run_test(size=(80, 24)) as pilot:
        await reach(pilot, item_key("posts.P4.driven_depth"))
        await keys(pilot, "up", "down")
        for typed_first, pasted in (("", "28 1/2\r"), ("2", "9\n")):
            await burst(pilot, typed_first)
            app.post_message(Paste(pasted))
            await until_saved(pilot)
        await keys(pilot, "right")
        app.post_message(Paste("30\r"))
        await until_saved(pilot)
    read = {str(key): tick.reading_in for key, tick in on_disk(path).checks.items()}
    assert read == {"posts.P4.driven_depth": 28.5, "posts.P5.driven_depth": 29.0}


async def test_lines_pasted_into_the_survey_s_row_are_a_shot_each(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Ann")
    async with app.run_test(size=(80, 24)) as pilot:
        await keys(pilot, "1", "c")
        app.post_message(Paste("tie T8 A 60 B 72 1 3/8 left\ntie T9 A 63 3 B 63 3 left\n"))
        await until_saved(pilot)
    assert {"tie-T8", "tie-T9"} <= on_disk(path).shots.keys()


async def test_a_line_feed_is_an_enter_in_the_sheet_a_form_and_a_box(path: Path) -> None:
    app = LinewalkApp(loaded=load(path), by="Ann")
    async with app.run_test(size=(80, 24)) as pilot:
        await reach(pilot, DEPTH)
        await keys(pilot, "down", "up")
        await keys(pilot, "3", "0", "ctrl+j", "l", "n", "o", "k", "ctrl+j", "e", "ctrl+j", "2", "6", "ctrl+j")
    job = on_disk(path)
    assert (job.checks[DEPTH].reading_in, job.log[-1].text, job.job.number) == (30.0, "ok", "26")


@pytest.mark.parametrize("processors", [{min(PROCESSORS)}, PROCESSORS], ids=["on one processor", "on all"])
def test_on_a_real_terminal_too(path: Path, processors: set[int]) -> None:
    with on_a_terminal(path, processors) as terminal:
        painted_until(terminal, "tick")
        os.write(terminal, b"e\r26-77\r")
        painted_until(terminal, "26-77")
        os.write(terminal, b"\r\x1b[200~26-88\r\x1b[201~\x1b")
        until_number(terminal, path, "26-88")


def test_what_is_typed_while_the_program_starts_has_its_enters(path: Path) -> None:
    """The terminal isn't the program's yet, and makes a line feed of each."""
    with on_a_terminal(path, PROCESSORS) as terminal:
        os.write(terminal, b"e\r26-77\r")
        until_number(terminal, path, "26-77")


@contextmanager
def on_a_terminal(path: Path, processors: set[int]) -> Iterator[int]:
    """The program on a job, on a terminal of its own."""
    pid, terminal = pty.fork()
    if pid == 0:
        os.sched_setaffinity(0, processors)
        os.environ.update(TERM="xterm-256color")
        os.execv(sys.executable, [sys.executable, "-m", "tui", str(path), "--by", "Ann"])
    fcntl.ioctl(terminal, termios.TIOCSWINSZ, struct.pack("HHHH", 24, 80, 0, 0))
    try:
        yield terminal
    finally:
        os.kill(pid, signal.SIGKILL)
        os.waitpid(pid, 0)
        os.close(terminal)


def until_number(terminal: int, path: Path, number: str) -> None:
    """Reads what is painted until the file has this number for its job."""
    end = monotonic() + 20
    while on_disk(path).job.number != number:
        assert monotonic() < end, on_disk(path).job.number
        if select.select([terminal], [], [], 0.1)[0]:
            os.read(terminal, 65536)


def painted_until(terminal: int, words: str) -> None:
    """Reads what is painted until these words are."""
    painted, end = b"", monotonic() + 20
    while words.encode() not in painted:
        assert monotonic() < end, painted[-500:]
        if select.select([terminal], [], [], 0.1)[0]:
            painted += os.read(terminal, 65536)
