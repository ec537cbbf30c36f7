"""The command that writes the sheets of a crew without a laptop."""

from pathlib import Path

import pytest

from tests.stages.yards import plain
from tests.tui.test_cli import job_file
from tui.cli import main


def test_crew_sheets_are_written_to_print_and_said(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file, out = job_file(tmp_path, plain()), tmp_path / "sheets.html"
    raw = file.read_bytes()
    assert main(["sheets", str(file), "-o", str(out)]) == 0
    assert capsys.readouterr().out == f"{out}\n"
    assert "Before you start" in out.read_text(encoding="utf-8")
    assert file.read_bytes() == raw


def test_where_to_write_them_is_asked_for(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as left:
        main(["sheets", "yard.toml"])
    assert left.value.code == 2
    assert "-o" in capsys.readouterr().err
