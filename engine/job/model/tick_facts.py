"""What a tick was made for: supports at their places, sizes, what stands there and of which stock; the one place where its text is made and
read.

`P10 at 24.310 E 102.560 N; sleeve; made of sleeve-30` is a sleeve of P10 at that place; a bay names both its supports, a loop all of them,
and what hangs on a post whose first sleeve there was pulled or cut off says `P10 sleeve 2 at`.
"""

from collections.abc import Iterator
from functools import lru_cache
from math import hypot, isfinite
from typing import Annotated, Literal, NamedTuple

from pydantic import AfterValidator, BeforeValidator, GetPydanticSchema, PlainSerializer, StringConstraints

from engine.calc.tolerances import SAME_WAY_DEG, STAKE_FT, TAPE_FT

FactUnit = Literal["ft", "deg"]
_MADE_OF = "made of "


class At(NamedTuple):
    """A support at its place, ft; `sleeve` counts those that stood at that very place one after the other."""

    support: str
    east_ft: float
    north_ft: float
    sleeve: int = 1

    @property
    def xy(self) -> tuple[float, float]:
        """East and north, ft."""
        return (self.east_ft, self.north_ft)

    def __str__(self) -> str:
        in_sleeve = f" sleeve {self.sleeve}" if self.sleeve > 1 else ""
        return f"{self.support}{in_sleeve} at {self.east_ft:.3f} E {self.north_ft:.3f} N"


def at_place(support: str, place: tuple[float, float], sleeve: int = 1) -> At:
    """A support at its place to a thousandth of a foot; zero has no sign, so that one place is one text."""
    return At(support, round(place[0], 3) + 0.0, round(place[1], 3) + 0.0, sleeve)


class Size(NamedTuple):
    """A size that was wanted, or a direction."""

    name: str
    value: float
    unit: FactUnit = "ft"


class TickFacts(NamedTuple):
    """All that an item is about on one day; `stock` are the rows that it is made of. A word holds no semicolon, ends in no number with a
    unit, and doesn't begin as what it is made of does."""

    places: tuple[At, ...] = ()
    sizes: tuple[Size, ...] = ()
    words: tuple[str, ...] = ()
    stock: tuple[str, ...] = ()

    def __str__(self) -> str:
        there = ", ".join(map(str, self.places))
        sizes = (f"{size.name} {size.value:.3f} {size.unit}" for size in self.sizes)
        made = f"{_MADE_OF}{', '.join(self.stock)}" if self.stock else ""
        return "; ".join(part for part in (there, *sizes, *self.words, made) if part)


NO_FACTS = TickFacts()
"""Of a tick of an older file, and of what is about no place."""
PLATE, DEEP = "plate", "deep without a plate"
"""Of loose brace feet how wide a plate holds each, and how deep a foot holds without one; where nothing else does, the plate alone."""
MOWER = "mower wide"
SAID_LATER = frozenset((
    "leaf 1 high", "leaf 2 high", "band", PLATE, DEEP, "low eyes", "high eyes",
    "fence high", "leaf high", "leaf wide", "wire wide", "mesh wide", MOWER,
))  # fmt: skip
"""Sizes that older programs didn't write, the last of their item: a tick without them counts until the first edit writes them into it."""


PULLED, CUT_OFF = "pulled", "cut off"
"""What the tick of an old sleeve says last: what became of it. Older programs didn't write it; such a tick counts for either until the
first edit writes into it which."""
STAKE, SPOT, SHORT = " stake along", " spot along", " short along"
"""How the sizes end that say where the stakes of a bay stand, where its edge is fastened and where its apron is short: an older program
wrote how many and how long they are."""
POST_CUT = "post is cut"
APART, TAKEN = " apart", " taken"
"""How the sizes end that say how far apart rings are at most, and how long a piece of stock was taken."""
CUT_TO = "cut to"
AT_LEAST = (PLATE, DEEP, CUT_TO, MOWER)
"""Sizes of which more does as well."""
SPLICES_APART = f"splice rings{APART}"
"""What older programs said of all splices of a loop at once; since, each is named: `splice 2 rings apart`."""
RINGS, PLATES, TIES, STAKES, SPOTS, LOOPS = "rings", "plates", "ties", "stakes", "spots", "loops"
"""What a word counts, the last of its item: `21 rings`."""
_STAYS = (" lies east", " lies north", " read out", STAKE, SPOT, SHORT, POST_CUT, APART, TAKEN)
ONCE_KNOWN = (
    *_STAYS, " taped from a", " taped along", " on the left", " on the right", " leads east", " leads north",
    " shot at", " shot beside", " shot level",
)  # fmt: skip
"""How sizes end that an item has once somebody knows them: where a point lies, how far out a foot was read, what was read of a shot. They
stand last. A tick from before one was known counts, whatever else it says; one that isn't known any more is a difference. The next edit
writes in what stays; of shots a tick holds those that there were when it was made. What was taken is no difference: it tells what is
used. A tick that says how far apart its rings are says it of each splice: one that came since isn't ringed."""


def size_of(of: TickFacts, name: str) -> float | None:
    """A size by its name; None where it isn't said."""
    for size in of.sizes:
        if size[0] == name:
            return size[1]
    return None


def count_of(of: TickFacts, what: str) -> int | None:
    """How many rings, ties, stakes or others a word counts; None where it isn't said."""
    for word in of.words:
        number, _, counted = word.partition(" ")
        if counted in (what, what[:-1]) and number.isdecimal():
            return int(number)
    return None


def lacks(less: TickFacts, of: TickFacts) -> bool:
    """Whether a tick says less than is asked today: not what is known since, or, of an older program, not which stock or sizes."""
    return _says_less(less, as_far_as_known(less, of)) or any(_known_since(less, of)) or _lacks_its_end(less, of)


def as_said_by(less: TickFacts, of: TickFacts) -> TickFacts:
    """Facts as they were said when a tick was made: without what wasn't known yet; older programs didn't write the stock, and those before
    not all sizes."""
    of = as_far_as_known(less, of)
    if _lacks_its_end(less, of):
        of = of._replace(words=less.words)
    if not _says_less(less, of):
        return of
    sizes = of.sizes if len(less.sizes) == len(of.sizes) else tuple(size for size in of.sizes if size.name not in SAID_LATER)
    return of._replace(sizes=sizes, stock=())


def said_in_full(less: TickFacts, of: TickFacts) -> TickFacts:
    """What a tick said of the same, with what is known since, and with the sizes and the stock that an older program didn't write."""
    always, known = _parted(less.sizes)
    later = (size for size in of.sizes if size.name in SAID_LATER) if len(less.sizes) != len(as_far_as_known(less, of).sizes) else ()
    said = {size.name: size for size in (*known, *_known_since(less, of))}
    sizes = (*always, *later, *(said[size.name] for size in of.sizes if size.name in said))
    return less._replace(sizes=sizes, words=of.words if _lacks_its_end(less, of) else less.words, stock=of.stock)


def _says_less(less: TickFacts, of: TickFacts) -> bool:
    return not less.stock and (bool(of.stock) or len(less.sizes) < len(of.sizes))


def _lacks_its_end(less: TickFacts, of: TickFacts) -> bool:
    """Whether a tick doesn't say what became of a sleeve, or how many were taken or read."""
    if not of.words or less.words != of.words[:-1]:
        return False
    last = TickFacts(words=of.words[-1:])
    return of.words[-1] in (PULLED, CUT_OFF) or any(count_of(last, what) is not None for what in (RINGS, PLATES, LOOPS))


def met_by(then: TickFacts, of: TickFacts) -> TickFacts:
    """Facts as they were met where more was done than is asked: rings closer, more ties or plates, a plate wider, a foot deeper, a piece
    cut longer, a way clear for a wider mower. How many rings that were tells their distance; what was set on a plate, and wasn't to be
    driven deeper, needs to be no deeper since."""
    there = {size.name: size for size in then.sizes}
    on_plates = PLATE in there and DEEP not in there
    sizes = tuple([_met(there.get(size.name, size), size) for size in of.sizes if not (on_plates and size.name == DEEP)])
    return of._replace(sizes=sizes, words=then.words if _counts_enough(then, of) else of.words)


def _met(there: Size, asked: Size) -> Size:
    if asked.name.endswith(APART):
        return min(there, asked, key=_value)
    return max(there, asked, key=_value) if asked.name in AT_LEAST else asked


def _counts_enough(then: TickFacts, of: TickFacts) -> bool:
    """Whether two differ but in how many rings there are, or there are ties, plates or loops enough."""
    if not then.words or not of.words or then.words[:-1] != of.words[:-1]:
        return False
    for what in (RINGS, TIES, PLATES, LOOPS):
        there, asked = count_of(then, what), count_of(of, what)
        if there is not None and asked is not None:
            return what == RINGS or there >= asked
    return False


def _value(size: Size) -> float:
    return size.value


def _known_since(less: TickFacts, of: TickFacts) -> Iterator[Size]:
    """What is to be written into a tick; one that holds no size at all is of an older program."""
    named, unringed = {size.name for size in less.sizes}, _unringed(less, of)
    ends = _STAYS if named else ONCE_KNOWN
    return (size for size in of.sizes if size.name.endswith(ends) and size.name not in named and size not in unringed)


def _unringed(less: TickFacts, of: TickFacts) -> list[Size]:
    """Splices that have come since the rings of a tick were set."""
    named = {size.name for size in less.sizes if size.name.endswith(APART)}
    came = [size for size in of.sizes if size.name.endswith(APART) and size.name not in named] if named else []
    at_once = SPLICES_APART in named and (count_of(less, RINGS) or 0) >= (count_of(of, RINGS) or 0)
    return [] if at_once else came


def as_far_as_known(less: TickFacts, of: TickFacts) -> TickFacts:
    """Facts without what wasn't known yet to a tick, in its order, with what it says was taken; the very same where it says all of it."""
    always, known = _parted(of.sizes)
    if not known and len(less.sizes) <= len(of.sizes):
        return of
    now = {size.name: size for size in less.sizes if size.name.endswith((APART, TAKEN))}
    now |= {size.name: size for size in known if not size.name.endswith(TAKEN)}
    kept = [*(now[size.name] for size in less.sizes if size.name in now), *_unringed(less, of)]
    return of if kept == known else of._replace(sizes=(*always, *kept))


def known_alike(one: TickFacts, other: TickFacts, before: TickFacts) -> TickFacts | None:
    """What two versions of one tick say alike: without what each came to know otherwise since, and with what was known before of that which
    neither names any more; None where they differ in more."""
    (always, known), (others, known_there) = _parted(one.sizes), _parted(other.sizes)
    if one._replace(sizes=tuple(always)) != other._replace(sizes=tuple(others)):
        return None
    named = {size.name for size in (*known, *known_there)}
    gone = [size for size in _parted(before.sizes)[1] if size.name not in named]
    return one._replace(sizes=(*always, *(size for size in known if size in known_there), *gone))


def _parted(sizes: tuple[Size, ...]) -> tuple[list[Size], list[Size]]:
    """Sizes that an item always has, and those that it has once they are known."""
    known = [size for size in sizes if size.name.endswith(ONCE_KNOWN)]
    return [size for size in sizes if not size.name.endswith(ONCE_KNOWN)], known


@lru_cache(maxsize=8192)
def tick_facts(text: str) -> TickFacts:
    """The facts that a text stands for; a part that is no place and no size is a word."""
    places: list[At] = []
    sizes: list[Size] = []
    words: list[str] = []
    stock: list[str] = []
    for part in text.split("; ") if text else ():
        if part.startswith(_MADE_OF):
            stock += part.removeprefix(_MADE_OF).split(", ")
        elif there := _places(part):
            places += there
        elif size := _size(part):
            sizes.append(size)
        else:
            words.append(part)
    return TickFacts(tuple(places), tuple(sizes), tuple(words), tuple(stock))


def _places(part: str) -> list[At]:
    found = []
    for one in part.split(", ") if part.endswith(" N") else ():
        support, _, place = one.partition(" at ")
        support, _, nth = support.partition(" sleeve ")
        match place.split(" "):
            case [east, "E", north, "N"] if (e_ft := _number(east)) is not None and (n_ft := _number(north)) is not None:
                found.append(At(support, e_ft, n_ft, int(nth) if nth.isdecimal() else 1))
            case _:
                return []
    return found


def _size(part: str) -> Size | None:
    match part.rsplit(" ", 2):
        case [name, number, "ft" | "deg" as unit] if (value := _number(number)) is not None:
            return Size(name, value, unit)
    return None


def _number(text: str) -> float | None:
    try:
        value = float(text)
    except ValueError:
        return None
    return value if isfinite(value) else None


def same_facts(one: TickFacts, other: TickFacts) -> bool:
    """Whether two are the same as far as a tape tells. Asked of every tick of a file that is opened: written to be quick."""
    places, sizes, words, stock = one
    other_places, other_sizes, other_words, other_stock = other
    if words != other_words or stock != other_stock or len(sizes) != len(other_sizes):
        return False
    return (places == other_places or same_places(one, other)) and (not sizes or all(map(_same_size, sizes, other_sizes)))


def same_places(one: TickFacts, other: TickFacts) -> bool:
    """Whether two are about the same supports in the same sleeves at the same places, as far as a tape tells."""
    places, other_places = one.places, other.places
    if len(places) != len(other_places):
        return False
    for at, (name, east, north, sleeve) in enumerate(places):
        other_name, other_east, other_north, other_sleeve = other_places[at]
        if name != other_name or sleeve != other_sleeve or hypot(east - other_east, north - other_north) > TAPE_FT:
            return False
    return True


def same_place(one: At, other: At) -> bool:
    """Whether a support stands where it stood."""
    return one.support == other.support and hypot(one.east_ft - other.east_ft, one.north_ft - other.north_ft) <= TAPE_FT


def _same_size(one: Size, other: Size) -> bool:
    name, value, unit = one
    if name != other[0] or unit != other[2]:
        return False
    off = abs(value - other[1])
    if unit == "ft":
        return off <= TAPE_FT or (off <= STAKE_FT and name.endswith((STAKE, SPOT)))
    return min(off % 360, 360 - off % 360) <= SAME_WAY_DEG


def _text(value: object) -> object:
    return str(value) if isinstance(value, TickFacts) else value


_TEXT = Annotated[str, BeforeValidator(_text), StringConstraints(max_length=400_000), AfterValidator(tick_facts), PlainSerializer(str)]
FactsInFile = Annotated[TickFacts, GetPydanticSchema(lambda _, handler: handler(_TEXT))]
"""Facts of the document: text in a file, a value in a Job."""
