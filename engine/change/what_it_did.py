"""What an edit did that nobody was shown before it stood: what it opened again, which stops and fixes came and went. In one line."""

from collections.abc import Collection, Iterator, Sequence
from dataclasses import replace
from itertools import chain
from typing import Literal, NamedTuple

from engine.calc.phrases import counted, first_few, listed
from engine.change.consequences import Consequences, consequences
from engine.checklist import ChecklistLine
from engine.findings import LEVELS, TITLES, Finding
from engine.job.model.item_key import ItemKey
from engine.job.model.job import Job
from engine.job.model.log_entries import reroutes
from engine.walk import Walk

MOST_NAMES = (1, 2, 3, 5, 8)
"""So many names are said behind a count, the more the more room there is; of items about more things than the last, their stages are."""
_WHOLE_JOB = ("", "job")
_MORE = " and more"
Sign = Literal["stop", "fix", "done"]
"""Where a dog can get out or nobody may drive, where something is to be done, and where something is settled."""
_SIGNS: tuple[Sign, ...] = ("stop", "fix", "done")


class Effect(NamedTuple):
    """One thing that an edit did: a count in words, and of what; `whole` says all of it."""

    sign: Sign
    says: str
    names: tuple[str, ...]
    whole: str = ""

    @property
    def ways(self) -> tuple[str, ...]:
        """How it can be said, from the shortest on."""
        named = dict.fromkeys(first_few(self.names, most) for most in MOST_NAMES) if self.names else {}
        return (self.says, *(f"{self.says} ({of})" for of in (*named, *([self.whole] if self.whole else []))))


class Did(NamedTuple):
    """All that an edit did, the most urgent first; nothing where it opened nothing, and found and settled nothing."""

    parts: tuple[Effect, ...] = ()

    @property
    def sign(self) -> Sign:
        """How bad the worst of it is."""
        return min((part.sign for part in self.parts), key=_SIGNS.index, default="done")

    def words(self, room: int) -> str:
        """A sentence of at most so many letters: each thing as fully as there is room for beside the others; what matters least is left
        out where even the counts have none."""
        ways = [part.ways for part in self.parts]
        said, more = [shortest for shortest, *_ in ways], ""
        while len(said) > 1 and len(_sentence(said, more)) > room:
            said, more = said[:-1], _MORE
        for fuller in range(1, max(map(len, ways), default=0)):
            for at in range(len(said)):
                tried = [*said[:at], ways[at][min(fuller, len(ways[at]) - 1)], *said[at + 1 :]]
                said = tried if len(_sentence(tried, more)) <= room else said
        return _sentence(said, more) if said else ""


def _sentence(said: Sequence[str], more: str) -> str:
    return f"{', '.join(said)}{more}."


def what_it_did(before: Walk, after: Walk, *, but: str = "", moved: Collection[ItemKey] = ()) -> Did:
    """What came of an edit, by the walks before and after it. A finding that `but` tells already isn't told again. While the layout is only
    proposed its posts, bays and loops have other names after every edit: of these only stops are told. `moved` are items of which ticks
    went into the log, or came back out of it."""
    found = consequences(before, after)
    fell, again = _fell(found.opened, after, moved), _fell(found.again, before, moved)
    settled = before.layout.accepted and after.layout.accepted
    proposed = set() if settled else {name for walk in (before, after) for name in _proposed(walk)}
    came = [one for one in _came(found) if one.says not in but]
    return Did(tuple(_parts(found, fell, [*again.asked, *again.gone], _told(came, proposed), _told(_went(found), proposed))))


class _Fell(NamedTuple):
    """What was done or not needed and is open, and what was done and isn't asked any more."""

    asked: Sequence[ChecklistLine]
    gone: Sequence[ChecklistLine]


def moved_ticks(before: Job, after: Job) -> Collection[ItemKey]:
    """Items whose ticks a new way took into its entry, or that it gave back as it was taken back: what was done there falls with it."""
    kept = [entry.before.checks for job in (before, after) for entry in reroutes(job.log) if entry.before is not None]
    return {key for checks in kept for key in checks if (key in before.checks) != (key in after.checks)}


def _fell(lines: Sequence[ChecklistLine], other: Walk, moved: Collection[ItemKey]) -> _Fell:
    """Of these lines those whose tick is in the job still, or in its log, and counts no more in the other walk, what is asked as it is
    asked there: none of a tick that was taken back."""
    there = {key: line for checklist in other.checklists.values() for key, line in checklist.by_key.items()}
    kept = {key for checklist in other.checklists.values() for key, _ in checklist.past}
    return _Fell(
        [
            now
            for line in lines
            if line.settled and (now := there.get(key := line.item.key)) is not None and (now.was is not None or key in moved)
        ],
        [line for line in lines if line.state == "done" and ((key := line.item.key) in kept or (key in moved and key not in there))],
    )


def _came(found: Consequences) -> Iterator[Finding]:
    """Findings that are new, that are graver than they were, or what they are about more than they were."""
    yield from found.appear
    for was, now, came, *_ in found.changed:
        if LEVELS.index(now.level) < LEVELS.index(was.level):
            yield now
        elif came:
            yield now.about(came)


def _went(found: Consequences) -> Iterator[Finding]:
    """Findings that are gone, that are less grave than they were, or what they are about no more."""
    yield from found.go
    for was, now, _, went, _ in found.changed:
        if LEVELS.index(now.level) > LEVELS.index(was.level):
            yield was
        elif went:
            yield was.about(went) if was.each else replace(was.about(went), says="")


def _proposed(walk: Walk) -> Iterator[str]:
    yield from walk.layout.supports
    yield from walk.layout.bays
    yield from walk.cables.loops


def _told(findings: Iterator[Finding] | list[Finding], proposed: set[str]) -> list[Finding]:
    return [one for one in findings if one.level == "stop" or (one.level == "fix" and one.subject not in proposed)]


def _parts(found: Consequences, fell: _Fell, again: Sequence[ChecklistLine], came: list[Finding], went: list[Finding]) -> Iterator[Effect]:
    new_ways = [way.where for way in found.ways if way.before_in is None]
    larger = [way.where for way in found.ways if way.before_in is not None and (way.after_in or 0.0) > way.before_in]
    closed = [way.where for way in found.ways if way.after_in is None]
    yield from _items("fix", fell.asked, "item opens again", "items open again")
    yield from _items("fix", fell.gone, "done item gone", "done items gone")
    yield from _findings("stop", [one for one in came if one.level == "stop"], "new stop", "new stops")
    yield from _ways("stop", new_ways, "new way out", "new ways out")
    yield from _findings("fix", [one for one in came if one.level == "fix"], "new fix", "new fixes")
    yield from _ways("stop", larger, "larger way out", "larger ways out")
    yield from _items("done", again, "item counts again", "items count again")
    yield from _findings("done", [one for one in went if one.level == "stop"], "stop gone", "stops gone")
    yield from _ways("done", closed, "way out gone", "ways out gone")
    yield from _findings("done", [one for one in went if one.level == "fix"], "fix gone", "fixes gone")


def _items(sign: Sign, lines: Sequence[ChecklistLine], one: str, many: str) -> Iterator[Effect]:
    if not lines:
        return
    things = tuple(dict.fromkeys(line.item.subject for line in lines if line.item.subject not in _WHOLE_JOB))
    stages = [title for stage, title in TITLES.items() if any(line.item.key.stage == stage for line in lines)]
    says = counted(len(lines), one, many)
    if len(things) > MOST_NAMES[-1] and len(stages) > 1:
        yield Effect(sign, f"{says} in {len(stages)} stages", (), listed(stages))
    else:
        yield Effect(sign, says, things, lines[0].item.says if len(lines) == 1 else "")


def _findings(sign: Sign, findings: Sequence[Finding], one: str, many: str) -> Iterator[Effect]:
    """One alone in its own words, where there is room."""
    if findings:
        whole = findings[0].says.rstrip(".") if len(findings) == 1 else ""
        yield Effect(sign, counted(len(findings), one, many), tuple(dict.fromkeys(chain.from_iterable(map(_about, findings)))), whole)


def _about(finding: Finding) -> tuple[str, ...]:
    if finding.each:
        return finding.subjects
    return (TITLES[finding.stage] if finding.subject in _WHOLE_JOB else finding.subject,)


def _ways(sign: Sign, where: Sequence[str], one: str, many: str) -> Iterator[Effect]:
    if where:
        yield Effect(sign, counted(len(where), one, many), tuple(where))
