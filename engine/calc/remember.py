"""Pure functions that remember what they gave, so that after an edit only what the edit touched is worked out again.

Nothing is ever invalidated: a result is found again by the equality of what it was made from, and the old object is given, so that what
builds on it is found again too. Memory is bounded, and safe to use from several threads (two may work one thing out twice).

It is for what costs: together they bring a walk after a move at 2,000 ft from 70 ms to about 11, inside a frame. Where the parts
are remembered themselves, `remembered_same` and `remembered_rows` find a result without a look at what is in them, and the next stage finds
its own by that. `remembered_columns` does so for all posts, bays or loops at once, `remembered_parts` in one look for a part of the fence
that hangs together. Each costs a cold walk some microseconds a post: what is worked out as fast as it is found again, such as arms to hold
or a depth that is rounded and looked up, isn't remembered.

To stay inside it: pass what the function needs (a support, a few rules, a `NamedTuple` of numbers), by place and hashable, never a whole
job or layout; return frozen things; one result must not hang on the others. Keep the thing's neighbours out of its arguments where you
can: they change when it doesn't. An STRtree compares by identity, so give it a class with `eq=False` and make it once by a remembered
function. `tests/test_remembering.py` holds a warm walk to a cold one, to the byte. What is remembered may hold lengths in words: each
memory is one of the units in force.
"""

from collections import deque
from collections.abc import Callable, Hashable, Iterable, Sequence
from functools import lru_cache, wraps
from itertools import chain, repeat
from operator import is_
from typing import Any, ParamSpec, TypeVar, cast

from engine.calc.units import METRES, Units, units_now

P = ParamSpec("P")
R = TypeVar("R")
K = TypeVar("K", bound=Hashable)
G = TypeVar("G", bound=Hashable)

KEPT = 1536
"""Results that one function keeps, and of those before as many again: what is asked in every walk is never among those that go."""
PARTS_KEPT = 96
"""The same of whole parts of a job."""
_GIVENS = 4
_NEW = object()
_EACH_NEW, _EACH_ID = repeat(_NEW), repeat(id)
_forgetters: list[Callable[[], None]] = []


class _Kept(dict[Any, Any]):
    """What one function was asked lately. Once that is full it begins anew, and what was asked before is looked up and taken over again."""

    def __init__(self) -> None:
        super().__init__()
        self._before: dict[Any, Any] = {}

    def of_before(self, key: object) -> Any:
        """What was kept before the last beginning; None where nothing was."""
        known = self._before.get(key)
        if known is not None:
            self.keep(key, known)
        return known

    def keep(self, key: object, value: object) -> None:
        if len(self) >= KEPT:
            self._before = dict(self)
            self.clear()
        self[key] = value

    def forget(self) -> None:
        self._before = {}
        self.clear()


def remembered(work: Callable[P, R]) -> Callable[P, R]:
    """A function of one thing that gives the remembered result where it was asked the same before.

    Arguments: work, pure, with hashable arguments all given by place, and a result that nobody changes.
    Source: derived: a table of arguments and results.
    Valid for: arguments that are equal only where the results are.
    """
    in_feet, in_metres = lru_cache(maxsize=KEPT)(work), lru_cache(maxsize=KEPT)(work)

    @wraps(work)
    def once(*things: Any) -> Any:
        return in_metres(*things) if units_now() is METRES else in_feet(*things)

    _forgetters.extend((in_feet.cache_clear, in_metres.cache_clear))
    return cast("Callable[P, R]", once)


def remembered_each(work: Callable[[Sequence[K], G], Sequence[R]]) -> Callable[[Sequence[K], G], list[R]]:
    """A function of many things at once that hands on only those it wasn't asked before under the same circumstances.

    Arguments: work, pure, from (things, what is given for all) to a result a thing, none of which depends on the other things.
    Source: derived: a table of things and results for each of the last four circumstances.
    Valid for: things that are equal only where the results are.
    """

    @lru_cache(maxsize=_GIVENS)
    def kept(_given: G, _units: Units) -> _Kept:
        return _Kept()

    table_of = remembered_of(lambda given: kept(given, units_now()))  # the very same circumstances are found without a look at them

    @wraps(work)
    def each(things: Sequence[K], given: G) -> list[R]:
        known = table_of(given)
        found = {thing: known.get(thing) or known.of_before(thing) for thing in things}
        fresh = [thing for thing, result in found.items() if result is None]
        if fresh:
            for thing, result in zip(fresh, work(fresh, given), strict=True):
                found[thing] = (result,)
                known.keep(thing, found[thing])
        return [cast("R", found[thing][0]) for thing in things]

    _forgetters.append(kept.cache_clear)
    return each


def remembered_of(work: Callable[P, R]) -> Callable[P, R]:
    """A function of a few large frozen things that gives the remembered result where it was asked of the very same objects.

    Arguments: work, pure, with arguments all given by place, too large to compare or hash, and a result that nobody changes.
    Source: derived: the last four calls, looked through by identity; the things are held, so that no other takes their place.
    Valid for: things that are never changed.
    """
    kept: deque[tuple[tuple[object, ...], R]] = deque(maxlen=_GIVENS)

    @wraps(work)
    def once(*things: P.args, **named: P.kwargs) -> R:
        things_in = (units_now(), *things)
        for given, result in tuple(kept):
            if len(given) == len(things_in) and all(map(is_, given, things_in)):
                return result
        result = work(*things, **named)
        kept.appendleft((things_in, result))
        return result

    _forgetters.append(kept.clear)
    return once


def remembered_same(work: Callable[P, R]) -> Callable[P, R]:
    """A function of one thing's few parts that gives the remembered result where it was given the very same parts.

    For what every walk asks of every post, bay or loop: parts that are themselves remembered are found by what they are, without a look at
    what is in them, in a third of the time that it takes to compare them.
    Arguments: work, pure, with arguments all given by place, of any kind, and a result that nobody changes.
    Source: derived: a table of the parts' identities and results; the parts are held, so that no other takes their place.
    Valid for: parts that are never changed.
    """
    kept = _Kept()

    @wraps(work)
    def once(*parts: Any) -> Any:
        key = (units_now(), *map(id, parts))
        known = kept.get(key) or kept.of_before(key)
        if known is not None:
            return known[0]
        result = work(*parts)  # type: ignore[call-arg]  # as the cast below says
        kept.keep(key, (result, *parts))
        return result

    _forgetters.append(kept.forget)
    return cast("Callable[P, R]", once)


def remembered_rows(work: Callable[P, R]) -> Callable[P, R]:
    """The same for a function of one thing and of rows of parts beside it, each row a tuple made for the call.

    Arguments: work, pure, with arguments all given by place, the first of any kind, the others tuples, and a result that nobody changes.
    Source: derived: as remembered_same, by the identities of what is in the rows.
    Valid for: parts that are never changed; rows of one shape, or with parts that tell one shape from another.
    """
    kept = _Kept()

    @wraps(work)
    def once(thing: Any, *rows: tuple[Any, ...]) -> Any:
        key = (units_now(), id(thing), *map(id, chain.from_iterable(rows)))
        known = kept.get(key) or kept.of_before(key)
        if known is not None:
            return known[0]
        result = work(thing, *rows)  # type: ignore[arg-type, call-arg]  # as the cast below says
        kept.keep(key, (result, thing, *rows))
        return result

    _forgetters.append(kept.forget)
    return cast("Callable[P, R]", once)


_Lines = tuple[dict[object, Any], list[tuple[Any, ...]]]
"""Results by the identities of a line's parts, and the lines, so that no other parts take their place."""


class ByParts(list[Iterable[Any]]):
    """A column of rows made for the call: they are told apart by what is in them."""


def _ids_in(column: Iterable[Any]) -> Iterable[Any]:
    if isinstance(column, repeat):
        return repeat(id(next(column)))
    return map(tuple, map(map, _EACH_ID, column)) if isinstance(column, ByParts) else map(id, column)


def remembered_columns(work: Callable[..., R], most: int = KEPT) -> Callable[..., list[R]]:
    """The same for all posts, bays or loops of a job in one go, from a column of parts for each argument: a result a line.

    A post is found again in a tenth of the time that a call for it alone takes.
    Arguments: work, pure, with arguments all given by place and a result that nobody changes. Lines end with the shortest column; what is
    the same in all of them is an endless `repeat`. most: results kept.
    Source: derived: as remembered_same, a line of identities after another.
    Valid for: parts that are never changed; columns that may be gone through twice, one of them with an end.
    """
    kept: dict[Units, tuple[_Lines, _Lines]] = {}

    @wraps(work)
    def each(*columns: Iterable[Any]) -> list[Any]:
        lately, before = kept.get(units_now()) or kept.setdefault(units_now(), (({}, []), ({}, [])))
        keys = list(zip(*map(_ids_in, columns), strict=False))
        found = list(map(lately[0].get, keys, _EACH_NEW))
        fresh = [at for at, result in enumerate(found) if result is _NEW]
        if fresh:
            lines = list(zip(*columns, strict=False))
            if len(lately[0]) + len(fresh) > most:
                lately, before = kept[units_now()] = ({}, []), lately
            known, held = lately
            for at in fresh:
                held.append(lines[at])
                if (result := known.get(keys[at], _NEW)) is _NEW:
                    result = before[0].get(keys[at], _NEW)
                found[at] = known[keys[at]] = work(*lines[at]) if result is _NEW else result
        return found

    _forgetters.append(kept.clear)
    return each


def remembered_parts(work: Callable[..., R]) -> Callable[..., list[R]]:
    """The same for parts of a job that hundreds of things tell apart: fewer are kept.

    Arguments: as remembered_columns.
    Source: derived: as remembered_columns.
    Valid for: as remembered_columns.
    """
    return remembered_columns(work, PARTS_KEPT)


def forget() -> None:
    """Empty every memory: what is asked next is worked out from nothing, for tests and benches.

    Source: derived.
    Valid for: any time.
    """
    for clear in _forgetters:
        clear()
