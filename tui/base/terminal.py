"""What the terminal can show, and what stands for the rest."""

import codecs
import io
import locale
import os
import sys
import unicodedata
from collections.abc import Mapping
from enum import Enum

WITHOUT_BRAILLE = ("linux", "dumb", "vt100", "vt220", "ansi")
INSTEAD = str.maketrans(
    {
        "✓": "v", "·": ".", "–": "-", "—": "-", "−": "-", "…": "~", "×": "x", "≥": ">", "≤": "<",
        **dict.fromkeys("━─▔▁▂▃▄▅▆▇▀", "-"), **dict.fromkeys("┃│▏▎▍▌▋▊▉▐█", "|"), **dict.fromkeys("┏┓┗┛╭╮╰╯├┤┬┴┼┌┐└┘", "+"),
    }
)  # fmt: skip
"""One character for one, so that nothing moves."""


def is_plain(environment: Mapping[str, str] = os.environ, encoding: str | None = None, platform: str = sys.platform) -> bool:
    """Whether pictures are drawn with plain characters: the terminal has no braille, no UTF-8, or LINEWALK_PLAIN says so. On Windows only
    its newer terminal, which names itself, has the letters; the language of its files says nothing of the screen."""
    if environment.get("LINEWALK_PLAIN"):
        return True
    if platform == "win32":
        return not environment.get("WT_SESSION")
    spoken = (encoding or locale.getpreferredencoding(False)).lower().replace("-", "")
    return environment.get("TERM", "") in WITHOUT_BRAILLE or spoken not in ("utf8", "utf16", "utf32")


def alt_numbers_are_keys() -> None:
    """From now on Escape and a number in one burst, as most terminals send Alt and a number, is that key; the library takes it for a sign
    of a Mac's keyboard, and types that."""
    from textual._ansi_sequences import ANSI_SEQUENCES_KEYS

    pressed = Enum("pressed", [(f"ALT_{number}", f"alt+{number}") for number in range(10)])  # type: ignore[misc]  # named by its numbers
    ANSI_SEQUENCES_KEYS.update({f"\x1b{key.value[-1]}": (key,) for key in pressed})  # type: ignore[attr-defined]  # a dict, as it stands there


def print_what_it_can() -> None:
    """From now on a sign that the output has no place for (a pipe on Windows knows few) is printed as the nearest that it has."""
    codecs.register_error("nearest", _nearest)
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="nearest")


def _nearest(error: UnicodeError) -> tuple[str, int]:
    if not isinstance(error, UnicodeEncodeError):
        raise error
    return "".join(_plain(sign) for sign in error.object[error.start : error.end]), error.end


def _plain(sign: str) -> str:
    nearest = sign.translate(INSTEAD)
    return nearest if nearest.isascii() else unicodedata.normalize("NFKD", nearest).encode("ascii", "ignore").decode() or "?"
