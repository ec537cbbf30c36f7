"""A save stopped anywhere, in each of its ways: joined with another laptop's, answered, signed, through a link, kept elsewhere, retried."""

import shutil
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path

import pytest

from engine.job.edit.edits import reopen, sign
from engine.job.errors import JobError, NotSaved
from engine.job.file.disk import Disk
from engine.job.file.store import Loaded, keep_elsewhere, load, new, save
from engine.job.merge.asked import Keep
from engine.job.model.job import Job
from engine.job.model.signed_record import Record
from engine.job.versions.sharing import save_shared
from tests.faults.failing_disk import ERRORS, HARMS, FailingDisk, Killed
from tests.faults.points import points
from tests.job.small import HAND_WRITTEN, NOW, SIGNED, note_ids, noted

NEVER = 10**9


@dataclass(frozen=True)
class Scene:
    """A file as it stands before the save, the job to be saved over it, and what the file must hold before and after."""

    loaded: Loaded
    job: Job
    before: list[str]
    after: list[str]
    keep: Keep | None = None


def titled(job: Job, title: str) -> Job:
    return job.model_copy(update={"job": job.job.model_copy(update={"title": title})})


def hand_written(folder: Path) -> Loaded:
    path = folder / "yard.toml"
    path.write_text(HAND_WRITTEN, encoding="utf-8")
    return load(path, state=folder / "state")


def plain(folder: Path) -> Scene:
    """A hand-written file with comments, saved for the first time."""
    loaded = hand_written(folder)
    return Scene(loaded, noted(loaded.job, "ours"), ["n1"], ["n1", "ours"])


def shared(folder: Path) -> Scene:
    """Another laptop saved meanwhile: both go in."""
    loaded = hand_written(folder)
    loaded = save(loaded, noted(loaded.job, "first"), NOW, state=folder / "state")
    save(loaded, noted(loaded.job, "theirs"), NOW, state=folder / "state")
    return Scene(loaded, noted(loaded.job, "ours"), ["n1", "first", "theirs"], ["n1", "first", "ours", "theirs"])


def answered(folder: Path) -> Scene:
    """Both changed one fact, and somebody said which to keep."""
    scene = shared(folder)
    theirs = load(scene.loaded.path, state=folder / "state")
    save(theirs, titled(theirs.job, "theirs"), NOW, state=folder / "state")
    return replace(scene, job=titled(scene.job, "ours"), keep=Keep(otherwise="ours"))


def signed(folder: Path) -> Scene:
    """Signed off: the file is sealed."""
    loaded = new(folder / "yard.toml", noted(Job.model_validate({"posts": {}}), "first"), NOW, state=folder / "state")
    job = sign(loaded.job, Record.model_validate(SIGNED), NOW, "Ana", "the client")
    return Scene(loaded, job, ["first"], ["first", job.log[-1].id])


def opened_again(folder: Path) -> Scene:
    """A sealed job, opened again with a reason."""
    scene = signed(folder)
    loaded = save(scene.loaded, scene.job, NOW, state=folder / "state")
    job = reopen(loaded.job, "one more gate", NOW, "Ana")
    return Scene(loaded, job, scene.after, [*scene.after, job.log[-1].id])


def through_a_link(folder: Path) -> Scene:
    """The name leads to a file elsewhere: joined as in the plain case, so every other step of it is stopped."""
    scene = shared(folder)
    (folder / "elsewhere").mkdir()
    shutil.move(folder / "yard.toml", folder / "elsewhere" / "real.toml")
    (folder / "yard.toml").symlink_to(Path("elsewhere") / "real.toml")
    return scene


def gone(folder: Path) -> Scene:
    """The file went from the disk: it is written anew."""
    scene = plain(folder)
    scene.loaded.path.unlink()
    return replace(scene, loaded=replace(scene.loaded, text_had_comments=False), before=[])


SCENES: dict[str, Callable[[Path], Scene]] = {
    "first save of a hand-written file": plain,
    "joined with another laptop's save": shared,
    "answered which to keep": answered,
    "signed off": signed,
    "reopened": opened_again,
    "through a link": through_a_link,
    "written anew": gone,
}


def act(scene: Scene, failing: FailingDisk, folder: Path, tries: int = 1) -> bool:
    """The save; whether it was acknowledged. A save that failed is tried again as often as is said, as the screen does."""
    disk = failing.disk(pid=1001)
    for _ in range(tries):
        try:
            save_shared(scene.loaded, scene.job, NOW, scene.keep, base=scene.loaded.job, disk=disk, state=folder / "state")
        except JobError:
            continue
        except Killed:
            return False
        return True
    return False


def copied(scene: Scene, ready: Path, folder: Path) -> Scene:
    """The scene in a folder of its own."""
    shutil.copytree(ready, folder, symlinks=True)
    return replace(scene, loaded=replace(scene.loaded, path=folder / "yard.toml"))


def operations(scene: Scene, ready: Path, folder: Path) -> int:
    """How many disk operations the save takes where nothing fails."""
    calm = FailingDisk("kill", NEVER)
    assert act(copied(scene, ready, folder), calm, folder)
    return calm.count


@pytest.mark.parametrize(("tries", "harms"), [(1, HARMS), (3, tuple(ERRORS))])
@pytest.mark.parametrize("name", SCENES)
def test_what_is_left_opens_whole_and_holds_what_both_sides_acknowledged(
    tmp_path: Path, name: str, tries: int, harms: tuple[str, ...]
) -> None:
    ready = tmp_path / "ready"
    ready.mkdir()
    made = SCENES[name](ready)
    count = operations(made, ready, tmp_path / "calm")
    for nth, harm in enumerate(harms):
        for at in range(count) if name != "through a link" else range(nth % 2, count, 2):
            folder = tmp_path / f"{harm} {at}"
            scene = copied(made, ready, folder)
            done = act(scene, FailingDisk(harm, at), folder, tries)
            left = load(scene.loaded.path, state=folder / "state") if scene.loaded.path.exists() else None
            held = note_ids(left.job) if left else []
            assert held in ([scene.after] if done else [scene.before, scene.after]), (harm, at)
            assert left.seal_holds is not False if left else not scene.before, (harm, at)
            points[f"{name}, {'tried once' if tries == 1 else 'tried again'}"] += 1
            shutil.rmtree(folder)


def refusing(disk: Disk, folder: Path) -> Disk:
    """The disk, full in one folder."""

    def full(path: Path, mode: int) -> int:
        if path.parent == folder:
            raise OSError(28, "No space left on device")
        return disk.open_excl(path, mode)

    return replace(disk, open_excl=full)


def rescued(folder: Path, failing: FailingDisk) -> Path | None:
    """A save into a full folder; the copy it says it kept elsewhere."""
    scene = plain(folder)
    try:
        save_shared(
            scene.loaded, scene.job, NOW, base=scene.loaded.job, disk=refusing(failing.disk(pid=1001), folder), state=folder / "state"
        )
    except NotSaved as error:
        return error.rescue
    except Killed:
        return None
    raise AssertionError("the folder was full")


def kept(folder: Path, failing: FailingDisk) -> Path | None:
    """A copy made while the disk hangs; where it says that is."""
    scene = plain(folder)
    try:
        return keep_elsewhere(scene.loaded, scene.job, NOW, disk=failing.disk(pid=1001), state=folder / "state")
    except Killed:
        return None


@pytest.mark.parametrize("make", [rescued, kept])
def test_a_copy_that_was_acknowledged_opens_and_holds_the_work_and_the_file_is_as_it_was(
    tmp_path: Path, make: Callable[[Path, FailingDisk], Path | None]
) -> None:
    (tmp_path / "calm").mkdir()
    calm = FailingDisk("kill", NEVER)
    assert make(tmp_path / "calm", calm) is not None
    for harm in HARMS:
        for at in range(calm.count):
            folder = tmp_path / f"{harm} {at}"
            folder.mkdir()
            copy = make(folder, FailingDisk(harm, at))
            assert copy is None or note_ids(load(copy).job) == ["n1", "ours"], (harm, at)
            assert (folder / "yard.toml").read_text(encoding="utf-8") == HAND_WRITTEN, (harm, at)
            points[f"a copy elsewhere, {make.__name__}"] += 1
            shutil.rmtree(folder)


def test_saves_are_stopped_at_thousands_of_points(tmp_path: Path) -> None:
    (tmp_path / "ready").mkdir()
    count = operations(shared(tmp_path / "ready"), tmp_path / "ready", tmp_path / "calm")
    assert len(HARMS) * len(SCENES) * min(count, 16) > 1_000
