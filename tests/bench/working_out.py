"""How long the engine works: the whole walk cold, as it grows, and its three heaviest calculations."""

import random
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from functools import partial
from statistics import median
from time import perf_counter

from engine import walk as walking
from engine.ahead.side_by_side import side_by_side
from engine.calc.cutting.cut_plan import Stock, plan_cuts
from engine.calc.geometry.plane import distance_ft
from engine.calc.geometry.spacing import FreeStretch, best_supports
from engine.calc.measuring.adjust import adjust
from engine.change.consequences import consequences
from engine.change.fresh_layout import accepted_again, fresh_layout
from engine.change.new_way.given_up import NewWay, given_up
from engine.change.new_way.job_after import with_new_way
from engine.change.suggestions import suggestions
from engine.findings import STAGES
from engine.job.edit.alternatives import keep_layout
from engine.job.edit.edits import add_post, delivery, drop_post, move_post, obstacle, sleeve_left, swap_to_tree
from engine.job.edit.striking import strike
from engine.job.errors import EditRefused
from engine.job.model.job import Job
from engine.job.model.stock_table import stock_of
from engine.paper.crew.crew_sheets import crew_html
from engine.sheets.stage_sheets import sheet_of
from tests.bench.big_job import NOON, big_job, proposed
from tests.bench.timing import Told, best_ms
from tests.calc.cutting.test_bin_packing import fewest_by_milp
from tests.calc.measuring.networks import random_network

CASES = 7
"""So many cases of a kind are tried."""
Case = Callable[[walking.Walk], Job]
PLAIN = "plain loop"
COLD = "cold walk"


def walks(job: Job, yardstick: float) -> list[Told]:
    """The walk with nothing remembered, after one tick more or less, and after a post was moved, each another one every time."""
    cold = best_ms(lambda: walking.walk(job), before=walking.forget)
    before = walking.walk(job)
    ticked = iter([job.model_copy(update={"checks": {k: t for k, t in job.checks.items() if k != key}}) for key in list(job.checks)[:7]])
    moved = _moved(job)
    return [
        Told("walk of 2,000 ft, nothing remembered", cold, "ms", PLAIN, yardstick),
        Told("the same after a tick", best_ms(lambda: walking.walk(next(ticked))), "ms", COLD, cold),
        Told("the same after a move", best_ms(lambda: walking.walk(next(moved)())), "ms", COLD, cold),
        *previews(job, cold),
        Told("crew's sheets to print, 100 posts", best_ms(lambda: crew_html(job, before, "today"), 3, walking.forget), "ms", COLD, cold),
        *layouts(job, cold),
        *(Told(f"sheet of {stage}", best_ms(partial(sheet_of, stage, job, before)), "ms", COLD, cold) for stage in STAGES),
    ]


def layouts(job: Job, cold: float) -> list[Told]:
    """The job's own layout beside three others, each of another height: nothing remembered, and shown again."""
    for height_ft in (4.0, 4.5, 5.0):
        lower = job.model_copy(update={"fence": job.fence.model_copy(update={"height_ft": height_ft})})
        alternatives = {**job.alternatives, f"at_{height_ft * 12:.0f}": next(iter(keep_layout(lower, "lower").alternatives.values()))}
        job = job.model_copy(update={"alternatives": alternatives})
    whole = best_ms(lambda: side_by_side(job), 3, walking.forget)
    return [
        Told("layout and 3 alternatives side by side, nothing remembered", whole, "ms", COLD, cold),
        Told("the same shown again", best_ms(lambda: side_by_side(job)), "ms", COLD, cold),
    ]


def previews(job: Job, cold: float) -> Iterator[Told]:
    """The preview of every kind that shifts something: the edit, the walk of it and what it changes, each of another case, with nothing
    remembered but the job as it stands. The case in the middle is told. A new way is laid out as each key is typed, its walk begun, and
    walked on once the key is painted: each is told by itself."""
    before = walking.walk(job)
    supports = before.layout.supports
    line = supports[_line_post(job)].line
    posts = [name for name, one in supports.items() if one.kind == "line" and one.support == "driven"]
    on_line = [name for name in posts if supports[name].line == line]
    trees = {name: before.survey.points[tree.point].xy for name, tree in job.trees.items()}
    near_ft = job.rules.layout.bay_max_ft
    beside = [(post, tree) for tree, at in trees.items() for post in posts if distance_ft(at, supports[post].xy) < near_ft]
    kinds: dict[str, list[Case]] = {
        "a move": [_logged(move_post, job, post, NOON, "Lead", along_ft=0.5) for post in posts],
        "an obstacle": [_logged(obstacle, job, "rock", line, 30 + 43.3 * n, NOON, "Lead") for n in range(CASES)],
        "a post left out": [_logged(drop_post, job, post, NOON, "Lead") for post in posts],
        "a post more": [_logged(add_post, job, line, supports[post].station_ft + 5, NOON, "Lead") for post in on_line],
        "a tree in a post's place": [_logged(swap_to_tree, job, post, tree, NOON, "Lead") for post, tree in beside],
        "a sleeve left in the ground": [_logged(sleeve_left, job, post, supports[post].xy, NOON, "Lead") for post in posts],
        "a delivery": [_logged(delivery, job, row, NOON, "Lead", packs=3, loose=None) for row in stock_of(job.stock)],
        "an entry struck": [_logged(strike, job, entry.id, NOON, "Lead") for entry in job.log],
    }
    for what, cases in kinds.items():
        yield Told(f"preview of {what}", median(sum(_preview_ms(job, case)) for case in _spread(cases)), "ms", COLD, cold)
    afresh = median(sum(_preview_ms(rocky, partial(_laid_afresh, rocky))) for rocky in _spread(_rock_at_a_post(job)))
    yield Told("preview of a fresh layout round a rock at a post", afresh, "ms", COLD, cold)
    laid_ms, previewed_ms = zip(*(_preview_ms(job, case) for case in _spread(_new_ways(job, before))), strict=True)
    yield Told("a new way laid out, as its last key is typed", median(laid_ms), "ms", COLD, cold)
    yield Told("preview of a new way, once its key is painted", median(previewed_ms), "ms", COLD, cold)


def _logged(edit: Callable[..., Job], *things: object, **named: object) -> Case:
    return lambda _before: edit(*things, **named)


def _spread(cases: Sequence[Case]) -> Sequence[Case]:
    """A few of all cases, from the first on to the last."""
    return cases[:: max(len(cases) // CASES, 1)][:CASES]


def _preview_ms(job: Job, case: Case) -> tuple[float, float]:
    """How long the edit takes, and the walk of it with what it changes."""
    walking.forget()
    before = walking.walk(job)
    start = perf_counter()
    after = case(before)
    edited = perf_counter()
    consequences(before, walking.walk(after))
    return (edited - start) * 1000, (perf_counter() - edited) * 1000


def _new_ways(job: Job, before: walking.Walk) -> list[Case]:
    """Stretches of three bays taken straight; those with a gate in them are refused, and left out."""
    ways = [NewWay(*ends) for line in before.layout.lines.values() for ends in zip(line.supports, line.supports[3:], strict=False)]
    return [partial(_new_way, job, way) for way in ways if _is_free(job, before, way)]


def _is_free(job: Job, before: walking.Walk, way: NewWay) -> bool:
    try:
        _new_way(job, way, before)
    except EditRefused:
        return False
    return True


def _new_way(job: Job, way: NewWay, before: walking.Walk) -> Job:
    done = with_new_way(job, before, given_up(job, before, way, NOON), NOON, "Lead")
    walking.begin(done)
    return done


def _rock_at_a_post(job: Job) -> list[Job]:
    """The job with nothing driven yet and laid out afresh, then a rock found at one of its posts."""
    flagged = job.model_copy(update={"checks": {key: tick for key, tick in job.checks.items() if key.stage in ("survey", "layout")}})
    laid = _laid_afresh(flagged, walking.walk(flagged))
    supports = walking.walk(laid).layout.supports.values()
    found = [one for one in supports if (one.kind, one.support) == ("line", "driven")]
    return [obstacle(laid, "rock", one.line, one.station_ft, NOON, "Lead") for one in found]


def _laid_afresh(job: Job, before: walking.Walk) -> Job:
    fresh = fresh_layout(job, before)
    assert not fresh.same
    assert not fresh.why_none
    return accepted_again(job, fresh, NOON, "Lead")


def settling(job: Job) -> list[Told]:
    """The ways offered for a post, against one walk of the job with it moved."""
    before = walking.walk(job)
    moved = _moved(job)
    one = best_ms(lambda: walking.walk(next(moved)()))
    ways = len(list(suggestions(job, before, _line_post(job), NOON)))
    taken = best_ms(lambda: list(suggestions(job, before, _line_post(job), NOON)), 3)
    return [Told(f"ways to settle a post, {ways} found", taken, "ms", "walk of the move", one)]


def _line_post(job: Job) -> str:
    return next(name for name, row in job.posts.items() if row.kind == "line" and row.support == "driven")


def _moved(job: Job) -> Iterator[Callable[[], Job]]:
    """Moves of one line post along its line, each a sixteenth of a foot further."""
    post = _line_post(job)
    return (partial(move_post, job, post, NOON, "Lead", along_ft=step / 16) for step in range(1, 200))


def growth(sizes: Sequence[int]) -> list[Told]:
    """Cold walks of jobs of so many yards (500 ft each), in ms a support, against the first size: 1 is growth in a straight line."""
    told: list[Told] = []
    for yards in sizes:
        job = big_job(yards)
        taken = best_ms(partial(walking.walk, job), 3 if yards <= 4 else 2, walking.forget)
        supports = len(walking.walk(job).layout.supports)
        first = f"{500 * sizes[0]:,} ft", told[0].value if told else 0.0
        told.append(Told(f"cold walk of {500 * yards:,} ft, {supports} supports, a support", taken / supports, "ms", *first))
    return told


def calculations(yardstick: float) -> list[Told]:
    """Adjustment of 50 points, layout of 2,000 ft, a cut plan against an integer program."""
    made = random_network(3, 50)
    rng = random.Random(5)
    pieces = {f"L{k}": float(rng.randrange(400, 610)) for k in range(25)}
    sizes = [int(piece) for piece in pieces.values()]
    cut = best_ms(lambda: plan_cuts(pieces, Stock("roll", 1500.0)), before=walking.forget)
    by_milp = best_ms(lambda: fewest_by_milp(sizes, 1500), 1)
    return [
        Told(
            f"adjustment, 50 points and {len(made.shots)} shots",
            best_ms(lambda: adjust(made.known, made.approximate, made.shots)),
            "ms",
            PLAIN,
            yardstick,
        ),
        *(
            Told(f"best supports of 2,000 ft, {what}", best_ms(partial(best_supports, one)), "ms", PLAIN, yardstick)
            for what, one in stretches()
        ),
        Told("cut plan of 25 pieces", cut, "ms", "integer program", by_milp),
    ]


def stretches() -> list[tuple[str, FreeStretch]]:
    """2,000 ft on a 3 in grid over rolling ground with 60 keep-outs: a limit that can be kept, and some that can't."""
    rng = random.Random(4)
    ground = tuple(25.0 * n for n in range(81))
    rolling = FreeStretch(0.0, 2000.0, 25.0, 4.0, 0.25, (), (), (), ground, tuple(rng.uniform(-4, 4) for _ in ground))
    low = [33.0 * n + rng.uniform(0, 12) for n in range(60)]
    narrow, wide = (tuple((at, at + rng.uniform(*widths)) for at in low) for widths in ((2.0, 8.0), (12.0, 32.0)))
    return [
        ("60 keep-outs", replace(rolling, blocked=narrow)),
        ("60 and 20 trees", replace(rolling, blocked=narrow, free=tuple(97.3 * n for n in range(1, 21)))),
        ("too wide ones", replace(rolling, blocked=wide)),
        ("bays all but equal", replace(rolling, blocked=narrow, min_bay_ft=24.5)),
        ("6 ft bays", replace(rolling, blocked=narrow, max_bay_ft=6.0)),
    ]


def layout_cold() -> list[Told]:
    """Survey and layout of a job that has no plan yet: the set of supports is looked for, not read."""
    job = proposed()
    taken = best_ms(lambda: walking.walk(job), before=walking.forget)
    planned = big_job()
    return [
        Told(
            "walk of 2,000 ft with the layout to propose",
            taken,
            "ms",
            "plan accepted",
            best_ms(lambda: walking.walk(planned), before=walking.forget),
        )
    ]
