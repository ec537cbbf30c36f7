"""What a client said, taken down in a few words a question: it becomes the first figures of a job."""

import re
from collections.abc import Mapping
from typing import Any

from engine.calc.length_words import parting_commas
from engine.calc.lengths import LengthError, parse_length_ft
from engine.calc.units import in_its_units, metric
from engine.job.edit.entering import put
from engine.job.errors import EntryRefused, Problem, shown
from engine.job.model.job import Job

QUESTIONS = {
    "length": "length_ft", "spread": "spread_pct", "paces": "paces", "step_over": "step_over_ft", "step_counts": "step_counts",
    "ends": "start_meets", "corners": "corners", "gates": "gates_ft", "height": "height_ft", "dogs": "dogs",
}  # fmt: skip
"""What is asked, with the field of the file that an answer goes into."""
_MANY = ("paces", "step_counts", "gates")
_ABOUT = re.compile(r"^(?:about|around|roughly|maybe|some|approx\.?|ca\.?|~)\s*", re.IGNORECASE)
_FROM_TO = re.compile(r"(?:between |from )?([\d.,]+) ?([a-z']*) ?(?:to|and|or|-) ?([\d.,]+) ?([a-z']*)", re.IGNORECASE)
_ENDS = ("house", "tree", "free")
_NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")
_COUNTS = {word: count for count, word in enumerate(_NUMBERS)} | {"none": 0, "a": 1, "an": 1}
_BESIDE = re.compile(r"\s*\b(?:corners?|gates?|high|tall|long|wide|or so)$", re.IGNORECASE)
_GATE_OF = re.compile(r"^(?:gates? )?(?:of )?", re.IGNORECASE)
_GATES_OF = re.compile(r"(\d\d?) (?:gates |of )(.+)", re.IGNORECASE)
_JUST_GATES = re.compile(r"\d+ ?gates", re.IGNORECASE)
_WAYS_TO_SAY_ENDS = {"one", "two", "both", "end", "ends", "at", "on", "the", "a", "other", "to", "wall", "all"}
_THOUSANDS = re.compile(r"(?<=\d),(?=\d{3}\b)")
_RINGS = {"ring", "closed", "round"}


class AnswerRefused(EntryRefused):
    """An answer that won't do; `question` is the one it was given to, and the sentence calls the others by theirs."""

    def __init__(self, question: str, problem: Problem) -> None:
        said = problem.message.replace("start_meets and end_meets are", "ends are")
        for asked, field in QUESTIONS.items():
            said = said.replace(field, asked.replace("_", " "))
        super().__init__([Problem(problem.path, said, problem.value, problem.field)])
        self.question = question


@in_its_units
def with_first_talk(job: Job, answers: Mapping[str, str]) -> Job:
    """The job with what was said, and as high a fence as was said; unchanged where nothing was. Raises: AnswerRefused."""
    said = {question: text.strip() for question, text in answers.items() if text.strip()}
    if not said:
        return job
    fields = {QUESTIONS[question]: _value(question, text) for question, text in said.items() if question != "ends"}
    fields |= _from_to(said)
    try:
        after = put(job, "rough", None, {**fields, **_met(said.get("ends", ""))})
        height_ft = after.rough.height_ft if after.rough else None
        return put(after, "fence", None, {**after.fence.model_dump(), "height_ft": height_ft}) if height_ft else after
    except EntryRefused as refused:
        problem = refused.problems[0]
        field = problem.field or (str(problem.path[1]) if len(problem.path) > 1 else "length_ft")
        field = {"end_meets": "start_meets", "ring": "start_meets"}.get(field, field)
        raise AnswerRefused(next(question for question, name in QUESTIONS.items() if name == field), problem) from refused


def _value(question: str, text: str) -> Any:
    if question in _MANY:
        between = rf"{parting_commas().pattern}|;|\band\b" if question == "gates" else r"[,;\s]+(?:and\s)?"
        parts = [part for part in re.split(between, text) if part.strip()]
        return [width for part in parts for width in _widths(part.strip())] if question == "gates" else [_number(part) for part in parts]
    if question in ("spread", "corners"):
        said = _BESIDE.sub("", text.rstrip("% "))
        return _COUNTS.get(said.casefold(), _number(said))
    return _length(text) if question in ("length", "height") else text


def _length(text: str) -> str:
    """The length without the words about it, and without commas between thousands; in metres a comma is a decimal comma."""
    bare = _BESIDE.sub("", _ABOUT.sub("", text))
    return bare if metric() else _THOUSANDS.sub("", bare)


def _widths(text: str) -> list[str]:
    """One gate or some alike: `5`, `a 5 ft gate`, `two 4 ft gates`, `2 gates of 4 ft`."""
    bare = _BESIDE.sub("", _BESIDE.sub("", text))
    first, _, width = bare.partition(" ")
    count = _COUNTS.get(first.casefold())
    if alike := _GATES_OF.fullmatch(bare):
        count, width = int(alike[1]), alike[2]
    if (count and not width) or _JUST_GATES.fullmatch(text):
        says = f"say how wide they are, such as 5, or 2 gates of 4 ft; not {shown(text, 60)}."
        raise AnswerRefused("gates", Problem(("rough", "gates_ft"), says, text))
    return [bare] if count is None else [_GATE_OF.sub("", width)] * count


def _from_to(said: Mapping[str, str]) -> dict[str, float | str]:
    """The length halfway and how far it may be off, where it was said from where to where: `100 to 120 ft`."""
    text = _length(said.get("length", ""))
    found = _FROM_TO.fullmatch(text)
    if not found or _feet(text) is not None:
        return {}
    low, low_unit, high, high_unit = found.groups()
    low_unit, high_unit = low_unit or high_unit, high_unit or low_unit
    ends_ft = [_feet(f"{low} {low_unit}"), _feet(f"{high} {high_unit}")]
    if not all(ends_ft):
        return {}
    low_ft, high_ft = sorted(end_ft for end_ft in ends_ft if end_ft)
    if "spread" in said:
        says = "the length says from where to where already: leave one of the two out."
        raise AnswerRefused("spread", Problem(("rough", "spread_pct"), says, said["spread"]))
    off_pct = round(100 * (high_ft - low_ft) / (high_ft + low_ft), 2)
    same = (float(low.replace(",", ".")) + float(high.replace(",", "."))) / 2
    halfway = (low_ft + high_ft) / 2 if low_unit != high_unit else f"{same:.10g} {low_unit}"
    return {"length_ft": halfway, **({"spread_pct": off_pct} if off_pct else {})}


def _feet(text: str) -> float | None:
    try:
        return parse_length_ft(text)
    except LengthError:
        return None


def _number(text: str) -> float | str:
    """The number, or the text where it is none: the model says what is wanted, and the number as it was typed."""
    try:
        return int(text) if text.removeprefix("-").isdecimal() else float(text)
    except ValueError:
        return text


def _met(text: str) -> dict[str, Any]:
    """What the ends meet: one word for both, two, or ring."""
    words = [word for word in re.split(r"[,;/\s]+|\band\b", text.casefold()) if word and word not in _WAYS_TO_SAY_ENDS]
    if words and set(words) <= _RINGS:
        return {"ring": True}
    if not text:
        return {}
    if not 0 < len(words) <= 2 or not set(words) <= set(_ENDS):
        says = f"say house, tree or free, one word for both ends or two, or ring where it closes; not {shown(text, 60)}."
        raise AnswerRefused("ends", Problem(("rough", "start_meets"), says, text))
    return {"start_meets": words[0], "end_meets": words[-1]}
