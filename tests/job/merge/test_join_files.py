"""Two files that parted made into a job for a third: nothing lost, differences asked, a signed record never mixed."""

from itertools import product
from pathlib import Path

import pytest

from engine.job.edit.edits import tick
from engine.job.file.store import Loaded, load, new
from engine.job.merge.asked import Side
from engine.job.merge.join_files import Answers, NoSuchQuestion, NotToJoin, file_names, joined
from engine.job.model.item_key import item_key
from engine.job.model.job import FORMAT_MINOR, Job
from tests.job.merge.test_merge import BASE, DEPTH, LATER, changed, moved
from tests.job.small import NOW, note_ids, noted
from tests.paper.test_record_tables import signed

SIDES: tuple[Side | None, ...] = (None, "ours", "theirs")
FIG = {"weight_lb": 9, "shoulder_in": 9, "body_in": 9}


def in_file(folder: Path, name: str, job: Job) -> Loaded:
    return new(folder / name, job, NOW, state=folder / "state")


def pair(folder: Path, ours: Job, theirs: Job) -> tuple[Loaded, Loaded]:
    return in_file(folder, "a.toml", ours), in_file(folder, "b.toml", theirs)


def test_what_either_file_has_is_in_both_and_what_came_in_is_said(tmp_path: Path) -> None:
    theirs = tick(changed(noted(BASE, "t"), dogs={**BASE.dogs, "fig": FIG}), DEPTH, LATER, "Bo", reading_in=20)
    found = joined(*pair(tmp_path, noted(BASE, "o"), theirs), Answers())
    assert found.asked == ()
    assert found.job is not None
    assert note_ids(found.job) == ["n1", "o", "t"]
    assert set(found.job.dogs) == {"rex", "fig"}
    assert found.job.checks[DEPTH].reading_in == 20.0
    assert len(found.came_in) == 3
    assert found.came_in[1:] == ('Bo ticked P1 driven depth 20".', "Dog fig was added.")


@pytest.mark.parametrize(("keep", "kept"), [("ours", 18.0), ("theirs", 21.0)])
def test_two_readings_of_one_thing_are_asked_with_both_shown(tmp_path: Path, keep: Side, kept: float) -> None:
    sides = pair(tmp_path, tick(BASE, DEPTH, NOW, "Ana", reading_in=18), tick(BASE, DEPTH, LATER, "Bo", reading_in=21))
    asked = joined(*sides, Answers())
    assert (asked.job, asked.asked[0]) == (
        None,
        '1. P1 driven depth: 18", by Ana on Nov 25 at 14:05 in a.toml; 21", by Bo on Nov 25 at 15:05 in b.toml.',
    )
    answered = joined(*sides, Answers(otherwise=keep))
    assert answered.job is not None
    assert answered.job.checks[DEPTH].reading_in == kept


def test_a_difference_is_asked_and_nothing_is_made_before_it_is_answered(tmp_path: Path) -> None:
    sides = pair(tmp_path, moved(BASE, station_ft=3), moved(BASE, station_ft=4))
    asked = joined(*sides, Answers())
    assert asked.job is None
    assert asked.asked == (
        "1. Post P1, station: 3' 0\" in a.toml; 4' 0\" in b.toml.",
        "Answer each: --keep 1=a for what a.toml says, --keep 1=b for b.toml. "
        "Or all that have no answer of their own: --keep ours, --keep theirs.",
    )
    ours, theirs = joined(*sides, Answers(otherwise="ours")), joined(*sides, Answers(otherwise="theirs"))
    assert ours.job is not None
    assert theirs.job is not None
    assert (ours.job.posts["P1"].station_ft, theirs.job.posts["P1"].station_ft) == (3.0, 4.0)
    assert ours.asked == ("1. Post P1, station: 3' 0\" in a.toml; 4' 0\" in b.toml. Kept: a.toml.",)
    assert (len(ours.came_in), len(theirs.came_in)) == (0, 1)


def test_one_job_twice_is_that_job(tmp_path: Path) -> None:
    found = joined(*pair(tmp_path, BASE, BASE), Answers())
    assert (found.job, found.came_in, found.asked) == (BASE, (), ())


def test_a_signed_job_is_never_mixed(tmp_path: Path) -> None:
    for keep in SIDES:
        ours, theirs = load(in_file(tmp_path, f"{keep}.toml", signed()).path), in_file(tmp_path, f"b-{keep}.toml", BASE)
        for both in ((ours, theirs), (theirs, ours), (ours, ours)):
            with pytest.raises(NotToJoin) as refused:
                joined(*both, Answers(otherwise=keep))
            says = f"{keep}.toml is signed off, and a record can't be mixed with anything. Reopen it with a reason, then merge."
            assert str(refused.value) == says


def test_a_job_of_a_newer_program_is_never_mixed(tmp_path: Path) -> None:
    ours, theirs = pair(tmp_path, BASE, noted(BASE, "t"))
    text = theirs.path.read_text(encoding="utf-8")
    theirs.path.write_text(text.replace(f"format_minor = {FORMAT_MINOR}", f"format_minor = {FORMAT_MINOR + 1}"), encoding="utf-8")
    says = r"^b\.toml was written by a newer program, so not all of it is known here\. Merge with the newer program\.$"
    with pytest.raises(NotToJoin, match=says):
        joined(ours, load(theirs.path), Answers(otherwise="ours"))


def three_questions(folder: Path) -> tuple[Loaded, Loaded]:
    """A reading, a post's station and the height of the fence, each said otherwise in either file."""
    ours = changed(tick(moved(BASE, station_ft=3), DEPTH, NOW, "Ana", reading_in=18), fence={"height_ft": 5})
    theirs = changed(tick(moved(BASE, station_ft=4), DEPTH, LATER, "Bo", reading_in=21), fence={"height_ft": 6})
    return pair(folder, ours, theirs)


@pytest.mark.parametrize("answers", list(product(SIDES[1:], repeat=3)))
def test_each_question_is_answered_by_itself(tmp_path: Path, answers: tuple[Side, ...]) -> None:
    sides = three_questions(tmp_path)
    asked = joined(*sides, Answers()).asked
    assert [line.split(":")[0] for line in asked[:3]] == ["1. P1 driven depth", "2. The fence's height", "3. Post P1, station"]
    found = joined(*sides, Answers(dict(enumerate(answers, 1))))
    assert found.job is not None
    said = (found.job.checks[DEPTH].reading_in, found.job.fence.height_ft, found.job.posts["P1"].station_ft)
    both = ((18.0, 21.0), (5.0, 6.0), (3.0, 4.0))
    assert said == tuple(pair[side == "theirs"] for pair, side in zip(both, answers, strict=True))
    assert [line.rpartition("Kept: ")[2] for line in found.asked] == ["b.toml." if side == "theirs" else "a.toml." for side in answers]


def test_what_is_not_answered_is_asked_with_its_number_and_nothing_is_made(tmp_path: Path) -> None:
    found = joined(*three_questions(tmp_path), Answers({2: "theirs"}))
    assert found.job is None
    assert [line.endswith("Kept: b.toml.") for line in found.asked[:3]] == [False, True, False]
    assert len(found.asked) == 4


def test_one_answer_of_its_own_and_one_for_the_rest(tmp_path: Path) -> None:
    found = joined(*three_questions(tmp_path), Answers({3: "ours"}, "theirs"))
    assert found.job is not None
    assert (found.job.checks[DEPTH].reading_in, found.job.fence.height_ft, found.job.posts["P1"].station_ft) == (21.0, 6.0, 3.0)


@pytest.mark.parametrize("number", [0, 4])
def test_an_answer_to_no_question_is_refused(tmp_path: Path, number: int) -> None:
    with pytest.raises(NoSuchQuestion, match=rf"^There is no question {number}\. This merge asks 3 questions\.$"):
        joined(*three_questions(tmp_path), Answers({number: "ours"}))
    (tmp_path / "alike").mkdir()
    with pytest.raises(NoSuchQuestion, match=r"This merge asks nothing\.$"):
        joined(*pair(tmp_path / "alike", BASE, BASE), Answers({number: "ours"}))


def test_what_only_one_file_has_is_told_with_both_names_whichever_is_named_first(tmp_path: Path) -> None:
    a, b = pair(tmp_path, changed(BASE, dogs={**BASE.dogs, "fig": FIG}), tick(noted(BASE, "t"), item_key("posts.P1.plumb"), LATER, "Bo"))
    found, turned = joined(a, b, Answers()), joined(b, a, Answers())
    assert (
        found.lone
        == turned.lone
        == (
            "Only a.toml has Dog fig. It is kept; whether b.toml took it out isn't known.",
            "Ticked only in b.toml: P1 plumb. It is kept; whether a.toml opened it again isn't known.",
        )
    )
    assert joined(a, b, Answers(), BASE).lone == ()


@pytest.mark.parametrize(
    ("ours", "theirs", "names"),
    [
        ("a.toml", "b.toml", ("a.toml", "b.toml")),
        ("truck/a.toml", "office/b.toml", ("a.toml", "b.toml")),
        ("truck/yard.toml", "office/yard.toml", ("truck/yard.toml", "office/yard.toml")),
        ("truck/may/yard.toml", "office/may/yard.toml", ("truck/may/yard.toml", "office/may/yard.toml")),
        ("yard.toml", "may/../yard.toml", ("yard.toml", "yard.toml")),
    ],
)
def test_files_of_one_name_are_called_by_as_many_folders_as_tell_them_apart(ours: str, theirs: str, names: tuple[str, str]) -> None:
    assert file_names(Path(ours), Path(theirs)) == names


def test_questions_and_answers_tell_two_files_of_one_name_apart(tmp_path: Path) -> None:
    for folder in ("truck", "office"):
        (tmp_path / folder).mkdir()
    sides = (
        in_file(tmp_path, "truck/yard.toml", moved(BASE, station_ft=3)),
        in_file(tmp_path, "office/yard.toml", moved(BASE, station_ft=4)),
    )
    question, answer = joined(*sides, Answers()).asked
    assert question == "1. Post P1, station: 3' 0\" in truck/yard.toml; 4' 0\" in office/yard.toml."
    assert answer.startswith("Answer each: --keep 1=a for what truck/yard.toml says, --keep 1=b for office/yard.toml. ")
    (kept,) = joined(*sides, Answers(otherwise="theirs")).asked
    assert kept.endswith(" Kept: office/yard.toml.")
