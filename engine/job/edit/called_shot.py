"""A shot in one line, the way it is called out: kind first, then names and tapes; what repeats may be left out."""

import re
from collections.abc import Callable, Collection, Mapping
from typing import Literal

from engine.calc.frozen import dataclass
from engine.calc.length_words import parting_commas
from engine.calc.lengths import AngleError, LengthError, parse_azimuth_deg, parse_length_ft
from engine.job.model.shots import Shot
from engine.job.model.words.field_words import value_text

Kind = Literal["new name", "name", "line", "length", "station", "bearing", "number", "side"]

CALLED: Mapping[str, tuple[tuple[str, Kind], ...]] = {
    "tie": (
        ("point", "new name"), ("from_a", "name"), ("tape_a_ft", "length"), ("from_b", "name"), ("tape_b_ft", "length"), ("side", "side"),
    ),
    "tape": (("to_point", "new name"), ("from_point", "name"), ("length_ft", "length")),
    "offset": (
        ("point", "new name"), ("base_from", "name"), ("along_ft", "length"), ("base_to", "name"), ("offset_ft", "length"),
        ("side", "side"),
    ),
    "leg": (("to_point", "new name"), ("from_point", "name"), ("azimuth_deg", "bearing"), ("length_ft", "length")),
    "paces": (("to_point", "new name"), ("from_point", "name"), ("paces", "number"), ("azimuth_deg", "bearing")),
    "level": (("line", "line"), ("station_ft", "station"), ("level_ft", "length")),
}  # fmt: skip
"""By kind, what is said, in the order in which it is said."""
_MAY_LACK = frozenset({("paces", "azimuth_deg")})
_BETWEEN = frozenset({"from", "to", "and", "at", "on", "is"})
_LONGEST_RUN = {"length": 4, "station": 4, "bearing": 5, "number": 1}
_NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9_-]{0,39}")
_COMMA = ","
_DECIMAL = "A comma between two digits is a decimal comma: put a blank behind one that parts two lengths."
_SIDES = ("left", "right")


@dataclass(frozen=True)
class CalledPart:
    """One thing said of a shot: its field, the words for it, and whether they were typed or filled in; no words where it is still open."""

    field: str
    text: str
    typed: bool


@dataclass(frozen=True)
class CalledShot:
    """What was understood of a line: the kind (empty before it is clear), its parts in order, and what is wrong with it."""

    method: str
    parts: tuple[CalledPart, ...] = ()
    wrong: str = ""

    @property
    def open(self) -> str:
        """The first field that is still wanted; empty where nothing is."""
        wanted = (part.field for part in self.parts if not part.text and (self.method, part.field) not in _MAY_LACK)
        return next(wanted, "")

    @property
    def texts(self) -> dict[str, str]:
        """What it says, by field."""
        return {part.field: part.text for part in self.parts}


def read_called(
    text: str, points: Collection[str], lines: Collection[str], last: str, before: Callable[[str], Mapping[str, str]]
) -> CalledShot:
    """A line as a shot.

    `last` is the kind that is meant where none is said; `before` gives for a kind what its parts are where they are left out.
    A length takes all the words that together are one; a comma or a name ends it, but in metres `12,5` is one number. Capitals don't matter
    in names that there are.
    """
    words = parting_commas().sub(f" {_COMMA} ", text).split()
    method, wrong = _kind(words, last)
    if wrong or not method:
        return CalledShot("", (), wrong)
    if words and _kinds(words[0]):
        words = words[1:]
    filled, parts = before(method), []
    for field, kind in CALLED[method]:
        while words and (words[0] == _COMMA or (words[0].casefold() in _BETWEEN and not _known(words[0], points))):
            words = words[1:]
        said, used = _said(words, kind, points, lines)
        parts.append(CalledPart(field, said or filled.get(field, ""), bool(said)))
        words = words[used:]
    left = [word for word in words if word != _COMMA]
    if method == "level" and not parts[2].text and parts[1].typed and not _known(parts[1].text, points) and filled.get("station_ft"):
        parts[1:] = _next_level(parts[1].text, filled["station_ft"])
    return CalledShot(method, tuple(parts), _left_over(method, left, lines if method == "level" else points) if left else "")


def called_words(shot: Shot) -> str:
    """A shot as it is called out, in feet and inches."""
    said = [value_text(field, getattr(shot, field)) for field, _ in CALLED[shot.method]]
    return " ".join([shot.method, *(words for words in said if words)])


def says_kind(text: str) -> bool:
    """Whether the first word of a line is its kind."""
    return bool(_kinds(next(iter(text.split()), "\n")))


def meant_names(word: str, points: Collection[str]) -> tuple[str, ...]:
    """Names that start with a word, capitals or not; none where the word is one of them."""
    folded = word.casefold()
    found = tuple(name for name in points if name.casefold().startswith(folded))
    return () if not word or any(name.casefold() == folded for name in found) else found


def _next_level(said: str, station: str) -> list[CalledPart]:
    """One length alone is the level at the next station; two whole numbers may be both, so the level is still asked for."""
    if len(said.split()) > 1 and not re.search(r"['\"a-z]", said):
        return [CalledPart("station_ft", said, True), CalledPart("level_ft", "", False)]
    return [CalledPart("station_ft", station, False), CalledPart("level_ft", said, True)]


def _left_over(method: str, left: list[str], names: Collection[str]) -> str:
    first = left[0]
    if first not in _SIDES and _NAME.fullmatch(first) and not _reads("length", first) and not _known(first, names):
        return f"There is no {'line' if method == 'level' else 'point'} {first}."
    says = f"{' '.join(left)} can't be read in the order of a {method}."
    return f"{says} {_DECIMAL}" if any(_COMMA in word for word in left) else says


def _kinds(word: str) -> list[str]:
    return [method for method in CALLED if method.startswith(word.casefold())]


def _kind(words: list[str], last: str) -> tuple[str, str]:
    """The kind that a line says, or goes on with; why it is none."""
    if not words:
        return "", ""
    found = _kinds(words[0])
    if len(found) > 1:
        return (last, "") if last in found else ("", f"{words[0]} may be {' or '.join(found)}.")
    return (found[0] if found else last), ("" if found or last else f"Say the kind first: {', '.join(CALLED)}.")


def _said(words: list[str], kind: Kind, points: Collection[str], lines: Collection[str]) -> tuple[str, int]:
    """What the next words say of a part, and how many of them; nothing where they say something else."""
    if not words:
        return "", 0
    first = words[0]
    if kind in ("name", "new name", "line", "station"):
        known = _known(first, lines if kind == "line" else points)
        named = known or (first if kind == "new name" and _NAME.fullmatch(first) else "")
        if named and not _reads("length", first) and not _run(words, "bearing"):
            return named, 1
    if kind == "side":
        side = next((side for side in _SIDES if side.startswith(first.casefold())), "")
        return side, int(bool(side))
    count = _run(words, kind)
    said = " ".join(words[:count])
    return said.replace(_COMMA, ".") if kind == "number" else said, count


def _run(words: list[str], kind: str) -> int:
    """How many of the next words together are a length, a bearing or a number; the most that are."""
    counts = range(min(_LONGEST_RUN.get(kind, 0), len(words)), 0, -1)
    return next((count for count in counts if _COMMA not in words[:count] and _reads(kind, " ".join(words[:count]))), 0)


def _known(word: str, names: Collection[str]) -> str:
    """The name that a word is, capitals or not."""
    if word in names:
        return word
    found = [name for name in names if name.casefold() == word.casefold()]
    return found[0] if len(found) == 1 else ""


def _reads(kind: str, text: str) -> bool:
    try:
        if kind == "bearing":
            parse_azimuth_deg(text)
        elif kind == "number":
            return bool(re.fullmatch(r"[0-9]+([.,][0-9]+)?", text))
        else:
            parse_length_ft(text)
    except (LengthError, AngleError):
        return False
    return True
