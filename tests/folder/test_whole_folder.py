"""Every job of a folder worked out: folders in it by their way from it, a link that leads back taken once, how far it is told."""

import shutil
from dataclasses import replace
from pathlib import Path

import pytest

from engine.folder.listing import listed
from engine.folder.whole_folder import whole_folder
from engine.job.errors import UnreadableFile
from engine.job.file.disk import Disk
from tests.demo import FOLDER


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    jobs = tmp_path / "jobs"
    (jobs / "2025" / "spring").mkdir(parents=True)
    shutil.copy(FOLDER / "alder_row.toml", jobs)
    shutil.copy(FOLDER / "alder_row.toml", jobs / "2025")
    shutil.copy(FOLDER / "alder_row.toml", jobs / "2025" / "spring" / "old.toml")
    (jobs / "2025" / "broken.toml").write_text("format = 1\n", encoding="utf-8")
    (jobs / "2025" / "back").symlink_to(jobs)
    return jobs


def test_the_rows_are_those_of_the_list_and_those_of_folders_in_it_only_where_asked(folder: Path, state: Path) -> None:
    rows = whole_folder(folder, state)
    assert rows == [row for row in listed(folder, state) if row.whole]
    deep = whole_folder(folder, state, deep=True)
    assert [row.name for row in deep] == ["alder_row.toml", "2025/alder_row.toml", "2025/broken.toml", "2025/spring/old.toml"]
    assert {row.kept for row in deep if row.kept} == {rows[0].kept}
    assert deep[2].error.startswith("line 2, column 1: the file stops before its last two lines")


def test_how_far_it_is_is_told_and_who_waits_no_more_ends_it(folder: Path, state: Path) -> None:
    heard = []
    whole_folder(folder, state, deep=True, told=lambda number, of: heard.append((number, of)) is None)
    assert heard == [(1, 1), (2, 3), (3, 3), (4, 4)]
    assert [row.name for row in whole_folder(folder / "2025", state, told=lambda *_: False)] == ["alder_row.toml"]


def test_a_folder_in_it_that_cannot_be_listed_is_a_row_and_the_folder_itself_is_refused(folder: Path, state: Path) -> None:
    def names(path: Path) -> list[str]:
        if path.name == "spring":
            raise PermissionError(13, "no")
        return Disk().names(path)

    disk = replace(Disk(), names=names)
    last = whole_folder(folder, state, deep=True, disk=disk)[-1]
    assert (last.name, last.error) == ("2025/spring/", "can't be listed: you don't have permission to do that here.")
    with pytest.raises(UnreadableFile, match="can't be listed"):
        whole_folder(folder / "2025" / "spring", state, deep=True, disk=disk)
