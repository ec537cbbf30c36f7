"""`linewalk check` and `linewalk merge` tell of photos that are named and missing, merge of two pictures of one name; that ends nothing."""

from pathlib import Path

import pytest

from engine.job.edit import edits
from engine.job.file.store import load, save
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


def picture(path: Path, end: bytes) -> None:
    path.parent.mkdir(exist_ok=True)
    path.write_bytes(b"\xff\xd8\xff" + end)


def test_merge_tells_of_two_pictures_of_one_name_and_of_those_that_are_not_beside_the_new_file(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folders = [tmp_path / name for name in "abc"]
    for folder in folders:
        folder.mkdir()
    here, there = (job_file(folder, accepted(), "yard.toml") for folder in folders[:2])
    for path, by in ((here, "Mo"), (there, "Teal")):
        job = load(path).job
        for name in ("IMG_1.jpg", "gate.jpg"):
            job = edits.photo(job, f"photos/{name}", AT, by, caption=by)
            picture(path.parent / "photos" / name, by.encode() if name == "IMG_1.jpg" else b"the gate")
        save(load(path), job, AT)
    for first, second in ((here, there), (there, here)):
        out = folders[2] / f"{first.parent.name}.toml"
        assert main(["merge", str(first), str(second), "-o", str(out)]) == 0
        *_, differs, away = capsys.readouterr().out.splitlines()
        assert differs.startswith(f"photos/IMG_1.jpg isn't one and the same picture beside {here} and {there}.")
        assert away.startswith("photos/IMG_1.jpg and photos/gate.jpg aren't beside this file. Copy them here from where ")
    assert main(["merge", str(here), str(there), "-o", str(here.with_name("joined.toml"))]) == 0
    said = capsys.readouterr().out
    assert ("isn't one and the same picture" in said, "beside this file" in said, "gate.jpg isn't" in said) == (True, False, False)
