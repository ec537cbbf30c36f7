"""The record of a job with photos: shown small with caption, place and day; one missing, broken or replaced is said; tables name all."""

import csv
import re
import xml.etree.ElementTree as ET
from base64 import b64decode
from collections.abc import Sequence
from dataclasses import replace
from datetime import timedelta
from io import StringIO
from pathlib import Path

import pytest

from engine.calc.units import METRES
from engine.job.edit import edits
from engine.job.file.disk import Disk
from engine.job.file.store import Loaded, load, new
from engine.job.model.item_key import item_key
from engine.job.model.job import Job
from engine.paper.as_built import build_record
from engine.paper.photos import photos_on_page as page
from engine.paper.photos.named_photos import by_file, named_photos
from engine.paper.photos.photo_notes import photo_notes
from engine.paper.photos.picture_files import digests
from engine.paper.record_files import write_record
from engine.paper.record_office import record_text
from engine.walk import walk
from tests.demo import AT, accepted
from tests.paper.photos.pictures import opened, picture, put

DEPTH = item_key("posts.P4.driven_depth")
HTML = "{http://www.w3.org/1999/xhtml}"


def named() -> Job:
    """Two photos of the log, of which one shows a reading too, and one of that reading alone."""
    job = edits.photo(accepted(), "gate.jpg", AT, "Mo", about="side", caption="latch <side>")
    job = edits.photo(job, "photos/rock.jpg", AT + timedelta(days=1), "Ana", line="back", station_ft=83, caption="ledge")
    job = edits.tick(job, DEPTH, AT + timedelta(hours=1), "Mo", reading_in=30.0, note="clay")
    return edits.photos_of_tick(job, DEPTH, ("gate.jpg", "tape.png"))


@pytest.fixture
def loaded(tmp_path: Path) -> Loaded:
    """That job in a file with its three pictures beside it."""
    put(tmp_path, "gate.jpg", picture())
    put(tmp_path, "photos/rock.jpg", picture(600, 800))
    put(tmp_path, "tape.png", picture(form="PNG"))
    return new(tmp_path / "yard.toml", named(), AT, state=tmp_path / "state")


def written(loaded: Loaded) -> ET.Element:
    (path,) = write_record(loaded, loaded.path.with_name("record.html"))
    return ET.fromstring(path.read_text(encoding="utf-8"))


def figures(root: ET.Element) -> list[tuple[str, list[str]]]:
    found = [figure for div in root.iter(f"{HTML}div") if div.get("class") == "photos" for figure in div.iter(f"{HTML}figure")]
    return [
        (figure.find(f"{HTML}img").get("src", ""), ["".join(line.itertext()) for line in figure.find(f"{HTML}figcaption") or ()])
        for figure in found
    ]  # type: ignore[union-attr]  # a figure has both


def not_shown(photos: Sequence[page.PhotoOnPage]) -> dict[str, str]:
    return {photo.file: photo.why for photo in photos if not photo.small}


def test_each_picture_stands_once_with_caption_place_and_day(loaded: Loaded) -> None:
    found = figures(written(loaded))
    assert [lines for _, lines in found] == [
        ["side: latch <side>", "2026-04-14 09:30, Mo", 'P4 driven depth: 30", clay', "2026-04-14 10:30, Mo", "gate.jpg"],
        ['P4 driven depth: 30", clay', "2026-04-14 10:30, Mo", "tape.png"],
        ["83' 0\" on back: ledge", "2026-04-15 09:30, Ana", "photos/rock.jpg"],
    ]
    small = [opened(b64decode(source.removeprefix("data:image/jpeg;base64,"))) for source, _ in found]
    assert [(one.format, one.size) for one in small] == [("JPEG", (480, 360)), ("JPEG", (480, 360)), ("JPEG", (360, 480))]


def test_a_job_in_metres_has_its_captions_in_metres_whatever_is_in_hand(loaded: Loaded) -> None:
    job = loaded.job.model_copy(update={"job": loaded.job.job.model_copy(update={"units": METRES})})
    captions = [lines[0] for _, lines in figures(written(replace(loaded, job=job)))]
    assert captions == ["side: latch <side>", "P4 driven depth: 76.2 cm, clay", "25.298 m on back: ledge"]


def test_the_page_lets_pictures_in_it_be_shown_and_fetches_nothing(loaded: Loaded) -> None:
    root = written(loaded)
    policy = next(meta.get("content") for meta in root.iter(f"{HTML}meta") if meta.get("http-equiv") == "Content-Security-Policy")
    assert policy == "default-src 'none'; style-src 'unsafe-inline'; img-src data:"
    text = loaded.path.with_name("record.html").read_text(encoding="utf-8")
    assert not re.search(r"""(src=["'](?!data:image/jpeg;base64,)|href=["'](?!#))""", text)
    bare = new(loaded.path.with_name("bare.toml"), accepted(), AT, state=loaded.path.parent / "state")
    (path,) = write_record(bare, loaded.path.with_name("bare.html"))
    assert "img-src" not in path.read_text(encoding="utf-8")


def test_a_missing_and_a_broken_one_are_said_on_the_page_and_in_the_notes(loaded: Loaded) -> None:
    put(loaded.path.parent, "photos/rock.jpg", b"a text")
    loaded.path.with_name("tape.png").unlink()
    root = written(loaded)
    assert [lines[-1] for _, lines in figures(root)] == ["gate.jpg"]
    (section,) = [
        one for one in root.iter(f"{HTML}section") if one.find(f"{HTML}h2") is not None and one.find(f"{HTML}h2").text == "Photos"
    ]  # type: ignore[union-attr]  # asked before
    assert ["".join(item.itertext()) for item in section.iter(f"{HTML}li")] == [
        "tape.png isn't beside the job. P4 driven depth: 30\", clay, 2026-04-14 10:30, Mo.",
        "photos/rock.jpg is no JPEG, PNG or WEBP picture. 83' 0\" on back: ledge, 2026-04-15 09:30, Ana.",
    ]
    assert photo_notes(loaded) == (
        (
            "tape.png isn't beside the job.",
            "Put the picture there under that name, or take its name out: strike the entry, or i on the tick.",
        ),
        (
            "photos/rock.jpg is no JPEG, PNG or WEBP picture.",
            "Save it as a JPEG of a few megabytes under that name, or take its name out: strike the entry, or i on the tick.",
        ),
    )


def test_many_of_one_trouble_are_one_note(loaded: Loaded) -> None:
    for name in ("gate.jpg", "tape.png", "photos/rock.jpg"):
        (loaded.path.parent / name).unlink()
    assert [says for says, _ in photo_notes(loaded)] == ["gate.jpg, tape.png and photos/rock.jpg: each isn't beside the job."]


def test_nothing_is_noted_where_all_are_there_or_none_is_named(loaded: Loaded, tmp_path: Path) -> None:
    assert photo_notes(loaded) == ()
    assert photo_notes(new(tmp_path / "bare.toml", accepted(), AT, state=tmp_path / "state")) == ()


def test_a_signed_job_tells_a_picture_that_was_replaced_and_one_that_came_later(loaded: Loaded) -> None:
    folder = loaded.path.parent
    (folder / "tape.png").unlink()
    held = digests(folder, by_file(loaded.job), Disk())
    record = build_record(loaded.job, walk(loaded.job), AT, "Mo", "the client", {}, photos=held)
    signed = new(folder / "signed.toml", edits.sign(loaded.job, record, AT, "Mo", "the client"), AT, state=folder / "state")
    put(folder, "gate.jpg", picture(hue=9))
    put(folder, "tape.png", picture(form="PNG"))
    again = load(signed.path)
    assert again.seal_holds
    assert [(photo.file, photo.since) for photo in page.photos_on_page(again, Disk())] == [
        ("gate.jpg", page.REPLACED), ("tape.png", page.CAME_LATER), ("photos/rock.jpg", ""),
    ]  # fmt: skip
    assert photo_notes(again) == (
        ("gate.jpg isn't the picture that was there when the job was signed.", "Ask who replaced it; the page says so, too."),
        ("tape.png wasn't beside the job when it was signed.", "Ask who put it there; the page says so, too."),
    )
    assert next(lines[-2] for _, lines in figures(written(again))) == page.REPLACED


@pytest.mark.parametrize("lists_parts", [True, False])
def test_a_picture_that_came_later_is_marked_where_no_other_was_there_and_no_older_seal_accuses_it(
    loaded: Loaded, lists_parts: bool
) -> None:
    folder, job = loaded.path.parent, loaded.job
    signed = edits.sign(job, build_record(job, walk(job), AT, "Mo", "the client", {}), AT, "Mo", "the client")
    again = load(new(folder / "signed.toml", signed, AT, state=folder / "state").path)
    assert again.job.record is not None
    if not lists_parts:
        older = again.job.record.model_copy(update={"parts": {}, "parts_digest": ""})
        again = replace(again, job=again.job.model_copy(update={"record": older}))
    assert {photo.since for photo in page.photos_on_page(again, Disk())} == ({page.CAME_LATER} if lists_parts else {""})
    later = "gate.jpg, tape.png and photos/rock.jpg: each wasn't beside the job when it was signed."
    assert [says for says, _ in photo_notes(again)] == ([later] if lists_parts else [])


def test_a_page_holds_so_many_pictures_and_so_many_bytes_and_lists_the_rest(loaded: Loaded, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(page, "MOST_PICTURES", 2)
    assert not_shown(page.photos_on_page(loaded, Disk())) == {"photos/rock.jpg": "isn't shown: a page shows 2"}
    sizes = [len(photo.small) for photo in page.photos_on_page(loaded, Disk())]
    monkeypatch.setattr(page, "MOST_PAGE_BYTES", sizes[0] + sizes[1] - 1)
    assert list(not_shown(page.photos_on_page(loaded, Disk()))) == ["tape.png", "photos/rock.jpg"]


def test_a_photo_of_a_tick_that_no_longer_stands_is_shown_as_such() -> None:
    opened_again = edits.untick(named(), DEPTH, AT + timedelta(days=2), "Mo")
    assert [(one.file, one.place, one.caption) for one in named_photos(opened_again)] == [
        ("gate.jpg", "side", "latch <side>"),
        ("tape.png", "P4 driven depth", '30", which no longer stands'),
        ("photos/rock.jpg", "83' 0\" on back", "ledge"),
    ]


def test_the_tables_name_every_photo_and_a_job_without_any_has_no_such_table(loaded: Loaded, tmp_path: Path) -> None:
    write_record(loaded, tmp_path / "tables", as_folder=True)
    rows = list(csv.DictReader(StringIO((tmp_path / "tables" / "photos.csv").read_text(encoding="utf-8"))))
    assert [(row["photo"], row["of"], row["line"], row["when"]) for row in rows] == [
        ("gate.jpg", "side", "", "2026-04-14 09:30"),
        ("gate.jpg", "P4 driven depth", "", "2026-04-14 10:30"),
        ("tape.png", "P4 driven depth", "", "2026-04-14 10:30"),
        ("photos/rock.jpg", "", "back", "2026-04-15 09:30"),
    ]
    assert [(row["station_ft"], row["station"]) for row in rows] == [("", ""), ("", ""), ("", ""), ("83", "83' 0\"")]
    assert "\nPhotos\n------\n" in record_text(loaded.job, walk(loaded.job))
    assert "\nPhotos\n" not in record_text(accepted(), walk(accepted()))
