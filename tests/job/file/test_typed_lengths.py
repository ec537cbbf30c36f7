"""What is typed in metres stands in the file as it was typed: through saves, loads, edits, merges and units gone to and fro, to the bit."""

import pickle
import struct
import tomllib
from collections.abc import Callable
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.calc.lengths import parse_length_ft
from engine.calc.typed_length import TypedLength, as_typed
from engine.calc.units import FEET_INCHES, METRES, Units, in_units
from engine.job.edit import edits, entering
from engine.job.file.job_tables import tables_of
from engine.job.file.store import Loaded, load, new, save
from engine.job.merge.merge import merge
from engine.job.model.item_key import item_key
from engine.job.model.job import Job
from engine.job.model.words.field_words import value_text
from engine.paper.as_built import build_record
from engine.walk import walk
from tests.demo import AT, BY, accepted
from tui.sheet.reading_judged import judge

DEPTH = item_key("posts.P4.driven_depth")
UNITS = st.sampled_from([FEET_INCHES, METRES])
NUMBERS = st.decimals("0.05", "30", places=3).map(lambda number: f"{number:f}") | st.integers(1, 40).map(str)


def of_units(job: Job, units: Units) -> Job:
    return entering.put(job, "job", None, {**job.job.model_dump(), "units": units})


def written(loaded: Loaded) -> dict[str, Any]:
    return tomllib.loads(loaded.path.read_text(encoding="utf-8"))


def bits(length: float) -> bytes:
    return struct.pack(">d", length)


def kept(loaded: Loaded, job: Job) -> Loaded:
    return save(loaded, job, AT, state=loaded.path.parent / "state")


@settings(max_examples=25, deadline=None)
@given(
    number=NUMBERS, mark=st.sampled_from([".", ","]), unit=st.sampled_from(["", " m", "m"]), wide=NUMBERS,
    order=st.lists(UNITS, min_size=1, max_size=4),
)  # fmt: skip
def test_a_length_stays_as_it_was_typed_and_never_drifts(
    tmp_path_factory: pytest.TempPathFactory, number: str, mark: str, unit: str, wide: str, order: list[Units]
) -> None:
    folder = tmp_path_factory.mktemp("typed")
    job = of_units(accepted(), METRES)
    job = entering.put(job, "points", "Q", {"east_ft": f"{number.replace('.', mark)}{unit}", "north_ft": f"-{number}"})
    job = entering.put(job, "trees", "q", {"point": "Q", "diameter_in": wide})
    loaded = new(folder / "yard.toml", job, AT, state=folder / "state")
    first = bits(job.points["Q"].east_ft), bits(job.trees["q"].diameter_in)
    for step, units in enumerate(order):
        loaded = kept(load(loaded.path), of_units(load(loaded.path).job, units))
        loaded = kept(loaded, edits.note(loaded.job, f"note {step}", AT + timedelta(minutes=step), BY))
        row = load(loaded.path).job.points["Q"]
        if units == METRES:
            with in_units(units):
                shown = {"east_ft": value_text("east_ft", row.east_ft), "north_ft": row.north_ft}
            again = entering.put(loaded.job, "points", "Q", shown).points["Q"].east_ft
            assert bits(again) == first[0]
        found = written(loaded)
        assert found["points"]["Q"] == {"east_ft": f"{number} m", "north_ft": f"-{number} m"}
        assert found["trees"]["q"]["diameter_in"] == f"{wide} cm"
        read = load(loaded.path).job
        assert (bits(read.points["Q"].east_ft), bits(read.trees["q"].diameter_in)) == first


def test_a_reading_and_a_rule_stand_as_they_were_typed(tmp_path: Path) -> None:
    job = of_units(accepted(), METRES)
    reading = next(line.item.reading for line in walk(job).checklists["posts"].lines if line.item.key == DEPTH)
    assert reading is not None
    with in_units(METRES):
        read = judge("74,5", reading).value
    assert isinstance(read, TypedLength)
    job = edits.tick(job, DEPTH, AT, BY, reading_in=read)
    job = entering.put(job, "rules", "layout", {"bay_max_ft": "7.5"})
    loaded = new(tmp_path / "yard.toml", job, AT, state=tmp_path / "state")
    found = written(loaded)
    assert found["checks"][str(DEPTH)]["reading_in"] == "74.5 cm"
    assert found["rules"]["layout"] == {"bay_max_ft": "7.5 m"}
    assert load(loaded.path).job == job


def test_feet_and_what_is_worked_out_are_numbers_as_ever(tmp_path: Path) -> None:
    job = entering.put(of_units(accepted(), METRES), "points", "Q", {"east_ft": "4' 1\"", "north_ft": 2.5})
    found = written(new(tmp_path / "yard.toml", job, AT, state=tmp_path / "state"))
    assert found["points"]["Q"] == {"east_ft": 4.0833, "north_ft": 2.5}
    assert type(job.points["Q"].east_ft + TypedLength(1.0, "1 m")) is float
    assert (as_typed(2.0, 1.0), type(as_typed(2.0, 1.0))) == (2.0, float)


def test_a_typed_length_is_told_to_another_process_with_its_text() -> None:
    back = pickle.loads(pickle.dumps(TypedLength(4.1, "1.25 m")))
    assert (back, back.text) == (4.1, "1.25 m")


def test_a_signed_job_with_typed_lengths_holds_its_seal_in_both_units(tmp_path: Path) -> None:
    job = entering.put(of_units(accepted(), METRES), "points", "Q", {"east_ft": "1.250", "north_ft": "3"})
    signed = job.model_copy(update={"record": build_record(job, walk(job), AT, BY, "Client", {})})
    loaded = load(new(tmp_path / "yard.toml", signed, AT, state=tmp_path / "state").path)
    assert (loaded.sealed, loaded.seal_holds) == (True, True)
    assert written(loaded)["points"]["Q"] == {"east_ft": "1.250 m", "north_ft": "3 m"}


def read(job: Job, text: str, by: str) -> Job:
    """A reading, a minute after whatever is logged."""
    with in_units(METRES):
        depth_ft = parse_length_ft(text)
    at = max((entry.at for entry in job.log), default=AT) + timedelta(minutes=1)
    return edits.tick(job, DEPTH, at, by, reading_ft=depth_ft)


PLACES: dict[str, Callable[[Job, str, str], Job]] = {
    "points": lambda job, text, _: entering.put(job, "points", "Q", {"east_ft": text, "north_ft": "3"}),
    "trees": lambda job, text, _: entering.put(job, "trees", "q", {"point": "Q", "diameter_in": text}),
    "rules": lambda job, text, _: entering.put(job, "rules", "layout", {"bay_max_ft": text}),
    "checks": read,
    "rough": lambda job, text, _: entering.put(job, "rough", None, {"length_ft": "60", "gates_ft": ["1.5", text]}),
}
"""By its table, where a length is typed."""
ALIKE = ("4.5", "4.5 m", "450 cm", "4500 mm", "4,5")
TYPED = st.lists(st.tuples(st.sampled_from(list(PLACES)), st.sampled_from([*ALIKE, "4.7", "4.25 m"])), max_size=4)


def said_there(job: Job, table: str) -> Any:
    """A length as it stands in the file."""
    found = tables_of(job)[table]
    rows = {"points": ("Q", "east_ft"), "trees": ("q", "diameter_in"), "rules": ("layout", "bay_max_ft"), "rough": ("gates_ft", 1)}
    first, second = rows.get(table, (str(DEPTH), "reading_ft"))
    return found[first][second]


@settings(max_examples=40, deadline=None)
@given(start=TYPED, ours=TYPED, theirs=TYPED, known=st.booleans(), units=st.tuples(UNITS, UNITS))
def test_two_copies_joined_hold_every_length_as_somebody_typed_it(
    start: list[tuple[str, str]], ours: list[tuple[str, str]], theirs: list[tuple[str, str]], known: bool, units: tuple[Units, Units]
) -> None:
    base = of_units(accepted(), METRES)
    for table, text in [*((table, "4.5") for table in PLACES), *start]:
        base = PLACES[table](base, text, BY)
    sides = []
    for typed, shown, by in zip((ours, theirs), units, ("Ana", "Bo"), strict=True):
        side = base
        for table, text in typed:
            side = PLACES[table](side, text, by)
        sides.append(of_units(side, shown) if known else side)
    merged = merge(base if known else None, *sides, "ours")
    turned = merge(base if known else None, *reversed(sides), "theirs")
    assert tables_of(merged.job) == tables_of(turned.job)
    for table in PLACES:
        found = said_there(merged.job, table)
        changed = [side for side in sides if not known or tables_of(side)[table] != tables_of(base)[table]]
        assert found in {said_there(job, table) for job in changed or [base]}
        assert merge(sides[0], merged.job, sides[0]).job == merged.job
        assert said_there(merge(sides[0], merged.job, sides[0]).job, table) == found
