"""The record's page of a 4,000 ft job with 80 photos of 12 megapixels: what it takes, and how large it is."""

import os
from io import BytesIO
from pathlib import Path

from PIL import Image

from engine.job.edit import edits
from engine.job.file.store import new
from engine.job.model.job import Job
from engine.paper.record_files import write_record
from tests.bench.big_job import NOON, big_job
from tests.bench.timing import Told, best_ms

PHOTOS = 80
WIDE, HIGH = 4000, 3000


def pages(folder: Path) -> list[Told]:
    """The page without and with photos, half of them of the log, half beside ticks; against reading the picture files."""
    folder.mkdir()
    bare_job = big_job(8)
    first = folder / "0.jpg"
    first.write_bytes(like_a_photo())
    names = [f"{number}.jpg" for number in range(PHOTOS)]
    for name in names[1:]:
        os.link(first, folder / name)
    bare, shown = (
        new(folder / f"{name}.toml", job, NOON, state=folder / "state")
        for name, job in (("bare", bare_job), ("shown", with_photos(bare_job, names)))
    )
    read = best_ms(lambda: [(folder / name).read_bytes() for name in names], 1)
    without = best_ms(lambda: write_record(bare, folder / "bare.html"), 1)
    with_all = best_ms(lambda: write_record(shown, folder / "shown.html"), 1)
    small, large = ((folder / f"{name}.html").stat().st_size / 1e6 for name in ("bare", "shown"))
    many = f"{PHOTOS} photos of {first.stat().st_size / 1e6:.1f} MB"
    return [
        Told("page of a 4,000 ft job", without, "ms", "reading the photos", read),
        Told(f"page of a 4,000 ft job with {many}", with_all, "ms", "reading the photos", read),
        Told(f"size of the page with {many}", large, "MB", "the page without", small),
    ]


def like_a_photo() -> bytes:
    """A JPEG of 12 megapixels with about as much in it as a phone's: soft shapes with grain over them."""
    shapes = Image.effect_noise((WIDE // 8, HIGH // 8), 60).resize((WIDE, HIGH)).convert("RGB")
    out = BytesIO()
    Image.blend(shapes, Image.effect_noise((WIDE, HIGH), 25).convert("RGB"), 0.3).save(out, "JPEG", quality=85)
    return out.getvalue()


def with_photos(job: Job, names: list[str]) -> Job:
    """The job with half of the photos in its log and half beside its first ticks."""
    logged, ticked = names[::2], names[1::2]
    for name in logged:
        job = edits.photo(job, name, NOON, "Lead", about="P4", caption="as it was found")
    for key, name in zip(job.checks, ticked, strict=False):
        job = edits.photos_of_tick(job, key, (name,))
    return job
