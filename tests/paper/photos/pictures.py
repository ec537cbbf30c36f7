"""Picture files made here for the tests: what a phone writes, and what goes wrong with it."""

import os
from io import BytesIO
from pathlib import Path

from PIL import Image

ORIENTATION, GPS, POSITION = 0x0112, 0x8825, "N 44 58 30"
MAKER = "a phone"


def picture(wide: int = 800, high: int = 600, form: str = "JPEG", *, turned: int = 1, hue: int = 0) -> bytes:
    """A picture with its upper left quarter light: with a position and a maker in its metadata, `turned` as its orientation says."""
    made = Image.new("RGB", (wide, high), (40, 90 + hue, 60))
    made.paste((240, 240, 200), (0, 0, wide // 2, high // 2))
    exif = Image.Exif()
    exif[ORIENTATION] = turned
    exif[0x010F] = MAKER
    exif.get_ifd(GPS)[1] = "N"
    exif.get_ifd(GPS)[0x1D] = POSITION
    out = BytesIO()
    made.save(out, form, exif=exif.tobytes(), **({"comment": b"at the client's"} if form == "JPEG" else {}))
    return out.getvalue()


def put(folder: Path, name: str, data: bytes, *, at: float = 1_770_000_000.0) -> Path:
    """A file beside a job, as old as that."""
    path = folder / name
    path.parent.mkdir(exist_ok=True)
    path.write_bytes(data)
    os.utime(path, (at, at))
    return path


def opened(data: bytes) -> Image.Image:
    """What a page shows, read back."""
    found = Image.open(BytesIO(data))
    found.load()
    return found
