"""Who works on this laptop: the name last given, kept in the state folder."""

from pathlib import Path

MOST_BYTES = 1_000


def remembered_name(state: Path) -> str:
    """The name, or nothing where none was given yet or it can't be read."""
    try:
        with (state / "who_works.txt").open("rb") as file:
            text = file.read(MOST_BYTES).decode()
    except (OSError, UnicodeDecodeError):
        return ""
    name = " ".join(text.split())
    return name if name.isprintable() and len(name) <= 80 else ""


def remember_name(state: Path, name: str) -> None:
    """Keep the name; where that can't be done it is asked again next time."""
    try:
        state.mkdir(parents=True, exist_ok=True)
        (state / "who_works.txt").write_text(f"{name}\n", encoding="utf-8")
    except OSError:
        return
