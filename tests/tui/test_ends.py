"""How the command line ends where it can't go on: each with one sentence and a code of its own, and the file as it was."""

import errno
import os
import pty
import select
import shutil
import signal
import subprocess
import sys
from pathlib import Path
from threading import Timer

import pytest

import tui.words.told
from engine.job.file.disk import why
from engine.job.file.store import load
from tests.demo import DEMO
from tests.source import ROOT
from tui.cli import main
from tui.working.fault_report import fault_words

Captured = pytest.CaptureFixture[str]


@pytest.fixture
def job(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    return Path(shutil.copy(DEMO, tmp_path / "yard.toml"))


def run(*words: str, stdout: int | None = subprocess.PIPE) -> subprocess.CompletedProcess[bytes]:
    """The program in a process of its own, without a terminal."""
    command = [sys.executable, "-m", "tui", *words]
    return subprocess.run(command, cwd=ROOT, stdin=subprocess.DEVNULL, stdout=stdout, stderr=subprocess.PIPE, check=False)


def test_a_full_output_ends_in_one_sentence(job: Path) -> None:
    full = os.open("/dev/full", os.O_WRONLY)
    done = run("plan", "--json", str(job), stdout=full)
    os.close(full)
    assert done.returncode == 4
    assert done.stderr.decode().endswith(f": {why(OSError(errno.ENOSPC, ''))}\n")


def test_an_output_nobody_reads_any_more_ends_in_one_sentence(job: Path) -> None:
    reads, writes = os.pipe()
    os.close(reads)
    done = run("plan", "--json", str(job), stdout=writes)
    os.close(writes)
    assert (done.returncode, done.stderr.decode()) == (4, "Not everything was printed: whoever read it went away.\n")


@pytest.mark.parametrize("words", [["open"], ["demo"]])
def test_no_screen_without_a_terminal(job: Path, tmp_path: Path, words: list[str]) -> None:
    done = run(*words, str(job if words == ["open"] else tmp_path / "demo"))
    assert done.returncode == 2
    assert done.stderr.decode().startswith("A screen needs a terminal, and there is none here.")


def test_demo_jobs_do_not_go_below_a_file_nor_into_the_home_folder_instead(
    job: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Captured
) -> None:
    home = tmp_path / "home"
    home.mkdir()
    monkeypatch.setattr(Path, "home", lambda: home)
    assert main(["demo", str(job / "sub"), "--copy-only"]) == 2
    assert "sub: yard.toml is a file, so no folder can be made in it. Give another one." in capsys.readouterr().err
    assert list(home.iterdir()) == []


def test_demo_jobs_do_not_go_into_a_file(job: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Captured) -> None:
    home = tmp_path / "home"
    home.mkdir()
    monkeypatch.setattr(Path, "home", lambda: home)
    before = job.read_bytes()
    assert main(["demo", str(job), "--copy-only"]) == 2
    assert "yard.toml: is a file, and the demo jobs go into a folder." in capsys.readouterr().err
    assert (job.read_bytes(), list(home.iterdir())) == (before, [])


@pytest.mark.parametrize("command", ["record", "load"])
def test_an_empty_name_to_write_to_is_refused(command: str, job: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    before = sorted(tmp_path.iterdir())
    with pytest.raises(SystemExit) as ended:
        main([command, str(job), "-o", ""])
    assert (ended.value.code, sorted(tmp_path.iterdir())) == (2, before)


def test_a_folder_that_never_was_is_not_said_to_have_gone(job: Path, tmp_path: Path, capsys: Captured) -> None:
    assert main(["record", str(job), "-o", str(tmp_path / "nowhere" / "record.html")]) == 2
    no_folder = f"there is no folder {tmp_path / 'nowhere'} to put it in. Make it, or choose another place.\n"
    assert capsys.readouterr().err == f"record.html: couldn't be written: {no_folder}"
    assert main(["new", str(tmp_path / "nowhere" / "new.toml")]) == 2
    assert capsys.readouterr().err == f"new.toml: {no_folder}"


def test_a_record_cut_out_is_said_by_check(job: Path, capsys: Captured) -> None:
    signed = Path(shutil.copy(ROOT / "demo_jobs" / "alder_row.toml", job.parent / "signed.toml"))
    main(["check", str(signed)])
    assert "seal  " not in capsys.readouterr().out
    signed.write_text(signed.read_text(encoding="utf-8").replace('accepted_by = "', 'accepted_by = "not ', 1), encoding="utf-8")
    main(["check", str(signed)])
    assert "seal  Signed off, but the file isn't what was signed: it was changed afterwards." in capsys.readouterr().out


def test_a_fault_of_ours_has_a_code_of_its_own_and_a_report(job: Path, monkeypatch: pytest.MonkeyPatch, capsys: Captured) -> None:
    def broken(_args: object) -> int:
        raise ZeroDivisionError("the client's name")

    monkeypatch.setattr(tui.words.told, "_check", broken)
    before = job.read_bytes()
    assert main(["check", str(job)]) == 3
    said = capsys.readouterr()
    (report,) = (job.parent / "state" / "linewalk" / "faults").iterdir()
    assert said.err == f"Linewalk met a fault of its own. The report is in {report}; send it to whoever looks after the program.\n"
    assert (said.out, job.read_bytes()) == ("", before)
    assert "ZeroDivisionError: the client's name" in report.read_text(encoding="utf-8")


def test_where_no_report_can_be_written_that_is_said(tmp_path: Path) -> None:
    (tmp_path / "faults").write_text("a file in its place", encoding="utf-8")
    assert fault_words(ValueError("x"), tmp_path / "faults") == (
        "Linewalk met a fault of its own (ValueError), and no report of it could be written: File exists."
    )


BREAKS = """
import sys
from tui.working import saver
saver.PAUSE_S = saver.LONGEST_PAUSE_S = 60
from tui.screens.job_keys import JobKeys
def broken(self):
    raise RuntimeError("row 7 of the client")
JobKeys.action_materials = broken
from tui.cli import main
sys.exit(main([sys.argv[1], "--by", "Mo"]))
"""


HEEDED = "import signal; signal.signal(signal.SIGINT, signal.default_int_handler)\n"
"""A program that is started behind a shell's prompt is deaf to that signal, and the tests may be."""
SLOW = """
import sys
from tui.working import saver
saver.PAUSE_S = saver.LONGEST_PAUSE_S = 60
from tui.cli import main
sys.exit(main([sys.argv[1], "--by", "Mo"]))
"""


def test_a_fault_on_the_screen_keeps_the_work_and_shows_nothing_of_the_job(job: Path) -> None:
    """A tick, then a key that breaks, in a real pseudo-terminal: the tick is in the file."""
    ours, theirs = pty.openpty()
    environment = {**os.environ, "TERM": "xterm-256color", "COLUMNS": "80", "LINES": "24"}
    command = [sys.executable, "-c", BREAKS, str(job)]
    process = subprocess.Popen(command, cwd=ROOT, stdin=theirs, stdout=theirs, stderr=theirs, env=environment)
    os.close(theirs)
    seen, typed = b"", [b" ", b"t"]
    last = Timer(60, process.kill)  # where nothing breaks, nothing else would ever end it
    last.start()
    while chunk := _read(ours):
        seen += chunk
        if typed and b"Willow" in seen:
            os.write(ours, typed.pop(0))
    last.cancel()
    assert process.wait(timeout=30) == 3
    tail = " ".join(seen.decode(errors="replace").rpartition("\x1b[?1049l")[2].split())
    assert "met a fault" in tail
    assert "Traceback" not in tail
    assert "row 7 of the client" not in tail
    assert len(load(job).job.checks) == 1


@pytest.mark.parametrize("sent", [signal.SIGHUP, signal.SIGTERM, signal.SIGINT])
def test_who_closes_the_terminal_or_ends_the_program_right_after_a_key_finds_it_in_the_file(job: Path, sent: signal.Signals) -> None:
    ours, theirs = pty.openpty()
    environment = {**os.environ, "TERM": "xterm-256color", "COLUMNS": "80", "LINES": "24"}
    process = subprocess.Popen(
        [sys.executable, "-c", f"{HEEDED}{SLOW}", str(job)], cwd=ROOT, stdin=theirs, stdout=theirs, stderr=theirs, env=environment
    )
    os.close(theirs)
    seen, typed = b"", False
    while chunk := _read(ours):
        seen += chunk
        if not typed and b"Willow" in seen:
            typed, _ = True, os.write(ours, b" ")
        if typed and b"saving" in seen:
            assert load(job).job.checks == {}
            process.send_signal(sent)
            typed, seen = True, b""
    try:
        assert process.wait(timeout=30) == {signal.SIGINT: 0}.get(sent, -sent)
    finally:
        process.kill()
        os.close(ours)
    assert len(load(job).job.checks) == 1


def _read(terminal: int) -> bytes:
    """What is painted next; nothing once the program is gone, or where it stands still for a minute."""
    try:
        return os.read(terminal, 65536) if select.select([terminal], [], [], 60)[0] else b""
    except OSError:
        return b""
