"""What a new way takes down, in a crew's words: which loops are cut, what is pulled, what stays in the ground, what goes up again."""

from collections.abc import Iterable, Iterator, Sequence

from engine.calc.frozen import dataclass
from engine.calc.lengths import format_ft_in
from engine.calc.phrases import counted, listed, plural
from engine.change.new_way.given_up import GivenUp
from engine.job.model.item_key import ItemKey
from engine.job.model.job import Job
from engine.walk import Walk


@dataclass(frozen=True)
class TakenDown:
    """What comes out: the closed loops that are cut, whose cables spring back, and sentences in the order a crew does it."""

    cut: tuple[str, ...]
    says: tuple[str, ...]


@dataclass(frozen=True)
class Reused:
    """Fabric of one kind that hangs in a stretch: feet that come off, and feet of those that go up again on the new way."""

    kind: str
    off_ft: float
    again_ft: float


def taken_down(job: Job, before: Walk, after: Walk, given_up: GivenUp, stays: Sequence[str]) -> TakenDown:
    """Everything that a new way takes down.

    Only what the ticks say is built comes out: loops closed, fabric hung, sleeves driven, brace feet set.
    Source: common practice, no source: cut the loops, take the rings off, pull the posts; a sleeve that stays is filled and seeded.
    """
    cut = tuple(name for name in given_up.loops if _done(job, ItemKey("cables", name, "closed")))
    says = [*_loops(before, cut), *_fabric(job, before, after, given_up), *_supports(before, after, given_up, stays)]
    if given_up.gone:
        says.append(f"{listed(given_up.gone)}: not on the line any more.")
    if not _levelled(before, after, given_up):
        says.append("No levels are shot along the new way yet: shoot the ground at every break.")
    return TakenDown(cut, tuple(says))


def _levelled(before: Walk, after: Walk, given_up: GivenUp) -> bool:
    """Whether the new way has a level of its own; on a line that has none, nothing is said of it here."""
    if not before.survey.lines[given_up.line].level_shots:
        return True
    start_ft, end_ft = (after.layout.supports[name].station_ft for name in (given_up.way.from_post, given_up.way.to_post))
    line = after.survey.lines[given_up.line]
    return any(start_ft < station < (line.length_ft if given_up.wraps else end_ft) for station in line.profile.stations_ft)


def _loops(before: Walk, cut: Sequence[str]) -> Iterator[str]:
    for loop in (before.cables.loops[name] for name in cut):
        ends = f"{loop.supports[0]} to {loop.supports[-1]}"
        yield f"Cut loop {loop.id}, {ends}, {format_ft_in(loop.cut_ft)} of cable, and take its rings off."


def _fabric(job: Job, before: Walk, after: Walk, given_up: GivenUp) -> Iterator[str]:
    hung = [reused(job, before, after, given_up, kind) for kind in ("wire", "mesh")]
    for one in hung:
        if one.off_ft > 0:
            rest = f"{format_ft_in(one.again_ft)} of it goes up again" if one.again_ft > 0 else "none of it is long enough to go up again"
            yield f"Take {format_ft_in(one.off_ft)} of {one.kind} off; {rest}."


def reused(job: Job, before: Walk, after: Walk, given_up: GivenUp, kind: str) -> Reused:
    """Fabric that hangs in a given_up, and how much of it covers bays of the new way.

    It is cut at the stretch's two ends, so each loop that hangs there gives one piece. Bays of the new way are cut from those
    pieces, longest first, each from the shortest rest that holds it with its overrun: good, not proven best.
    """
    pieces = []
    for loop in given_up.loops:
        if _done(job, ItemKey("fabric", loop, f"{kind}_hung")):
            inside = set(before.cables.loops[loop].bays) & set(given_up.bays)
            pieces.append(sum(before.layout.bays[bay].slope_ft for bay in inside))
    row = after.layout.lines[given_up.line].bays
    ends = [after.layout.bays[bay] for bay in row]
    first = next(n for n, bay in enumerate(ends) if bay.from_id == given_up.way.from_post)
    walked = [*ends[first:], *ends[:first]]
    count = next(n for n, bay in enumerate(walked, 1) if bay.to_id == given_up.way.to_post)
    over_ft = job.rules.fabric.overrun_in / 12
    rest = list(pieces)
    again_ft = 0.0
    for wanted_ft in sorted((bay.slope_ft for bay in walked[:count]), reverse=True):
        fitting = [piece for piece in rest if piece >= wanted_ft + over_ft]
        if fitting:
            rest[rest.index(min(fitting))] -= wanted_ft + over_ft
            again_ft += wanted_ft
    return Reused(kind, sum(pieces), again_ft)


def _supports(before: Walk, after: Walk, given_up: GivenUp, stays: Sequence[str]) -> Iterator[str]:
    supports, again = before.layout.supports, set(after.posts.reused.values())
    driven = [name for name in given_up.out if name in given_up.age_days and supports[name].support == "driven"]
    bare = [name for name in given_up.out if name not in given_up.age_days and supports[name].support == "driven"]
    lines = before.checklists["posts"].by_key
    held = [name for name in given_up.out if supports[name].support != "driven" and lines[ItemKey("posts", name, "eyes")].state == "done"]
    if held:
        yield f"Take the eyes out at {listed(held)}."
    if feet := [
        leg for name in given_up.out for leg in before.bracing.pulls[name].legs if leg.foot_key in before.checklists["bracing"].readings
    ]:
        yield f"Take {counted(len(feet), 'brace')} off; {plural(len(feet), 'it is', 'they are')} used again."
    if driven:
        yield f"Pull {plural(len(driven), 'post')} {listed(driven)}; {plural(len(driven), 'it is', 'they are')} used again."
    pulled = [name for name in driven if name not in stays and name not in again]
    if pulled:
        yield f"The {plural(len(pulled), 'sleeve')} of {listed(_aged(given_up, pulled))} {plural(len(pulled), 'pulls', 'pull')} out."
    for name in (name for name in driven if name in stays):
        yield f"The sleeve of {_aged(given_up, [name])[0]} stays: fill and seed it. It is {_found_again(before, name)}."
    if bare:
        yield f"Nothing has been driven yet at {listed(bare)}: only flags come out."


def _aged(given_up: GivenUp, names: Iterable[str]) -> list[str]:
    return [f"{name} ({_days(given_up.age_days[name])})" for name in names]


def _days(age: float) -> str:
    whole = int(age)
    return "driven today" if whole < 1 else f"{counted(whole, 'day')} old"


def _found_again(before: Walk, name: str) -> str:
    """Where a sleeve in the ground is found again: its two tapes, or its station."""
    tie = before.layout.ties.get(name)
    support = before.layout.supports[name]
    if tie is None:
        return f"{format_ft_in(support.from_start_ft)} along {support.line} as it ran"
    return " and ".join(tie.words)


def _done(job: Job, key: ItemKey) -> bool:
    tick = job.checks.get(key)
    return tick is not None and tick.state == "done"
