"""Everything that can go wrong with a job file, as one class tree. Each message says what, where, and what to do."""

import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from engine.calc.phrases import plural

MOST_SHOWN = 8
LONGEST_SHOWN = 60

PathInFile = tuple[str | int, ...]


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing in a job that breaks a rule: the path of keys to it, one sentence, the value that stands there, and the field to put
    right first where the path ends at a record."""

    path: PathInFile
    message: str
    value: object | None = None
    field: str = ""


@dataclass(frozen=True, slots=True)
class Located:
    """A problem with its place in the file; `table` and `field` are empty where the trouble is not in one."""

    line: int
    column: int
    table: str
    field: str
    message: str

    def __str__(self) -> str:
        named = f"[{self.table}] {self.field}".strip() if self.table else self.field
        return f"line {self.line}, column {self.column}{', ' if named else ''}{shown(named, 160)}: {self.message}"


class JobError(Exception):
    """Something about a job that people can meet; its text is what to show them."""

    @property
    def brief(self) -> str:
        """One line of it, for a list."""
        return str(self).splitlines()[0]


class EditRefused(JobError):
    """An edit that can't be made to this job as it stands; `field` is the one thing said that can't be so, empty where it isn't one. `says`
    is the sentence without what the field is called, for whoever calls it by another name."""

    def __init__(self, says: str, field: str = "", called: str = "") -> None:
        super().__init__(f"{called}: {says}" if called else says)
        self.says, self.field = says, field


class EntryRefused(EditRefused):
    """A record that can't be written as it was filled in; `problems` says why, each with the path of the field it is about."""

    def __init__(self, problems: Sequence[Problem]) -> None:
        super().__init__(problems[0].message)
        self.problems = tuple(problems)


class FileError(JobError):
    """Something about one job file."""

    def __init__(self, path: Path, message: str) -> None:
        super().__init__(f"{shown(path.name or str(path), 120)}: {message}")
        self.path, self.says = path, message

    @property
    def brief(self) -> str:
        """One line of it beside the file's name, which it leaves out."""
        return self.says.splitlines()[0]


class UnreadableFile(FileError):
    """A file that can't be read at all: missing, a folder, too big, no permission."""


class BadContent(FileError):
    """A file that was read and isn't a sound job; `problems` says where and why, in file order. `older` is a version kept before."""

    def __init__(self, path: Path, problems: Sequence[Located], older: Path | None = None) -> None:
        listed = [f"  {problem}" for problem in problems[:MOST_SHOWN]]
        if len(problems) > MOST_SHOWN:
            listed.append(f"  and {len(problems) - MOST_SHOWN} more")
        count = plural(len(problems), "one thing needs", f"{len(problems)} things need")
        tail = "Nothing was changed in it. Put it right in a text editor and open it again."
        tail += f"\nThe version before the last save is kept in {shown(str(older), 400)}" if older else ""
        super().__init__(path, "\n".join([f"can't be opened, {count} putting right:", *listed, tail]))
        self.problems = tuple(problems)
        self.older = older

    @property
    def brief(self) -> str:
        """The first problem, and how many more there are."""
        more = f" (and {len(self.problems) - 1} more)" if len(self.problems) > 1 else ""
        return f"{self.problems[0]}{more}"


class NewerFormat(FileError):
    """A file of a later major format than this program reads."""


class ReadOnlyFile(FileError):
    """A save into a file that was opened to look at only."""


class AlreadyThere(FileError):
    """A new job where a file stands already."""


class NameRefused(FileError):
    """A new job under a name that not every laptop takes."""


class NotWritten(FileError):
    """A record that couldn't be written; what stood there stands there still."""


class ChangedOnDisk(FileError):
    """The file isn't the one that was read: somebody else saved it. Nothing was overwritten."""

    def __init__(self, path: Path) -> None:
        super().__init__(path, "was changed by somebody else since it was opened. Nothing was overwritten; read it again and merge.")


class NotSaved(FileError):
    """The save failed and the file is as it was; `why` says it in a few words, `rescue` is where the work was put instead, if anywhere."""

    def __init__(self, path: Path, why: str, rescue: Path | None) -> None:
        kept = f"Your work is kept in {shown(str(rescue), 400)}." if rescue else "No copy could be kept elsewhere: leave this open."
        super().__init__(path, f"not saved: {why} The file is as it was. {kept}")
        self.why, self.rescue = why, rescue


class NotMade(FileError):
    """A new job file that couldn't be made; `rescue` is where what it was to hold was put instead, if anywhere."""

    def __init__(self, path: Path, why: str, rescue: Path | None) -> None:
        super().__init__(path, f"wasn't made: {why}{f' What it was to hold is kept in {shown(str(rescue), 400)}.' if rescue else ''}")
        self.rescue = rescue


def shown(text: str, longest: int = LONGEST_SHOWN) -> str:
    """Text from outside in a form that is safe to print: control and direction marks spelled out, long text cut."""
    cut = text if len(text) <= longest else text[: longest - 3] + "..."
    if cut.isascii() and cut.isprintable():
        return cut
    return "".join(f"\\u{ord(c):04x}" if unicodedata.category(c) in ("Cc", "Cf", "Cs", "Zl", "Zp") else c for c in cut)


def value_words(value: object) -> str:
    """A value of a job file as it is told: a list with commas, nothing where it is empty."""
    if isinstance(value, tuple):
        return ", ".join(map(shown, map(str, value))) or "nothing"
    return "nothing" if value in (None, "") else shown(str(value))
