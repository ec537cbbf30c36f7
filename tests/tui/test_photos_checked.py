"""`linewalk check` tells of photos that are named and missing; that counts as a note and ends nothing."""

from pathlib import Path

import pytest

from engine.job.edit import edits
from tests.demo import AT, accepted
from tests.tui.test_cli import job_file
from tui.cli import main


def test_a_missing_photo_is_a_note(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    bare, named = (
        job_file(tmp_path, accepted(), "bare.toml"),
        job_file(tmp_path, edits.photo(accepted(), "gate.jpg", AT, "Mo"), "named.toml"),
    )
    codes, told = [], []
    for path in (bare, named):
        codes.append(main(["check", str(path)]))
        told.append(capsys.readouterr().out.splitlines())
    assert codes[0] == codes[1]
    assert "note  photos: gate.jpg isn't beside the job." in told[1]
    notes = [int(lines[-1].split(" to fix, ")[1].split()[0]) for lines in told]
    assert notes[1] == notes[0] + 1
