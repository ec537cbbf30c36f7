"""What to ask before anything is driven: the utility notice, the dogs, and the survey's own checklist."""

from collections.abc import Iterable, Iterator, Mapping
from datetime import date
from itertools import chain

from engine.calc.geometry.plane import Point
from engine.calc.length_words import said_in_units
from engine.calc.lengths import format_ft_in, format_in
from engine.calc.limits import OutOfRange
from engine.calc.measuring.kennel import SuitedHeight, floor_space_ft2, suited_height_ft
from engine.calc.remember import remembered, remembered_columns
from engine.checklist import Item
from engine.findings import Finding, FindingOf
from engine.job.model.fence import FenceLine
from engine.job.model.item_key import ItemKey
from engine.job.model.job import Job
from engine.job.model.shots import Shot
from engine.job.model.tick_facts import NO_FACTS, Size, TickFacts, at_place
from engine.stages.survey.read_shots import levels_by_line, read_groups

_finding = FindingOf("survey")

_SEEN_FIRST = "Nothing is driven before the marks are seen."


def notice_findings(job: Job) -> Iterator[Finding]:
    """Findings on the utility notice, from its own dates and the day the job is planned for; no clock is asked.

    Source: common practice, no source: the law of the place sets the notice; see the guide page of the survey.
    Valid for: any job; whether the marks have run out today is for the crew to see.
    """
    notice, day = job.utility_notice, job.job.planned_for
    if notice.called is None:
        do = f"Call them, enter the day under the one-call notice, and wait the legal notice out. {_SEEN_FIRST}"
        yield _finding("notice_not_called", "stop", (), "No call to the one-call centre is entered.", do)
    elif not notice.marks_seen:
        yield _finding("marks_not_seen", "stop", (), "It isn't entered that the utility marks were seen.", _SEEN_FIRST)
    if notice.called and notice.expires is None:
        yield _finding("notice_no_expiry", "note", (), "The notice has no expiry date.", "Ask when the marks run out and write that down.")
    for early, late, words in (
        (notice.called, notice.earliest_start, "The notice starts on {late}, before it was called on {early}."),
        (notice.earliest_start, notice.expires, "The notice runs out on {late}, before it starts on {early}."),
    ):
        if early and late and late < early:
            says = words.format(early=_day(early), late=_day(late))
            yield _finding("notice_dates", "fix", (), says, "Read the ticket again and put the dates right.")
    if day and notice.earliest_start and day < notice.earliest_start:
        says = f"The job is planned for {_day(day)}, and the notice starts on {_day(notice.earliest_start)}."
        yield _finding("notice_too_early", "stop", (), says, "Plan it for later; nothing is driven before the notice starts.")
    if day and notice.expires and day > notice.expires:
        says = f"The job is planned for {_day(day)}, and the marks run out on {_day(notice.expires)}."
        yield _finding("notice_expired", "stop", (), says, "Call for new marks; nothing is driven on old ones.")
    if not job.utilities:
        yield _finding(
            "no_utilities", "note", (), "No buried lines are drawn.", "Draw every mark on the ground, or make sure that there are none."
        )


WITH_STOCK = "with wire and mesh wide enough, posts and braces long enough, locks strong enough"
"""What a higher fence takes, for which the stock of a lower one mostly doesn't reach."""


def _day(day: date) -> str:
    return f"{day:%b} {day.day}, {day.year}"


def suited_height(job: Job) -> tuple[float | None, tuple[Finding, ...]]:
    """The fence height that suits all the dogs, and findings where the fence is lower or may not hold one. Returns: ft, None without dogs,
    and findings. Source: common practice, no source: see engine.calc.measuring.kennel; judgement, not a rule."""
    suited: dict[str, SuitedHeight] = {}
    found: list[Finding] = []
    for name, dog in job.dogs.items():
        try:
            floor_space_ft2(dog.body_in)
            suited[name] = suited_height_ft(dog.shoulder_in, dog.jumps, dog.climbs)
        except OutOfRange:
            size = f"{format_in(dog.shoulder_in)} at the shoulder and {format_in(dog.body_in)} long"
            says = f"{name} is {size}: no dog is that size."
            found.append(_finding("dog_size", "fix", (name,), says, "Measure the dog again."))
    found += [_too_low(name, job, suit) for name, suit in suited.items() if suit.height_ft > job.fence.height_ft or suit.may_not_hold]
    if not job.dogs:
        ask = "Ask how many, how big, and whether they jump, climb, dig or chew."
        said = job.rough.dogs if job.rough else ""
        says, do = (f"Said first: {said}. No dog is listed.", f"{ask} Put each down as a dog.") if said else ("No dogs are listed.", ask)
        found.append(_finding("no_dogs", "note", (), says, do))
    highest_ft = _highest_asked_ft(job)
    if highest_ft > 6:
        says = f"The fence is {'' if highest_ft == job.fence.height_ft else 'up to '}{format_ft_in(highest_ft)} high."
        do = said_in_units("Over 6 ft, ask the permit office and licensed practice first.")
        found.append(_finding("fence_over_six", "note", (), says, do))
    return max((suit.height_ft for suit in suited.values()), default=None), tuple(found)


def _highest_asked_ft(job: Job) -> float:
    """The highest that is asked for anywhere: of the fence, a stretch, a gate or a deck's rail."""
    asked = (
        *(row.height_ft for row in job.heights.values()),
        *(row.height_ft for row in job.gates.values()),
        *(row.rail_ft for row in job.surfaces.values()),
    )
    return max(job.fence.height_ft, *(height_ft for height_ft in asked if height_ft is not None), 0.0)


def _too_low(name: str, job: Job, suit: SuitedHeight) -> Finding:
    height_ft = job.fence.height_ft
    if suit.height_ft > height_ft:
        says = f"A {format_ft_in(suit.height_ft)} fence suits {name} (judgement); this one is {format_ft_in(height_ft)}."
        return _finding(
            "fence_low", "note", (name,), says, f"Talk it over with the client, or make the fence higher all along, {WITH_STOCK}."
        )
    says = f"{name} may get over even a {format_ft_in(height_ft)} fence (judgement)."
    return _finding("may_not_hold", "note", (name,), says, "Tell the client, and watch the dog for the first few days.")


def survey_items(job: Job, between: Mapping[str, Shot], places: Mapping[str, Point]) -> Iterator[Item]:
    """The survey's checklist, each item with what it is about: where its points lie, what the shots between them and the levels read.
    Source: common practice, no source."""
    yield _item("job", "dogs_asked", "Dogs asked about: how many, how big, jump, climb, dig, chew")
    yield _item("job", "mower_asked", "Mower asked about: who mows, how wide a machine")
    yield _item("job", "irrigation_asked", "Septic, irrigation and lights asked about")
    yield _item("job", "marks_called", "Utility marks called for")
    ticket = (f"ticket {job.utility_notice.ticket.replace(';', ',')} called for",) if job.utility_notice.ticket else ()
    yield _item("job", "marks_seen", "Utility marks seen on the ground", TickFacts(words=ticket))
    for boundary, row in job.boundaries.items():
        yield _item(boundary, "boundary_found", f"Boundary {boundary}: pins or marks found", _of_points(row.points, places, row.points))
    if not job.boundaries:
        yield _item("job", "boundary_found", "Boundary found")
    runs = tuple(_runs(name, line) for name, line in job.lines.items())
    walked = _of_points([point for line in job.lines.values() for point in line.points], places, runs)
    yield _item("job", "client_walked", "Client walked the line", walked)
    for group in read_groups(between):
        yield _item(group.name, "measured_twice", f"Points {group.says}: measured twice", group.of)
    levels = levels_by_line(job.shots)
    for (name, line), run in zip(job.lines.items(), runs, strict=True):
        run_there = _of_points(line.points, places, (run,))
        of = run_there._replace(sizes=(*run_there.sizes, *levels.get(name, ())))
        yield _item(name, "levels_shot", f"Line {name}: levels shot at every break of the ground", of)
    yield _item("job", "photos_taken", "Photos taken along every line", TickFacts(words=runs))


def _runs(name: str, line: FenceLine) -> str:
    return f"{name} through {', '.join(line.points)}"


def _of_points(points: Iterable[str], places: Mapping[str, Point], words: tuple[str, ...]) -> TickFacts:
    """Where points lie, of those that have a place."""
    placed = [name for name in dict.fromkeys(points) if name in places]
    return TickFacts(sizes=tuple(chain.from_iterable(_lies(placed, [places[name] for name in placed]))), words=words)


@remembered_columns
def _lies(point: str, place: Point) -> tuple[Size, Size]:
    east_ft, north_ft = at_place(point, place).xy
    return Size(f"{point} lies east", east_ft), Size(f"{point} lies north", north_ft)


@remembered
def _item(subject: str, what: str, says: str, of: TickFacts = NO_FACTS) -> Item:
    return Item(ItemKey("survey", subject, what), says, of=of)
