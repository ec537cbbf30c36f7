"""Whether one version of a file came from another is told by their headings alone, and never wrongly."""

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engine.job.file.heading import MOST_RUNS, Heading, followed_by, joining, runs_of
from engine.job.file.store import Loaded
from engine.job.versions.ancestors import came_from
from tests.job.merge.test_merge import BASE

START = datetime(2026, 11, 24, 8, 0, tzinfo=UTC)
LAPTOPS = ("here", "there", "office")
DEEDS = st.lists(
    st.tuples(st.sampled_from(["save", "save", "open", "put", "join"]), st.sampled_from(LAPTOPS), st.sampled_from(LAPTOPS)), max_size=40
)


class Share:
    """Versions as laptops save, copy and join them, each with a copy of its own; `held` is what each version truly came from."""

    def __init__(self) -> None:
        self.versions: list[Loaded] = []
        self.held: dict[str, frozenset[str]] = {}
        self.last = dict.fromkeys(LAPTOPS, self.made(Heading(**joining("begun", [])), frozenset()))
        self.goes_on = dict.fromkeys(LAPTOPS, False)

    def made(self, heading: Heading, held: frozenset[str]) -> Loaded:
        digest = f"{len(self.versions):016d}"
        version = Loaded(Path("yard.toml"), BASE, digest, heading)
        self.versions.append(version)
        self.held[digest] = held | {digest}
        return version

    def save(self, laptop: str, *others: Loaded) -> None:
        before, at = self.last[laptop], START + timedelta(hours=5 * len(self.versions))
        run = "" if self.goes_on[laptop] and not others else f"r{len(self.versions)}"
        heading = Heading(
            **followed_by(before.heading, before.digest, at, run, {other.digest: other.heading for other in others}), saved_at=at
        )
        held = frozenset[str]().union(*(self.held[version.digest] for version in (before, *others)))
        self.last[laptop], self.goes_on[laptop] = self.made(heading, held), True

    def put(self, laptop: str, other: str) -> None:
        """The file of another laptop in the place of its own."""
        self.last[laptop], self.goes_on[laptop] = self.last[other], False

    def does(self, deed: str, laptop: str, other: str) -> None:
        if deed == "save":
            self.save(laptop)
        elif deed == "open":
            self.goes_on[laptop] = False
        elif deed == "put":
            self.put(laptop, other)
        elif laptop != other:
            mine = self.last[laptop]
            self.put(laptop, other)
            self.save(laptop, mine)

    def wrong(self) -> list[tuple[str, str, bool | None]]:
        """Pairs of which it is told that the later came from the earlier where it didn't, or the other way about."""
        return [
            (later.digest, earlier.digest, told)
            for later in self.versions
            for earlier in self.versions
            if (told := came_from(later, earlier)) is not None and told != (earlier.digest in self.held[later.digest])
        ]


@given(DEEDS)
def test_it_is_never_told_wrongly(deeds: list[tuple[str, str, str]]) -> None:
    share = Share()
    for deed in deeds:
        share.does(*deed)
    assert share.wrong() == []


@given(DEEDS)
def test_it_is_told_as_long_as_the_heading_has_room_for_its_runs(deeds: list[tuple[str, str, str]]) -> None:
    share = Share()
    for deed in deeds:
        share.does(*deed)
    few = [version for version in share.versions if len(runs_of(version.heading)) < MOST_RUNS]
    assert [(later.digest, earlier.digest) for later in few for earlier in few if came_from(later, earlier) is None] == []


def test_two_laptops_that_parted_and_were_joined() -> None:
    share = Share()
    share.save("here")
    share.put("there", "here")
    share.save("here")
    share.save("there")
    here, there = share.last["here"], share.last["there"]
    assert (came_from(here, there), came_from(there, here), came_from(here, share.versions[0])) == (False, False, True)
    share.does("join", "here", "there")
    both = share.last["here"]
    assert (came_from(both, here), came_from(both, there), came_from(here, both)) == (True, True, False)
    assert both.heading.runs == "r4.1 r3.1 r1.2 begun.1"
    assert both.heading.revision == 4


def test_a_file_that_names_no_runs_tells_by_its_parent_and_its_number() -> None:
    old = Loaded(Path("yard.toml"), BASE, "a" * 64, Heading(revision=7))
    later = Loaded(Path("yard.toml"), BASE, "b" * 64, Heading(revision=8, parent="a" * 64))
    newest = Loaded(Path("yard.toml"), BASE, "c" * 64, Heading(revision=9, parent="b" * 64))
    by_hand = Loaded(Path("yard.toml"), BASE, "d" * 64, Heading(revision=0))
    assert [came_from(later, old), came_from(newest, old), came_from(old, newest), came_from(by_hand, old)] == [True, None, False, None]


@pytest.mark.parametrize("runs", ["", "7", "r.x", ".3", "r.-1", "r 2.2.2"])
def test_runs_that_somebody_wrote_by_hand_are_no_fault(runs: str) -> None:
    assert runs_of(Heading(runs=runs)) == ({"2.2": 2} if "2.2.2" in runs else {})
