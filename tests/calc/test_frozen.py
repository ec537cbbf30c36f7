"""A dataclass whose methods are written late is what the library's own is."""

import dataclasses
from collections.abc import Callable
from typing import Any

import pytest

from engine.calc import frozen

MAKERS = [dataclasses.dataclass, frozen.dataclass]


def _bay(maker: Callable[..., Any]) -> Any:
    @maker(frozen=True)
    class Bay:
        """Two supports and what lies between."""

        start: str
        end: str
        length_ft: float = 25.0
        notes: list[str] = dataclasses.field(default_factory=list, compare=False)
        seen: int = dataclasses.field(default=0, repr=False)

        @property
        def ends(self) -> tuple[str, str]:
            return self.start, self.end

    return Bay


@pytest.fixture(params=MAKERS, ids=["library", "ours"])
def bay(request: pytest.FixtureRequest) -> Any:
    return _bay(request.param)


def test_values_go_to_their_fields_by_place_name_and_default(bay: Any) -> None:
    made = bay("P1", end="P2")
    assert (made.start, made.end, made.length_ft, made.notes, made.seen) == ("P1", "P2", 25.0, [], 0)
    assert made.ends == ("P1", "P2")
    assert bay("P1", "P2").notes is not made.notes
    assert bay("P1", "P2", notes=["hung"]).notes == ["hung"]


def test_a_value_too_few_or_too_many_is_refused_by_its_name(bay: Any) -> None:
    with pytest.raises(TypeError, match=r"Bay.__init__\(\) missing 1 required positional argument: 'end'"):
        bay("P1")
    with pytest.raises(TypeError, match="unexpected keyword argument 'width'"):
        bay("P1", "P2", width=3)


def test_equal_where_every_compared_field_is(bay: Any) -> None:
    made = bay("P1", "P2", notes=["hung"])
    assert made == bay("P1", "P2")
    assert hash(made) == hash(bay("P1", "P2"))
    assert made != bay("P1", "P2", 24.0)
    assert made != ("P1", "P2", 25.0, 0)
    assert made != _bay(frozen.dataclass)("P1", "P2")
    assert len({made, bay("P1", "P2"), bay("P2", "P1")}) == 2


def test_nothing_is_set_or_taken_away_afterwards(bay: Any) -> None:
    made = bay("P1", "P2")
    with pytest.raises(dataclasses.FrozenInstanceError, match="cannot assign to field 'end'"):
        made.end = "P3"
    with pytest.raises(dataclasses.FrozenInstanceError, match="cannot delete field 'end'"):
        del made.end
    assert made.end == "P2"


def test_it_shows_its_fields(bay: Any) -> None:
    assert repr(bay("P1", "P2")).endswith("Bay(start='P1', end='P2', length_ft=25.0, notes=[])")


def test_the_library_s_helpers_work_with_it(bay: Any) -> None:
    made = bay("P1", "P2")
    assert dataclasses.replace(made, end="P3") == bay("P1", "P3")
    assert [field.name for field in dataclasses.fields(bay)] == ["start", "end", "length_ft", "notes", "seen"]
    assert dataclasses.asdict(made) == {"start": "P1", "end": "P2", "length_ft": 25.0, "notes": [], "seen": 0}
    match made:
        case bay(start, end):
            assert (start, end) == ("P1", "P2")
        case _:
            pytest.fail("no match")


@pytest.mark.parametrize("heir", MAKERS, ids=["library", "ours"])
def test_an_heir_has_the_fields_of_both(heir: Any) -> None:
    @heir(frozen=True)
    class Gap(_bay(frozen.dataclass)):  # type: ignore[misc]  # made in a function
        """A bay with a gate in it."""

        gate: str = ""

    made = Gap("P1", "P2", gate="G1")
    assert (made.start, made.gate) == ("P1", "G1")
    assert made != Gap("P1", "P2")
    assert Gap("P1", "P2") == Gap("P1", "P2")


@pytest.mark.parametrize("maker", MAKERS, ids=["library", "ours"])
def test_what_a_class_writes_itself_stands(maker: Any) -> None:
    @maker(frozen=True)
    class Place:
        """Nearly the same is the same."""

        at_ft: float

        def __post_init__(self) -> None:
            object.__setattr__(self, "at_ft", self.at_ft + 0.0)

        def __eq__(self, other: object) -> bool:
            return isinstance(other, Place) and abs(self.at_ft - other.at_ft) < 0.1

        def __repr__(self) -> str:
            return f"at {self.at_ft}"

    assert Place(1.0) == Place(1.05)
    assert str(Place(-0.0)) == "at 0.0"
    assert hash(Place(1.0)) == hash(Place(1.0))


def test_a_mutable_one_is_the_library_s() -> None:
    with pytest.raises(TypeError, match="only frozen ones"):
        frozen.dataclass(frozen=False)
