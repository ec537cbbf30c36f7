"""Open space under decks that a line runs over or ends at: a way out below the fence, how big it is and what closes it."""

from collections.abc import Iterator, Mapping

from engine.calc.frozen import dataclass
from engine.calc.geometry.ground import level_at_ft
from engine.calc.geometry.plane import Point
from engine.calc.large_libraries import np, shapely
from engine.calc.lengths import format_ft_in, format_in
from engine.calc.tolerances import MEETS_FT
from engine.checklist import Item, is_done
from engine.findings import Finding, FindingOf
from engine.job.model.item_key import ItemKey
from engine.job.model.job import Job
from engine.job.model.stock_table import fabric_ids
from engine.job.model.tick_facts import Size, TickFacts
from engine.stages.layout.stage import Layout
from engine.stages.survey.floors import raised
from engine.stages.survey.stage import LineSurvey, Survey

_finding = FindingOf("fabric")


@dataclass(frozen=True)
class UnderDeck:
    """An opening under a deck: the line and the stations that it lies across, and its height from the ground to the floor. A line that only
    ends at the deck's edge has `from_ft` equal to `to_ft`: how far the opening runs along the edge isn't known."""

    deck: str
    line: str
    from_ft: float
    to_ft: float
    height_in: float
    spot: Point

    @property
    def width_ft(self) -> float:
        """How wide it is along the line."""
        return self.to_ft - self.from_ft


def under_decks(job: Job, survey: Survey) -> tuple[UnderDeck, ...]:
    """Every open space under a deck that a line runs over, passes or meets, in line order."""
    found = []
    for line in survey.lines.values():
        over = [
            _over(line, floor.surface, floor.from_ft, floor.to_ft, floor.levels_ft[0]) for floor in raised(line.floors) if floor.open_under
        ]
        covered = [(floor.from_ft, floor.to_ft) for floor in raised(line.floors)]
        drawn = [one for one in _drawn(job, survey, line) if not any(a <= one.to_ft + 1 and one.from_ft <= b + 1 for a, b in covered)]
        found += sorted([*over, *drawn], key=lambda one: one.from_ft)
    return tuple(found)


def _over(line: LineSurvey, deck: str, from_ft: float, to_ft: float, floor_ft: float) -> UnderDeck:
    """The opening below a floor, as high as the lowest ground under it leaves."""
    inner = (station for station in line.profile.stations_ft if from_ft < station < to_ft)
    lowest_ft = min(level_at_ft(line.profile, station) for station in (from_ft, *inner, to_ft))
    return UnderDeck(deck, line.name, from_ft, to_ft, 12 * (floor_ft - lowest_ft), _place(line, (from_ft + to_ft) / 2))


def _drawn(job: Job, survey: Survey, line: LineSurvey) -> Iterator[UnderDeck]:
    if not job.decks:
        return
    path = shapely.LineString(line.path)
    for name, deck in job.decks.items():
        if not deck.open_under or deck.height_ft == 0 or any(point not in survey.points for point in deck.points):
            continue
        outline = shapely.Polygon([survey.points[point].xy for point in deck.points]).buffer(MEETS_FT)
        for part in shapely.get_parts(path.intersection(outline)):
            stations = [path.project(shapely.Point(spot)) for spot in part.coords] if part.geom_type == "LineString" else []
            if stations:
                low, high = min(stations), max(stations)
                ends = high - low <= 2 * MEETS_FT and (low < MEETS_FT or high > line.length_ft - MEETS_FT)
                yield UnderDeck(name, line.name, low, low if ends else high, 12 * deck.height_ft, _place(line, low))


def _place(line: LineSurvey, station_ft: float) -> Point:
    east, north = np.array(shapely.LineString(line.path).interpolate(station_ft).coords[0]).tolist()
    return (east, north)


def closed_decks(job: Job, layout: Layout, openings: tuple[UnderDeck, ...]) -> frozenset[str]:
    """Decks whose space below the crew has closed, as large as it is today and where it is."""
    facts = _facts_by_deck(job, openings)
    return frozenset(deck for deck, of in facts.items() if is_done(job.checks, ItemKey("fabric", deck, "under_closed"), of, layout.stood))


def _facts_by_deck(job: Job, openings: tuple[UnderDeck, ...]) -> dict[str, TickFacts]:
    """How long and how high the openings of every deck are, where they lie, and the wire that closes them."""
    sizes: dict[str, list[Size]] = {}
    spots: dict[str, list[Point]] = {}
    for one in openings:
        sizes.setdefault(one.deck, []).extend((Size(f"{one.line} long", one.width_ft), Size(f"{one.line} high", one.height_in / 12)))
        spots.setdefault(one.deck, []).append(one.spot)
    wire, _ = fabric_ids(job.fence)
    return {deck: TickFacts((), (*large, *_lie(spots[deck])), stock=(wire,)) for deck, large in sizes.items()}


def _lie(spots: list[Point]) -> Iterator[Size]:
    for n, (east_ft, north_ft) in enumerate(spots, 1):
        yield Size(f"{n} lies east", east_ft)
        yield Size(f"{n} lies north", north_ft)


def under_findings(openings: tuple[UnderDeck, ...], closed: frozenset[str]) -> Iterator[Finding]:
    """A stop for each opening under a deck that isn't closed yet. Source: common practice, no source: wire from the rim to the ground with
    an apron closes it."""
    for one in openings:
        if one.deck not in closed:
            do = "Hang wire from the deck's rim to the ground, its apron turned out and staked; tick it when it is done."
            yield _finding("under_deck_open", "stop", (one.line, one.deck), _says(one), do)


def under_items(job: Job, openings: tuple[UnderDeck, ...], taken: Mapping[str, tuple[Size, ...]]) -> Iterator[Item]:
    """What is asked of each deck that is open below, and what wire that takes."""
    for deck, facts in _facts_by_deck(job, openings).items():
        of = facts._replace(sizes=(*facts.sizes, *taken.get(deck, ())))
        yield Item(ItemKey("fabric", deck, "under_closed"), f"{deck}: the open space under it closed with wire, apron staked", of=of)


def _says(one: UnderDeck) -> str:
    height = format_in(one.height_in, 1)
    if one.width_ft == 0:
        return f"Line {one.line} ends at deck {one.deck}, which is open below, {height} high."
    return f"Deck {one.deck} is open below, {height} high and {format_ft_in(one.width_ft, 1)} wide, from {format_ft_in(one.from_ft, 1)}."
