"""What an edit did that nobody was shown before it stood: what it opened again, which stops and fixes came and went. In one line."""

from collections.abc import Iterator, Sequence
from typing import Literal, NamedTuple

from engine.calc.phrases import counted, first_few, listed, plural
from engine.change.consequences import Consequences, consequences
from engine.checklist import ChecklistLine
from engine.findings import LEVELS, TITLES, Finding
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


def what_it_did(before: Walk, after: Walk, *, but: str = "") -> Did:
    """What came of an edit, by the walks before and after it. A finding that `but` tells already isn't told again. While the layout is only
    proposed its posts, bays and loops have other names after every edit: of these only stops are told."""
    found = consequences(before, after)
    opened, again = [now for _, now in _fell(found.opened, after)], [now for now, _ in _fell(found.again, before)]
    settled = before.layout.accepted and after.layout.accepted
    proposed = set() if settled else {name for walk in (before, after) for name in _proposed(walk)}
    came = [one for one in _came(found) if one.says not in but]
    return Did(tuple(_parts(found, opened, again, _told(came, proposed), _told(_went(found), proposed))))


def _fell(lines: Sequence[ChecklistLine], other: Walk) -> Iterator[tuple[ChecklistLine, ChecklistLine]]:
    """Those whose tick is in the job still and counts no more in the other walk, with what they are there: no tick that was taken back,
    nothing that isn't asked."""
    for line in lines:
        there = next((checklist.by_key[key] for checklist in other.checklists.values() if (key := line.item.key) in checklist.by_key), None)
        if line.settled and there is not None and there.was is not None:
            yield line, there


def _came(found: Consequences) -> Iterator[Finding]:
    """Findings that are new, that are graver than they were, or that are about more than they were."""
    yield from found.appear
    for was, now in found.changed:
        if LEVELS.index(now.level) < LEVELS.index(was.level) or not set(now.subjects) <= set(was.subjects):
            yield now


def _went(found: Consequences) -> Iterator[Finding]:
    yield from found.go
    yield from (was for was, now in found.changed if LEVELS.index(now.level) > LEVELS.index(was.level))


def _proposed(walk: Walk) -> Iterator[str]:
    yield from walk.layout.supports
    yield from walk.layout.bays
    yield from walk.cables.loops


def _told(findings: Iterator[Finding] | list[Finding], proposed: set[str]) -> list[Finding]:
    return [one for one in findings if one.level == "stop" or (one.level == "fix" and one.subject not in proposed)]


def _parts(
    found: Consequences, opened: Sequence[ChecklistLine], again: Sequence[ChecklistLine], came: list[Finding], went: list[Finding]
) -> Iterator[Effect]:
    new_ways = [way.where for way in found.ways if way.before_in is None]
    larger = [way.where for way in found.ways if way.before_in is not None and (way.after_in or 0.0) > way.before_in]
    closed = [way.where for way in found.ways if way.after_in is None]
    yield from _items("fix", opened, "opens again", "open again")
    yield from _findings("stop", [one for one in came if one.level == "stop"], "new stop", "new stops")
    yield from _ways("stop", new_ways, "new way out", "new ways out")
    yield from _findings("fix", [one for one in came if one.level == "fix"], "new fix", "new fixes")
    yield from _ways("stop", larger, "larger way out", "larger ways out")
    yield from _items("done", again, "counts again", "count again")
    yield from _findings("done", [one for one in went if one.level == "stop"], "stop gone", "stops gone")
    yield from _ways("done", closed, "way out gone", "ways out gone")
    yield from _findings("done", [one for one in went if one.level == "fix"], "fix gone", "fixes gone")


def _items(sign: Sign, lines: Sequence[ChecklistLine], one: str, many: str) -> Iterator[Effect]:
    if not lines:
        return
    things = tuple(dict.fromkeys(line.item.subject for line in lines if line.item.subject not in _WHOLE_JOB))
    stages = [title for stage, title in TITLES.items() if any(line.item.key.stage == stage for line in lines)]
    says = f"{counted(len(lines), 'item')} {plural(len(lines), one, many)}"
    if len(things) > MOST_NAMES[-1] and len(stages) > 1:
        yield Effect(sign, f"{says} in {len(stages)} stages", (), listed(stages))
    else:
        yield Effect(sign, says, things, lines[0].item.says if len(lines) == 1 else "")


def _findings(sign: Sign, findings: Sequence[Finding], one: str, many: str) -> Iterator[Effect]:
    """One alone in its own words, where there is room."""
    if findings:
        whole = findings[0].says.rstrip(".") if len(findings) == 1 else ""
        yield Effect(sign, counted(len(findings), one, many), tuple(dict.fromkeys(map(_about, findings))), whole)


def _about(finding: Finding) -> str:
    return TITLES[finding.stage] if finding.subject in _WHOLE_JOB else finding.subject


def _ways(sign: Sign, where: Sequence[str], one: str, many: str) -> Iterator[Effect]:
    if where:
        yield Effect(sign, counted(len(where), one, many), tuple(where))
