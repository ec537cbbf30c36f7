"""Pictures made small for a page: upright, a few dozen kilobytes each, and nothing in them tells where or by what they were taken.

Decoding and making small is Pillow's; it is imported when a page with photos is made and not before.
"""

import warnings
from io import BytesIO
from typing import TYPE_CHECKING

from engine.paper.photos.picture_files import NO_PICTURE, NotShown

if TYPE_CHECKING:
    from PIL.Image import Image

FORMATS = ("JPEG", "PNG", "WEBP")
LONG_SIDE_PX = 480
QUALITIES = (70, 50, 30)
"""Of the JPEG: the first that keeps it under MOST_SMALL_BYTES, or the last."""
MOST_SMALL_BYTES = 40_000
MOST_PIXELS = 64_000_000
"""Over this none is decoded: a small file can hold a picture of any size. The largest that phones take: from memory."""


def small_picture(data: bytes) -> bytes:
    """A picture as a small JPEG. Raises: NotShown where it is too large, damaged or cut off."""
    from PIL import Image as pillow
    from PIL import ImageOps, UnidentifiedImageError

    warnings.filterwarnings("ignore", module="PIL")  # what it warns of is the file's metadata, which isn't kept
    try:
        with pillow.open(BytesIO(data), formats=FORMATS) as picture:
            wide, high = picture.size
            if wide * high > MOST_PIXELS:
                raise NotShown(f"is {wide:,} by {high:,} pixels large; over {MOST_PIXELS / 1e6:.0f} million none is shown")
            share = min(1.0, LONG_SIDE_PX / max(wide, high, 1))
            picture.draft("RGB", (max(1, round(wide * share)), max(1, round(high * share))))
            picture.thumbnail((LONG_SIDE_PX, LONG_SIDE_PX), reducing_gap=None)
            seen = ImageOps.exif_transpose(picture).convert("RGBA")
            bare = pillow.new("RGB", seen.size, "white")
            bare.paste(seen, mask=seen)
            return _as_jpeg(bare)
    except NotShown:
        raise
    except UnidentifiedImageError as error:
        raise NotShown(NO_PICTURE) from error
    except pillow.DecompressionBombError as error:
        raise NotShown(f"is far too large; over {MOST_PIXELS / 1e6:.0f} million pixels none is shown") from error
    except Exception as error:  # whatever a decoder makes of bytes that are no sound picture: the page says so and goes on
        raise NotShown("is damaged or cut off") from error


def _as_jpeg(picture: "Image") -> bytes:
    for quality in QUALITIES:
        small = BytesIO()
        picture.save(small, "JPEG", quality=quality, optimize=True)
        if small.tell() <= MOST_SMALL_BYTES:
            break
    return small.getvalue()
