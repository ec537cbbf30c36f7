"""What the command line refuses: names that no folder lists, a full disk, words that don't go together; nothing is left half made."""

from dataclasses import replace
from pathlib import Path

import pytest

from engine.job.file.disk import Disk
from tui.cli import main


@pytest.mark.parametrize("name", ["yard", "yard.html", "yard.TOML"])
def test_a_new_job_that_no_folder_would_list_is_refused(name: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["new", str(tmp_path / name)]) == 2
    assert capsys.readouterr().err == f"{name}: a folder lists only jobs that end in .toml. Call it yard.toml.\n"
    assert list(tmp_path.iterdir()) == []


def test_demo_onto_a_full_disk_says_so_and_leaves_no_half_job(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr("tui.demo.Disk", lambda: replace(Disk(), write=full))
    for folder in (tmp_path, tmp_path / "fresh"):
        assert main(["demo", str(folder), "--copy-only"]) == 2
    said = "alder_row.toml: couldn't be written: the disk is full. Make room on it, or choose another place.\n"
    assert capsys.readouterr().err == 2 * said
    assert list(tmp_path.iterdir()) == []


def full(*_: object) -> None:
    raise OSError(28, "No space left on device")


@pytest.mark.parametrize("words", [["record"], ["load"]])
def test_replace_without_a_file_to_replace_is_refused(words: list[str], tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as ended:
        main([*words, str(tmp_path / "yard.toml"), "--replace"])
    assert ended.value.code == 2
    assert "--replace is for a file: say which, -o OUT" in capsys.readouterr().err
