"""What the terminal can show."""

import locale
import os
from collections.abc import Mapping

WITHOUT_BRAILLE = ("linux", "dumb", "vt100", "vt220", "ansi")


def is_plain(environment: Mapping[str, str] = os.environ, encoding: str | None = None) -> bool:
    """Whether pictures are drawn with plain characters: the terminal has no braille, no UTF-8, or LINEWALK_PLAIN says so."""
    if environment.get("LINEWALK_PLAIN"):
        return True
    spoken = (encoding or locale.getpreferredencoding(False)).lower().replace("-", "")
    return environment.get("TERM", "") in WITHOUT_BRAILLE or spoken not in ("utf8", "utf16", "utf32")
