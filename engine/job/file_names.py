"""Names a job file can have on every laptop it may travel to."""

import re

_DEVICES = re.compile(r"(con|prn|aux|nul|com[1-9]|lpt[1-9])(\..*)?", re.IGNORECASE)
_MARKS = re.compile(r'[<>:"/\\|?*\x00-\x1f]')

ENDING = ".toml"
"""What the name of a job file ends in."""
FIRM_FILE = "firm.toml"
"""What a firm says of itself for its pages stands in it; it is no job."""


def refused_name(name: str) -> str:
    """Why a new job can't have that name: it travels between laptops, and some take no such file; empty where it can.

    Source: Microsoft, Naming Files, Paths, and Namespaces (Win32 documentation): reserved characters and names; from memory.
    """
    if name in ("", ".."):
        return "that is a folder. Say what the new file shall be called, such as yard.toml."
    if mark := _MARKS.search(name):
        sign = mark[0] if mark[0].isprintable() else "mark that can't be seen"
        return f"Windows laptops and most memory sticks take no file with a {sign} in its name. Choose another one."
    if _DEVICES.fullmatch(name):
        return f"{name.split('.')[0]} is the name of a device on Windows laptops, so no file can have it. Choose another one."
    if name.lower() == FIRM_FILE:
        return f"{FIRM_FILE} is kept for what a firm says of itself on its pages. Choose another name for the job."
    if not name.isprintable():
        return "there is a mark in that name that can't be seen. Choose another one."
    if name[:1] in (".", " "):
        return "a name that begins with a point or a blank is easily lost from sight. Choose another one."
    if name[-1:] in (".", " "):
        return "Windows laptops drop a point or a blank at the end of a name. Choose another one."
    return ""
