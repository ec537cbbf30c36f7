"""Which findings come, go and change from one walk of a job to another: by their codes and by what they are about, whatever that is called
then."""

import re
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from typing import NamedTuple

from engine.calc.geometry.plane import distance_ft
from engine.calc.tolerances import SAME_SPOT_FT
from engine.checklist import DONE_BEFORE
from engine.findings import Finding, FindingKey
from engine.stages.layout.keep_outs import KeepOutId
from engine.stages.layout.stage import Support
from engine.stages.punch.stage import WAYS_OUT
from engine.walk import Walk

_TOLD_APART = (WAYS_OUT, DONE_BEFORE)
"""Ways out and items that open are told by themselves."""
_WORD = re.compile(r"\w+(?:-\w+)*")
Called = Mapping[str, str]
"""What posts, bays and loops of before are called after, where that is something else."""


class FindingChange(NamedTuple):
    """A finding that stays and is other than it was. `came` is what it is about more and `went` what it is about no more, as each is called
    in its walk; of `others` it says something else than it said."""

    was: Finding
    now: Finding
    came: tuple[str, ...] = ()
    went: tuple[str, ...] = ()
    others: tuple[str, ...] = ()


class FoundOtherwise(NamedTuple):
    """All findings that differ."""

    appear: tuple[Finding, ...]
    go: tuple[Finding, ...]
    changed: tuple[FindingChange, ...]


def found_otherwise(before: Walk, after: Walk) -> FoundOtherwise:
    """Those that appear, that go, and that stay and are about other things or have other words. One that several share keeps being that one
    when another of them comes first."""
    called = called_after(before, after)
    old = {_key_after(finding, called): finding for finding in before.findings if finding.code not in _TOLD_APART}
    new = {finding.key: finding for finding in after.findings if finding.code not in _TOLD_APART}
    pairs = _pairs(old, new)
    left, came = (
        [finding for key, finding in all_of.items() if key not in known] for all_of, known in ((old, pairs.values()), (new, pairs))
    )
    on_one_ground = _on_one_ground(before, after, left, came)
    told = _Told(called, _abouts(old), _abouts(new), _things(before), _things(after))
    return FoundOtherwise(
        tuple(finding for finding in came if all(finding is not one.now for one in on_one_ground)),
        tuple(finding for finding in left if all(finding is not one.was for one in on_one_ground)),
        (*told.changes((old[was], new[key]) for key, was in pairs.items()), *on_one_ground),
    )


def _on_one_ground(before: Walk, after: Walk, left: Iterable[Finding], came: Iterable[Finding]) -> list[FindingChange]:
    """Of those that one walk alone has, the stretches without stakes over the very same ground, whose bay is called otherwise."""
    found: list[FindingChange] = []
    for was in left:
        ground = set(_blocked_by(before, was))
        others = (one for one in came if all(one is not change.now for change in found))
        if (now := next((one for one in others if ground.intersection(_blocked_by(after, one))), None)) is not None:
            found.append(FindingChange(was, now))
    return found


def _blocked_by(walk: Walk, finding: Finding) -> Sequence[KeepOutId]:
    return walk.staking.bays[finding.subject].blocked_by if finding.code == "apron_unstaked" else ()


def _pairs(old: Collection[FindingKey], new: Collection[FindingKey]) -> dict[FindingKey, FindingKey]:
    """The keys of those that stay, each with the one it had."""
    pairs = {key: key for key in new if key in old}
    for key in (key for key in new if key not in old):
        alike = [other for other in old if other.code == key.code and other not in new and other not in pairs.values()]
        one_a_job = len(alike) == 1 == sum(other.code == key.code for other in new)
        if (same := next((other for other in alike if one_a_job or set(other.subjects) & set(key.subjects)), None)) is not None:
            pairs[key] = same
    return pairs


class _Told(NamedTuple):
    """What tells whether a finding that stays is news: of each code all that it is about before and after, by what that is called after;
    and what crews know by name."""

    called: Called
    old: Mapping[str, Collection[str]]
    new: Mapping[str, Collection[str]]
    stood: Collection[str]
    stands: Collection[str]

    def changes(self, pairs: Iterable[tuple[Finding, Finding]]) -> Iterator[FindingChange]:
        for was, now in pairs:
            change = self._change(was, now)
            words = _words_are_news(was, now) and (change.others or self._renamed(was.says) != now.says)
            if was.level != now.level or change.came or change.went or words:
                yield change

    def _change(self, was: Finding, now: Finding) -> FindingChange:
        said = {now.says_of(now.subject), *(self._renamed(says) for _, says in was.each)} if _words_are_news(was, now) else None
        came = tuple(name for name in now.subjects if name in self.stands and name not in self.old.get(now.code, ()))
        return FindingChange(
            was,
            now,
            came,
            tuple(name for name in was.subjects if name in self.stood and self._name(name) not in self.new.get(was.code, ())),
            tuple(name for name, says in now.each if said and says not in said and name not in came),
        )

    def _name(self, name: str) -> str:
        return self.called.get(name, name)

    def _renamed(self, says: str) -> str:
        """Words of before with what is called otherwise by its name after: few say any of that, and to look for it takes less."""
        return _WORD.sub(lambda word: self._name(word[0]), says) if any(map(says.__contains__, self.called)) else says


def _words_are_news(was: Finding, now: Finding) -> bool:
    """Of notes only those of where posts stand."""
    return not was.level == now.level == "note" or now.stage == "layout"


def _key_after(finding: Finding, called: Called) -> FindingKey:
    return FindingKey(finding.code, tuple(called.get(name, name) for name in finding.subjects)) if called else finding.key


def _abouts(keys: Iterable[FindingKey]) -> dict[str, set[str]]:
    """All that findings of each code are about."""
    found: dict[str, set[str]] = {}
    for key in keys:
        found.setdefault(key.code, set()).update(key.subjects)
    return found


def _things(walk: Walk) -> set[str]:
    """What crews know by name of what findings are about in numbers: the others say in words what they are about."""
    return {*walk.layout.supports, *walk.layout.bays, *walk.cables.loops, *walk.gate.gates, *walk.survey.points, *walk.survey.lines}


def called_after(before: Walk, after: Walk) -> Called:
    """What posts, bays and loops that stay where they are have for a name after, where that is another one; a name that means something
    else by then is no name of theirs."""
    posts = _called(_spots(before.layout.supports, after.layout.supports))
    old, new = ({**_ends(walk), **{name: loop.supports for name, loop in walk.cables.loops.items()}} for walk in (before, after))
    if not posts:
        old = {name: run for name, run in old.items() if new.get(name) != run}
    by_run = {run: name for name, run in new.items()} if old else {}
    return {**posts, **_called({name: by_run.get(tuple([posts.get(one, one) for one in run]), name) for name, run in old.items()})}


def _ends(walk: Walk) -> dict[str, tuple[str, ...]]:
    """Bays with their ends, told apart from loops of one bay."""
    return {name: ("bay", bay.from_id, bay.to_id) for name, bay in walk.layout.bays.items()}


def _spots(before: Mapping[str, Support], after: Mapping[str, Support]) -> dict[str, str]:
    """The supports of before that don't stand where they stood, each with the one that stands on its spot, or with itself."""
    others = [name for name, one in after.items() if not _same_spot(before.get(name), one)]
    return {
        name: next((other for other in others if _same_spot(one, after[other])), name)
        for name, one in before.items()
        if not _same_spot(after.get(name), one)
    }


def _same_spot(one: Support | None, other: Support) -> bool:
    return one is other or (one is not None and distance_ft(one.xy, other.xy) <= SAME_SPOT_FT)


def _called(there: Mapping[str, str]) -> Called:
    """Of names with what is there after those that differ; where nothing is, and the name is another's by then, it is nobody's."""
    taken = {now for was, now in there.items() if was != now}
    return {was: f"{was} before" if was == now and was in taken else now for was, now in there.items() if was != now or was in taken}
