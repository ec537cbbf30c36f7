"""Every place the figures show where a dog could get out of its yard, and whether what closes it is on the truck."""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import field

from engine.calc.frozen import dataclass
from engine.calc.geometry.plane import Point
from engine.calc.lengths import format_ft_in
from engine.calc.phrases import listed, measured
from engine.calc.tolerances import ROUNDING_COUNT
from engine.checklist import Checklist
from engine.findings import UNPRINTED
from engine.job.model.job import Job
from engine.job.model.people import Dog
from engine.job.model.stock_row import StockRow
from engine.job.model.stock_table import stock_of
from engine.job.model.tick_facts import TickFacts
from engine.stages.fabric.stage import Fabric
from engine.stages.gate.stage import Gates
from engine.stages.layout.set_out import TapeTie, spot_ties
from engine.stages.layout.stage import Layout
from engine.stages.posts.stage import Posts
from engine.stages.punch.climbs import from_things, lower_stretches
from engine.stages.punch.openings import Place, WayKind, at_gates, at_walls, below_decks, open_ends, open_yards, under_wire
from engine.stages.punch.way_key import WayKey
from engine.stages.survey.dog_gaps import gets_through, least_gap_in
from engine.stages.survey.stage import Survey
from engine.stages.survey.yard_dogs import yards_and_dogs
from engine.stages.takeoff import Takeoff, TakeoffRow


@dataclass(frozen=True)
class Closing:
    """A piece that closes a way out, of stock that people call `name`, in `unit`, and what is left on the truck of it when the larger
    ways out have had theirs. `left` is None where nobody counted."""

    stock: str
    name: str
    amount: float
    unit: str
    left: float | None

    @property
    def there(self) -> bool | None:
        """Whether the truck has it; None where nobody counted."""
        return None if self.left is None else self.left + ROUNDING_COUNT >= self.amount


@dataclass(frozen=True)
class WayOut:
    """A place a dog could get out: where, how big (in), and what closes it. Largest first.

    Of a way over the fence `opening_in` is the height it lacks. `dog_in` is the smallest gap that a dog of that yard gets through, None
    without dogs; `digs` is whether one digs there, so that any gap over the rule lets it out. `yard` names its `yards`, empty where the
    place is on no yard's edge, `station_ft` None where it is on no line.
    """

    where: str
    subject: str
    opening_in: float
    closes_with: str
    kind: WayKind
    yard: str
    line: str
    station_ft: float | None
    tie: TapeTie | None
    dog_in: float | None
    digs: bool
    pieces: tuple[Closing, ...]
    key: WayKey = field(metadata=UNPRINTED)
    yards: tuple[str, ...] = field(metadata=UNPRINTED)

    @property
    def short(self) -> tuple[Closing, ...]:
        """Pieces that the truck lacks."""
        return tuple(piece for piece in self.pieces if piece.there is False)

    @property
    def place(self) -> str:
        """Line, station and two tapes, as far as there are any."""
        at = f"{self.line} at {format_ft_in(self.station_ft)}" if self.line and self.station_ft is not None else ""
        tie = self.tie
        tapes = " and ".join(tie.words) if tie else ""
        return ", ".join(part for part in (at, tapes) if part)

    @property
    def on_truck(self) -> str:
        """Whether the truck has what closes it, in words."""
        if not self.pieces:
            return "nothing to load for it"
        if self.short:
            return f"not on the truck: {listed([f'{measured(piece.amount, piece.unit)} of {piece.name}' for piece in self.short])}"
        if any(piece.there is None for piece in self.pieces):
            return f"truck not counted: {listed([piece.name for piece in self.pieces if piece.there is None])}"
        return "on the truck"


def ways_out(
    job: Job,
    survey: Survey,
    layout: Layout,
    posts: Posts,
    fabric: Fabric,
    gates: Gates,
    gate_checklist: Checklist,
    takeoff: Takeoff,
    closed: TickFacts,
) -> tuple[WayOut, ...]:
    """Every place where the smallest dog of that yard could get out, largest first.

    A place on no yard's edge, or on that of a yard without dogs, counts for every dog of the job; without any dog every gap over the
    rule counts, as for a dog that digs under wire and gates. What the crew read or ticked wins over what was worked out.
    What the truck has left (came less used) goes to the largest way out first; lengths are added up, not each off-cut looked at.
    Source: judgement, common practice, no source: see engine.stages.survey.dog_gaps.
    Valid for: gaps that the figures know of; a yard is walked all the same.
    """
    asked = yards_and_dogs(job, survey)
    gaps = (
        *under_wire(job, layout, fabric),
        *below_decks(job, fabric),
        *at_gates(job, layout, gates, gate_checklist),
        *open_yards(job, survey),
        *open_ends(job, survey, layout),
        *at_walls(job, survey, layout, closed),
    )

    def dogs_at(spot: Point) -> Sequence[Dog]:
        return asked(spot)[1]

    every_dog = list(job.dogs.values())
    wide = (gap for gap in gaps if _passes(gap, every_dog))  # what no dog of the job gets through none of a yard does
    over = (*lower_stretches(job, layout, posts, dogs_at), *from_things(job, layout, fabric))
    found = [*(gap for gap in wide if _passes(gap, dogs_at(gap.spot))), *over]
    if not found:
        return ()
    found.sort(key=lambda place: -place.opening_in)
    ties = spot_ties(job, survey, {f"{number}": place.spot for number, place in enumerate(found)})
    pieces = _from_truck(found, {row.stock: row for row in takeoff.rows}, stock_of(job.stock))
    return tuple(
        _way(place, key, *asked(place.spot), ties.get(f"{number}"), closing)
        for number, (place, key, closing) in enumerate(zip(found, keys_apart(found), pieces, strict=True))
    )


def keys_apart(places: Iterable[Place]) -> list[WayKey]:
    """A key a place, those that would be the same counted along their lines."""
    seen: Counter[WayKey] = Counter()
    keys = {}
    for place in sorted(places, key=lambda place: place.station_ft or 0.0):
        seen[place.key] += 1
        keys[id(place)] = place.key._replace(nth=seen[place.key])
    return [keys[id(place)] for place in places]


def _way(place: Place, key: WayKey, here: tuple[str, ...], dogs: Sequence[Dog], tie: TapeTie | None, pieces: tuple[Closing, ...]) -> WayOut:
    yards = (place.subject,) if place.kind == "yard" else here
    return WayOut(
        where=place.where,
        subject=place.subject,
        opening_in=place.opening_in,
        closes_with=place.closes_with,
        kind=place.kind,
        yard=" and ".join(yards),
        line=place.line,
        station_ft=place.station_ft,
        tie=tie,
        dog_in=least_gap_in(dogs),
        digs=_dug(place, dogs),
        pieces=pieces,
        key=key,
        yards=yards,
    )


def _passes(place: Place, dogs: Sequence[Dog]) -> bool:
    return gets_through(place.opening_in, place.over_in, least_gap_in(dogs), dug=_dug(place, dogs))


def _dug(place: Place, dogs: Sequence[Dog]) -> bool:
    return place.dug and any(dog.digs for dog in dogs)


def _from_truck(places: Iterable[Place], rows: Mapping[str, TakeoffRow], stock: Mapping[str, StockRow]) -> list[tuple[Closing, ...]]:
    """The pieces of each place in turn, each with what is left of its stock before it is taken."""
    left = {name: row.left for name, row in rows.items()}
    found = []
    for place in places:
        closing = []
        for piece in place.pieces:
            has = left.get(piece.stock)
            name = (stock[piece.stock].name if piece.stock in stock else "") or piece.stock
            closing.append(Closing(piece.stock, name, piece.amount, piece.unit, has))
            if has is not None and has + ROUNDING_COUNT >= piece.amount:
                left[piece.stock] = has - piece.amount
        found.append(tuple(closing))
    return found
