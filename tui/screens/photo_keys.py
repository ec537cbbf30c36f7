"""What the keys for photos do: one named in the log, or one beside the tick under the cursor."""

from asyncio import to_thread
from collections.abc import Callable
from datetime import datetime
from typing import TYPE_CHECKING

from engine.calc.phrases import counted, listed
from engine.checklist import ChecklistLine
from engine.job.edit import edits
from engine.job.file.disk import Disk
from engine.job.model.job import Job

if TYPE_CHECKING:
    from tui.boxes.photos.photo_box import Listed, PhotoTold
    from tui.screens.walk_screen import WalkScreen
    from tui.working.working_copy import Edit, Working


async def log_photo(screen: "WalkScreen") -> None:
    """A photo of the chosen thing, or at a station of a line."""
    from engine.change.found_in_ground import where_chosen
    from tui.boxes.photos.photo_box import PhotoDialog, TakenAt

    hand, chosen = screen.hand, screen.chosen or ""

    def logged(told: "PhotoTold") -> "Edit":
        said = {"about": told.about, "line": told.line, "station_ft": told.station_ft, "caption": told.caption}
        return lambda job, at, by: edits.photo(job, told.file, at, by, **said)  # type: ignore[arg-type]  # as the dialog read them

    here, _, _ = where_chosen(hand.job, hand.walk, chosen)
    lines = tuple(sorted(hand.job.lines, key=lambda line: line != here))
    box = PhotoDialog("A photo", pictures_of(hand.working), lambda told: hand.refusal(logged(told)), hand, TakenAt(chosen, lines))
    told = await screen.ask(box)
    if told is not None:
        screen.edit(f"photo {told.file}", logged(told))


async def photo_of_tick(screen: "WalkScreen", line: ChecklistLine) -> None:
    """A picture file beside the tick, or taken off it where it is named there already."""
    from tui.boxes.photos.photo_box import PhotoDialog

    tick, asked = line.tick, screen.ticking.followed(line)
    if tick is None:
        screen.say("It isn't ticked yet. Tick it first: its photos stand beside the tick.")
        return

    def named(file: str) -> "Edit":
        key = asked.now.item.key

        def with_photo(job: Job, _at: datetime, _by: str) -> Job:
            there = job.checks[key].photos if key in job.checks else ()
            return edits.photos_of_tick(job, key, tuple(name for name in there if name != file) if file in there else (*there, file))

        return with_photo

    says = f"{line.item.says}. {f'Named: {listed(tick.photos)}. The name of one takes it off.' if tick.photos else ''}"
    box = PhotoDialog(
        "A photo beside this tick",
        pictures_of(screen.hand.working),
        lambda told: screen.hand.refusal(named(told.file)),
        screen.hand,
        says=says,
    )
    told = await screen.ask(box)
    if told is not None and screen.edit(f"photo {told.file}", named(told.file)):
        off = told.file in tick.photos
        screen.say(f"Photo {told.file} {'taken off' if off else 'stands beside'}: {asked.now.item.says}. u takes that back.")


async def photos_as_signed(screen: "WalkScreen") -> dict[str, str]:
    """The digests of the pictures beside the job, read in a thread: one that is replaced after the signature is noticed by them."""
    from engine.paper.photos.named_photos import by_file
    from engine.paper.photos.picture_files import digests, folder_of

    named, disk = by_file(screen.hand.job), Disk()
    if not named:
        return {}
    screen.say(f"Signing takes a look at {counted(len(named), 'photo')} first.")
    return await to_thread(lambda: digests(folder_of(screen.hand.working.loaded, disk), named, disk))


def troubles_of(working: "Working") -> dict[str, str]:
    """What is wrong with the picture files a job names, each to be said behind its name; it reads the disk."""
    from engine.paper.photos.photo_notes import photo_troubles

    return photo_troubles(working.as_it_stands)


def pictures_of(working: "Working") -> "Callable[[], Listed]":
    """What lists the picture files beside the job, each with its day and whether something names it; it reads the disk."""
    loaded, job = working.loaded, working.job

    def found() -> "Listed":
        from engine.paper.photos.named_photos import by_file
        from engine.paper.photos.picture_files import folder_of, pictures_beside
        from tui.boxes.photos.photo_box import NAMED

        disk = Disk()
        beside = pictures_beside(folder_of(loaded, disk), by_file(job), disk)
        days = {one.name: datetime.fromtimestamp(one.at_s) for one in beside}
        more = {one.name: [NAMED] * one.named + [one.wrong] * bool(one.wrong) for one in beside}
        return {name: ", ".join((f"{day:%b} {day.day} {day:%H:%M}", *more[name])) for name, day in days.items()}

    return found
