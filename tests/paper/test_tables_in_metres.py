"""Tables for other programs of a job in metres: heads name metres and centimetres, figures are in them, nothing else differs."""

import csv
import io

import pytest

from engine.calc.units import FEET_INCHES, METRES, Units
from engine.job.edit import edits
from engine.job.model.item_key import item_key
from engine.job.model.job import Job
from engine.paper.load_list import load_csv, load_texts
from engine.paper.tables.csv_tables import record_csv
from engine.walk import walk
from tests.demo import AT, accepted, others

Rows = list[dict[str, str]]
DEPTH = item_key("posts.P4.driven_depth")
OF_FOOT = {"ft": ("m", 0.3048), "in": ("cm", 2.54)}


def in_units(job: Job, units: Units) -> Job:
    return job.model_copy(update={"job": job.job.model_copy(update={"units": units})})


def begun() -> Job:
    job = edits.photo(accepted(), "rock.jpg", AT, "Mo", line="back", station_ft=83, caption="ledge")
    return edits.tick(job, DEPTH, AT, "Mo", reading_in=30.0)


def rows(text: str) -> Rows:
    return list(csv.DictReader(io.StringIO(text, newline="")))


def both(job: Job) -> list[tuple[str, Rows, Rows]]:
    """Every table in feet and in metres, the load list among them."""
    told = []
    for units in (FEET_INCHES, METRES):
        of_units = in_units(job, units)
        worked = walk(of_units)
        told.append({**record_csv(of_units, worked), **load_texts(of_units, worked.takeoff)})
    return [(name, rows(text), rows(told[1][name])) for name, text in told[0].items()]


def unit_at_end(head: str) -> str:
    unit = head.rpartition("_")[2]
    return unit if unit in OF_FOOT else ""


def test_lengths_of_a_job_in_metres_stand_in_metres_and_depths_in_centimetres() -> None:
    job = in_units(begun(), METRES)
    told = record_csv(job, walk(job))
    post = next(row for row in rows(told["supports"]) if row["id"] == "P4")
    assert (post["driven_cm"], post["stands_in_what"]) == ("76.2", "driven 76.2 cm")
    assert {name: post[name] for name in ("station_m", "tape_m", "tape")} == {
        "station_m": "13.335", "tape_m": "13.24", "tape": "13.24 m from A",
    }  # fmt: skip
    assert (rows(told["readings"])[0]["read_cm"], rows(told["readings"])[0]["read_m"]) == ("76.2", "")
    photo = rows(told["photos"])[0]
    assert (photo["station_m"], photo["station"]) == ("25.2984", "25.298 m")


def test_materials_are_counted_in_metres() -> None:
    job = in_units(begun(), METRES)
    worked = walk(job)
    cable = next(row for row in rows(record_csv(job, worked)["materials"]) if row["stock"] == "cable-3-32")
    assert (cable["unit"], cable["planned_units"], cable["planned"]) == ("m", "169.9961", "170.0 m")
    load = next(row for row in rows(load_csv(job, worked.takeoff)) if row["stock"] == "cable-3-32")
    assert {name: load[name] for name in ("unit", "needed_units", "pack_holds_units", "packs", "left_units")} == {
        "unit": "m", "needed_units": "169.995", "pack_holds_units": "152.4", "packs": "2", "left_units": "304.8",
    }  # fmt: skip
    cut = [row for row in rows(load_texts(job, worked.takeoff)["offcuts"]) if row["stock"] == "cable-3-32"]
    assert [(row["number"], row["length_m"], row["length"]) for row in cut] == [("1", "127.5325", "127.533 m"), ("2", "7.2721", "7.272 m")]


@pytest.mark.parametrize("name", ["begun", "ridge_ring", "alder_row"])
def test_metres_change_heads_figures_and_words_of_lengths_and_nothing_else(name: str) -> None:
    for table, feet, metres in both(begun() if name == "begun" else others()[name]):
        assert len(feet) == len(metres), table
        for was, now in zip(feet, metres, strict=True):
            assert len(was) == len(now), table
            for head, there in zip(was, now, strict=True):
                unit = unit_at_end(head)
                assert there == head.removesuffix(unit) + OF_FOOT[unit][0] if unit else "_ft" not in there, (table, head)
                if unit and was[head]:
                    assert float(now[there]) == pytest.approx(float(was[head]) * OF_FOOT[unit][1], abs=0.008), (table, head)
