"""Where tapes start, and where sleeves stay: named, with coordinates and tapes between them, and drawn with signs of their own."""

from csv import DictReader
from datetime import timedelta
from io import StringIO
from math import hypot

import pytest

from engine.calc.length_words import tape_parts
from engine.drawing.plan_shapes import plan_shapes
from engine.drawing.shapes import Mark
from engine.job.edit import edits
from engine.job.model.job import Job
from engine.paper.as_built import build_record
from engine.paper.drawings.drawing_sheet import sheet_of
from engine.paper.drawings.plan_drawing import plan_svg
from engine.paper.known_places import known_places, known_table
from engine.paper.tables.csv_tables import record_csv
from engine.walk import walk
from tests.demo import AT, BY, accepted, demo, others
from tests.test_done_means_done import all_ticked

LATER = AT + timedelta(days=300)


def with_an_old_sleeve() -> Job:
    """A post was driven, and left out ten months later: its sleeve stays."""
    return edits.drop_post(all_ticked(accepted()), "P11", LATER, BY)


def test_what_the_known_places_of_the_demo_are() -> None:
    rows = {row[0]: row[1:] for row in known_table(demo(), walk(demo())).rows}
    assert rows["A"][:4] == ("north-west house corner", "0.00", "0.00", "known")
    assert rows["H"][:4] == ("inner corner of the wing", "90.00", "0.00", "known")
    assert rows["M"][0] == "surveyed point of line back"
    assert rows["H"][4].startswith("60' 0\" to B, 90' 0\" to A, ")
    assert list(rows) == ["A", "H", "B", "M"]
    table = record_csv(demo(), walk(demo()))["known-places"].removeprefix("\ufeff")
    tapes = next(row for row in DictReader(StringIO(table)) if row["place"] == "H")
    assert (tapes["tape_1_ft"], tapes["tape_1_to"], tapes["tape_2_ft"], tapes["tape_2_to"]) == ("60", "B", "90", "A")
    assert (tapes["tape_4_ft"], tapes["tape_5_to"]) == ("", "")


def test_a_point_without_a_note_is_told_by_the_wall_it_is_a_corner_of() -> None:
    job = demo()
    bare = job.model_copy(update={"points": {name: point.model_copy(update={"note": ""}) for name, point in job.points.items()}})
    rows = {row[0]: row[1] for row in known_table(bare, walk(bare)).rows}
    assert rows["H"] == "house corner (house)"
    alone = bare.model_copy(update={"structures": {}})
    rows = {row[0]: row[1] for row in known_table(alone, walk(alone)).rows}
    assert rows["A"] == "known point"


@pytest.mark.closed_form
@pytest.mark.parametrize("name", ["willow_bend", "ridge_ring", "alder_row", "an old sleeve"])
def test_every_tape_leads_to_a_place_in_the_table_and_the_tapes_between_are_plane_distances(name: str) -> None:
    job = demo() if name == "willow_bend" else with_an_old_sleeve() if name == "an old sleeve" else others()[name]
    walked = walk(job)
    places = {place.name: place for place in known_places(job, walked)}
    ties = [*walked.layout.ties.values(), *(way.tie for way in walked.punch.ways_out if way.tie)]
    told = {start for tie in ties for start in (tie.from_a, tie.from_b)}
    record = job.record or build_record(job, walked, AT, BY, "", {})
    rows = [*record.supports.values(), *record.sleeves_left.values()]
    told |= {parts[1] for row in rows for tape in (row.tie_a, row.tie_b) if (parts := tape_parts(tape))}
    assert told == set(places)
    drawing = plan_shapes(job, walked)
    sheet = sheet_of(drawing)
    assert {mark.id for mark in drawing.of(Mark, "known place") if sheet.shows(mark.pos)} == set(places)
    checked = {tie.check[0] for tie in ties if tie.check}
    assert {place.name for place in known_places(job, walked, checks=True)} == told | checked
    for place in places.values():
        for other, length_ft in place.others:
            there = places[other]
            assert length_ft == pytest.approx(hypot(place.east_ft - there.east_ft, place.north_ft - there.north_ft))
        assert len(place.others) == min(len(places) - 1, 5)


def test_a_sleeve_left_in_the_ground_is_drawn_with_a_sign_of_its_own_and_told_in_the_key() -> None:
    job = with_an_old_sleeve()
    walked = walk(job)
    (sleeve,) = [one for one in walked.posts.old_sleeves if one.stays]
    drawing = plan_shapes(job, walked)
    assert [mark.pos for mark in drawing.of(Mark, "old sleeve")] == [sleeve.there]
    assert {mark.id for mark in drawing.of(Mark, "known place")} == {"A", "H", "B", "M"}
    svg = plan_svg(drawing)
    assert "sleeve left in the ground" in svg
    assert "known place, tapes start here" in svg
    assert svg.count('class="old-sleeve"') == 4  # a ring and a cross, on the plan and in the key
    assert "sleeve left in the ground" not in plan_svg(plan_shapes(demo(), walk(demo())))


def test_a_sleeve_that_is_to_come_out_is_drawn_until_somebody_says_that_it_did() -> None:
    young = edits.drop_post(all_ticked(accepted()), "P11", AT + timedelta(days=1), BY)
    (sleeve,) = walk(young).posts.old_sleeves
    out = edits.tick(young, sleeve.key, AT + timedelta(days=1), BY)
    drawn = [[mark.pos for mark in plan_shapes(job, walk(job)).of(Mark, "old sleeve")] for job in (young, out)]
    assert (sleeve.stays, drawn) == (False, [[sleeve.there], []])
