"""Picture files beside a job: the newest that nothing names first, and each kind of trouble said without decoding anything."""

import hashlib
from dataclasses import replace
from pathlib import Path

import pytest

from engine.job.file.disk import Disk
from engine.paper.photos.picture_files import HEAD_BYTES, MOST_BYTES, digests, pictures_beside, trouble
from tests.paper.photos.pictures import picture, put

DISK = Disk()


def test_those_that_nothing_names_yet_come_first_and_of_each_the_newest(tmp_path: Path) -> None:
    for n, name in enumerate(
        ("old.jpg", "named.JPG", "photos/inside.webp", "new.png", "photos/deeper/none.jpg", ".hidden.jpg", "yard.toml")
    ):
        path = tmp_path / name
        path.parent.mkdir(parents=True, exist_ok=True)
        put(path.parent, path.name, picture(), at=1000.0 + n)
    put(tmp_path, "text.png", b"a text", at=2000.0)
    assert pictures_beside(tmp_path, ("named.JPG",), DISK) == (
        ("new.png", 1003.0, False, ""), ("photos/inside.webp", 1002.0, False, ""), ("old.jpg", 1000.0, False, ""),
        ("named.JPG", 1001.0, True, ""), ("text.png", 2000.0, False, "is no JPEG, PNG or WEBP picture"),
    )  # fmt: skip
    assert pictures_beside(tmp_path / "none", (), DISK) == ()


def test_each_trouble_is_said(tmp_path: Path) -> None:
    put(tmp_path, "gate.jpg", picture())
    put(tmp_path, "photos/gate.webp", picture(form="WEBP"))
    put(tmp_path, "empty.jpg", b"")
    put(tmp_path, "phone.heic", b"\0\0\0\x18ftypheic\0\0\0\0")
    put(tmp_path, "text.jpg", b"a text")
    (tmp_path / "folder.jpg").mkdir()
    huge = tmp_path / "huge.jpg"
    with huge.open("wb") as file:
        file.truncate(MOST_BYTES + 1_000_000)
    said = {name: trouble(tmp_path, name, DISK) for name in (
        "gate.jpg", "photos/gate.webp", "empty.jpg", "phone.heic", "text.jpg", "folder.jpg", "huge.jpg", "none.jpg", "text.jpg/none.jpg",
    )}  # fmt: skip
    assert said == {
        "gate.jpg": "",
        "photos/gate.webp": "",
        "empty.jpg": "is empty",
        "phone.heic": "is no JPEG, PNG or WEBP picture",
        "text.jpg": "is no JPEG, PNG or WEBP picture",
        "folder.jpg": "isn't a picture file",
        "huge.jpg": "is 41 MB large; over 40 MB none is read",
        "none.jpg": "isn't beside the job",
        "text.jpg/none.jpg": "isn't beside the job",
    }


def test_a_disk_that_fails_is_said_and_only_the_first_bytes_are_asked_for(tmp_path: Path) -> None:
    put(tmp_path, "gate.jpg", picture())
    asked: list[int] = []

    def failing(path: Path, most: int) -> bytes:
        asked.append(most)
        raise PermissionError(13, "Permission denied", str(path))

    assert trouble(tmp_path, "gate.jpg", replace(DISK, read_part=failing)) == "can't be read: you don't have permission to do that here"
    assert asked == [HEAD_BYTES]


def test_digests_are_of_the_whole_file_and_of_those_alone_that_are_there(tmp_path: Path) -> None:
    data = picture()
    put(tmp_path, "gate.jpg", data)
    put(tmp_path, "text.jpg", b"a text")
    assert digests(tmp_path, ("gate.jpg", "text.jpg", "none.jpg"), DISK) == {"gate.jpg": hashlib.sha256(data).hexdigest()}
    assert pytest.approx(len(data), abs=0) != HEAD_BYTES
