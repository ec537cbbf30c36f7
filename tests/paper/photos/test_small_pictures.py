"""Pictures made small: bounded, upright, bare of what a phone writes into them; what can't be shown is said and never let loose."""

import struct
import zlib
from io import BytesIO

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image

from engine.paper.photos.picture_files import NotShown
from engine.paper.photos.small_pictures import LONG_SIDE_PX, MOST_SMALL_BYTES, small_picture
from tests.paper.photos.pictures import GPS, MAKER, POSITION, opened, picture

LIGHT, DARK = (240, 240, 200), (40, 90, 60)


def near(found: Image.Image, at: tuple[int, int]) -> str:
    pixel = found.getpixel(at)
    assert isinstance(pixel, tuple)
    return next(
        name for name, colour in (("light", LIGHT), ("dark", DARK)) if max(abs(a - b) for a, b in zip(pixel, colour, strict=True)) < 12
    )


@pytest.mark.parametrize("form", ["JPEG", "PNG", "WEBP"])
@pytest.mark.parametrize(("wide", "high", "wanted"), [(4000, 3000, (480, 360)), (3000, 4000, (360, 480)), (300, 200, (300, 200))])
def test_a_picture_is_made_small_and_none_is_made_large(form: str, wide: int, high: int, wanted: tuple[int, int]) -> None:
    small = small_picture(picture(wide, high, form))
    assert (opened(small).format, opened(small).size) == ("JPEG", wanted)
    assert len(small) <= MOST_SMALL_BYTES


@pytest.mark.parametrize(
    ("turned", "light"), [(1, (20, 20)), (3, (460, 340)), (6, (340, 20)), (8, (20, 460))], ids=["upright", "half", "right", "left"]
)
def test_it_stands_upright_as_the_phone_was_held(turned: int, light: tuple[int, int]) -> None:
    """Source: Exif 2.3 (JEITA CP-3451C), tag 0112: where row 0 and column 0 of the picture lie; from memory."""
    found = opened(small_picture(picture(800, 600, turned=turned)))
    assert near(found, light) == "light"
    corners = [(20, 20), (found.width - 20, 20), (20, found.height - 20), (found.width - 20, found.height - 20)]
    assert [near(found, corner) for corner in corners].count("light") == 1


@pytest.mark.parametrize("form", ["JPEG", "PNG", "WEBP"])
def test_nothing_in_it_tells_where_or_by_what_it_was_taken(form: str) -> None:
    data = picture(form=form)
    assert Image.Exif.get_ifd(opened(data).getexif(), GPS)[0x1D] == POSITION
    small = small_picture(data)
    assert POSITION.encode() not in small
    assert MAKER.encode() not in small
    assert b"client" not in small
    assert (dict(opened(small).getexif()), opened(small).info.keys() & {"exif", "comment", "icc_profile", "xmp"}) == ({}, set())


@pytest.mark.parametrize("mode", ["L", "RGBA", "P", "CMYK", "I;16", "1", "LA"])
def test_every_kind_of_picture_is_shown(mode: str) -> None:
    out = BytesIO()
    Image.new(mode, (60, 40)).save(out, "JPEG" if mode == "CMYK" else "PNG")
    assert opened(small_picture(out.getvalue())).size == (60, 40)


def test_what_is_clear_in_a_picture_is_white() -> None:
    out = BytesIO()
    Image.new("RGBA", (60, 40), (0, 0, 0, 0)).save(out, "PNG")
    assert opened(small_picture(out.getvalue())).getpixel((30, 20)) == (255, 255, 255)


@pytest.mark.parametrize("form", ["MPO", "PNG", "WEBP"])
def test_of_several_pictures_in_one_file_the_first_is_shown(form: str) -> None:
    """What a phone writes beside its own preview, and a picture that moves."""
    out = BytesIO()
    Image.new("RGB", (900, 600), LIGHT).save(out, form, save_all=True, append_images=[Image.new("RGB", (900, 600), DARK)])
    found = opened(small_picture(out.getvalue()))
    assert (found.size, near(found, (20, 20))) == ((480, 320), "light")


def test_even_noise_stays_small() -> None:
    out = BytesIO()
    Image.effect_noise((2000, 1500), 120).convert("RGB").save(out, "JPEG", quality=95)
    assert len(small_picture(out.getvalue())) <= MOST_SMALL_BYTES


def a_bomb(wide: int, high: int) -> bytes:
    """A PNG of a few bytes that says how large it is."""
    head = struct.pack(">IIBBBBB", wide, high, 8, 2, 0, 0, 0)
    chunks = [(b"IHDR", head), (b"IDAT", zlib.compress(b"\0" * 1000)), (b"IEND", b"")]
    return b"\x89PNG\r\n\x1a\n" + b"".join(
        struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data)) for name, data in chunks
    )


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (a_bomb(9_000, 8_000), "is 9,000 by 8,000 pixels large; over 64 million none is shown"),
        (a_bomb(60_000, 60_000), "is far too large; over 64 million pixels none is shown"),
        (a_bomb(600, 600), "is damaged or cut off"),
        (picture()[:3000], "is damaged or cut off"),
        (picture(form="PNG")[:400], "is damaged or cut off"),
        (picture(form="WEBP")[:300], "is damaged or cut off"),
        (b"\xff\xd8\xff", "is no JPEG, PNG or WEBP picture"),
        (b"GIF89a" + b"\0" * 40, "is no JPEG, PNG or WEBP picture"),
    ],
    ids=["large", "bomb", "empty rows", "cut JPEG", "cut PNG", "cut WEBP", "three bytes", "another kind"],
)
def test_what_cannot_be_shown_is_said(data: bytes, says: str) -> None:
    with pytest.raises(NotShown) as refused:
        small_picture(data)
    assert str(refused.value) == says


SOUND = {form: picture(120, 90, form) for form in ("JPEG", "PNG", "WEBP")}


@settings(max_examples=100, deadline=None)
@given(form=st.sampled_from(sorted(SOUND)), place=st.integers(0, 10_000), put_in=st.binary(min_size=1, max_size=8))
def test_whatever_bytes_it_is_a_small_jpeg_or_a_sentence(form: str, place: int, put_in: bytes) -> None:
    data = SOUND[form]
    at = place % len(data)
    found = shown_or_said(data[:at] + put_in + data[at + len(put_in) :])
    assert found if isinstance(found, str) else max(opened(found).size) <= LONG_SIDE_PX


def shown_or_said(data: bytes) -> bytes | str:
    try:
        return small_picture(data)
    except NotShown as refused:
        return str(refused)
