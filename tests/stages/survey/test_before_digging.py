"""Dogs, the utility notice, and the checklist of the survey."""

from typing import Any

import pytest

from engine.stages.survey.stage import Survey, survey
from tests.stages import yards
from tests.stages.yards import codes, leg, said, with_shots


@pytest.mark.published
def test_floor_space_of_a_36_in_dog() -> None:
    """9 CFR 3.6(c)(1)(i), the 36 in dog of a published example: 1,764 sq in, 12.25 sq ft."""
    dogs = {"rex": {"count": 2, "weight_lb": 60, "shoulder_in": 22, "body_in": 36}}
    assert survey(yards.build(dogs=dogs)).yards["back"].floor_needed_ft2 == pytest.approx(24.50, abs=0.005)


def test_a_kennel_yard_too_small_for_its_dogs() -> None:
    dogs = {"pack": {"count": 200, "weight_lb": 60, "shoulder_in": 22, "body_in": 36, "yard": "back"}}
    assert "kennel_floor" not in codes(survey(yards.build(dogs=dogs)))
    says, _ = said(survey(yards.build(dogs=dogs, job={"licensed_kennel": True})), "kennel_floor")
    assert says == "Yard back has 2,400 sq ft and its dogs need 2,450, the least floor space of a licensed kennel (9 CFR 3.6)."


def test_a_fence_lower_than_suits_the_dog_is_judgement() -> None:
    result = survey(yards.build(fence={"height_ft": 4}))
    assert result.suited_height_ft == 6
    assert said(result, "fence_low")[0] == "A 6' 0\" fence suits rex (judgement); this one is 4' 0\"."


@pytest.mark.parametrize(
    ("tables", "says"),
    [
        ({"fence": {"height_ft": 7}}, "The fence is 7' 0\" high."),
        ({"heights": {"high": {"line": "north", "from_ft": 0, "to_ft": 10, "height_ft": 8}}}, "The fence is up to 8' 0\" high."),
        ({"fence": {"height_ft": 6}}, None),
    ],
)
def test_a_part_of_the_fence_over_six_feet_is_told(tables: dict[str, Any], says: str | None) -> None:
    found = survey(yards.build(**tables)).findings
    assert next((finding.says for finding in found if finding.code == "fence_over_six"), None) == says


def test_a_climber_may_get_over_any_fence() -> None:
    dogs = {"rex": {"weight_lb": 50, "shoulder_in": 22, "body_in": 30, "climbs": True}}
    assert said(survey(yards.build(dogs=dogs)), "may_not_hold")[0] == "rex may get over even a 6' 0\" fence (judgement)."


def test_a_dog_of_no_dog_s_size() -> None:
    dogs = {"rex": {"weight_lb": 50, "shoulder_in": 2, "body_in": 30}}
    result = survey(yards.build(dogs=dogs))
    assert result.suited_height_ft is None
    assert said(result, "dog_size")[0] == 'rex is 2" at the shoulder and 30" long: no dog is that size.'


def _notice(planned_for: str | None = None, **notice: Any) -> Survey:
    row = {**yards.tables()["utility_notice"], **notice}
    return survey(
        yards.build(utility_notice={key: value for key, value in row.items() if value is not None}, job={"planned_for": planned_for})
    )


def test_a_notice_in_order_stops_nothing() -> None:
    assert [finding for finding in _notice("2026-03-10").findings if finding.level != "note"] == []


@pytest.mark.parametrize(
    ("notice", "says"),
    [
        ({"called": None}, "No call to the one-call centre is entered."),
        ({"marks_seen": False}, "It isn't entered that the utility marks were seen."),
    ],
)
def test_the_notice_is_told_by_what_is_entered_for_that_they_were_called_may_be_ticked(notice: dict[str, Any], says: str) -> None:
    assert [finding.says for finding in _notice("2026-03-10", **notice).findings if finding.level == "stop"] == [says]


@pytest.mark.parametrize(
    ("planned_for", "notice", "code"),
    [
        (None, {"called": None}, "notice_not_called"),
        (None, {"marks_seen": False}, "marks_not_seen"),
        ("2026-03-04", {}, "notice_too_early"),
        ("2026-03-31", {}, "notice_expired"),
    ],
)
def test_nobody_drives_without_marks(planned_for: str | None, notice: dict[str, Any], code: str) -> None:
    stops = [finding.code for finding in _notice(planned_for, **notice).findings if finding.level == "stop"]
    assert stops == [code]


def test_marks_not_seen_say_what_holds() -> None:
    assert said(_notice(marks_seen=False), "marks_not_seen")[1] == "Nothing is driven before the marks are seen."


@pytest.mark.parametrize("notice", [{"earliest_start": "2026-03-01"}, {"expires": "2026-03-03"}])
def test_dates_of_a_notice_follow_each_other(notice: dict[str, Any]) -> None:
    assert "notice_dates" in codes(_notice(**notice))


def test_dogs_named_in_the_first_talk_are_told_and_asked_about() -> None:
    ask = "Ask how many, how big, and whether they jump, climb, dig or chew."
    assert said(survey(yards.build(dogs={})), "no_dogs") == ("No dogs are listed.", ask)
    talked = survey(yards.build(dogs={}, rough={"length_ft": 140, "dogs": "two beagles"}))
    assert said(talked, "no_dogs") == ("Said first: two beagles. No dog is listed.", f"{ask} Put each down as a dog.")


def test_no_buried_line_is_a_note() -> None:
    assert "no_utilities" in codes(survey(yards.plain()))
    gas = {"gas": {"kind": "gas", "points": ["A", "T1"]}}
    assert "no_utilities" not in codes(survey(yards.build(utilities=gas)))


def test_a_job_in_metres_is_told_nothing_of_that() -> None:
    assert codes(survey(yards.build(job={"units": "metres"}))) == codes(survey(yards.build(job={"units": "feet-inches"})))


def test_the_checklist_asks_for_each_group_line_and_boundary() -> None:
    base = with_shots(L1=leg("T1", "N1", 0, 10))
    base["boundaries"] = {"west": {"points": ["A", "T1"], "client_side": "right"}}
    keys = [str(item.key) for item in survey(yards.build(base)).items]
    assert keys == [
        "survey.job.dogs_asked",
        "survey.job.mower_asked",
        "survey.job.irrigation_asked",
        "survey.job.marks_called",
        "survey.job.marks_seen",
        "survey.west.boundary_found",
        "survey.job.client_walked",
        "survey.A-B.measured_twice",
        "survey.legs.measured_twice",
        "survey.fence.levels_shot",
        "survey.job.photos_taken",
    ]


def facts(tables: dict[str, Any]) -> dict[str, str]:
    """What each item is about that is about anything."""
    return {str(item.key): str(item.of) for item in survey(yards.build(tables)).items if str(item.of)}


def test_an_item_is_about_the_points_where_they_lie_and_what_was_read() -> None:
    base = with_shots(L1=leg("T1", "N1", 90, 10), O1=yards.offset("Q", 5, 3, "left"), V1=yards.levels("fence", [(12, 1.5)])["fence-L1"])
    base["boundaries"] = {"west": {"points": ["A", "T1"], "client_side": "right"}}
    run = "fence through A, T1, T2, B"
    lies = "; ".join(f"{name} lies east {east:.3f} ft; {name} lies north {north:.3f} ft" for name, east, north in (
        ("A", 0, 0), ("T1", 0, 60), ("T2", 40, 60), ("B", 40, 0),
    ))  # fmt: skip
    found = facts(base)
    assert found["survey.job.client_walked"] == f"{lies}; {run}"
    assert found["survey.job.photos_taken"] == run
    assert found["survey.fence.levels_shot"] == f"{lies}; V1 shot at 12.000 ft; V1 shot level 1.500 ft; {run}"
    assert found["survey.west.boundary_found"] == "; ".join((*lies.split("; ")[:4], "A", "T1"))
    assert found["survey.A-B.measured_twice"].endswith("; IN; Q; T1; T2")
    assert "O1 taped along 5.000 ft; O1 off on the left 3.000 ft" in found["survey.A-B.measured_twice"]
    assert found["survey.legs.measured_twice"] == "L1 leads east 10.000 ft; L1 leads north 0.000 ft; N1"


def test_a_level_beside_a_line_is_one_of_its_levels_and_a_point_without_a_place_has_none() -> None:
    beside = {**yards.levels("fence", [(12, 1.5)])["fence-L1"], "offset_ft": -3.0}
    base = with_shots(V1=beside)
    del base["shots"]["S2"]
    about = facts(base)["survey.fence.levels_shot"]
    assert "V1 shot at 12.000 ft; V1 shot beside -3.000 ft; V1 shot level 1.500 ft" in about
    assert "T2 lies" not in about
