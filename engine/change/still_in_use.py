"""A record taken out: never what is in use, nor what gives its place to a point that is, nor stock of which something was made."""

from collections.abc import Collection, Iterator

from engine.calc.phrases import measured as amount
from engine.calc.phrases import plural
from engine.job.edit import entering
from engine.job.errors import EntryRefused, PathInFile, Problem
from engine.job.model.cross_checks import point_uses, shot_points
from engine.job.model.fence import LAYOUT_TABLES
from engine.job.model.job import Job, with_layout
from engine.job.model.shots import Shot
from engine.job.model.stock_table import stock_of
from engine.stages.survey.measured import measured
from engine.walk import walk


def taken_out(job: Job, table: str, name: str) -> Job:
    """Job without a record; refused where something uses it, or uses a point that has a place only by it. A tape or paces to a point keep
    its name, and seldom its place."""
    after = entering.remove(job, table, name)
    if table == "stock":
        _refuse_used(job, after, name)
    if table not in ("points", "shots"):
        return after
    lost = measured(job).points.keys() - measured(after).points.keys()
    known = {name} & lost if table == "points" else set()
    uses = list(_uses(after, known or lost, named=known))
    if not uses:
        return after
    points = sorted({point for _, used in uses for point in used})
    without = f", and {plural(len(points), 'has', 'have')} no place without {name}" if table == "shots" else ""
    says = entering.still_used(points, [path for path, _ in uses])
    raise EntryRefused([Problem((), f"{says}{without}.")])


def _refuse_used(job: Job, after: Job, name: str) -> None:
    """Refuse what would leave ticks of work that is made of a row without that row."""
    row = next((row for row in walk(job).takeoff.rows if row.stock == name), None)
    if name in stock_of(after.stock) or row is None or not row.used:
        return
    says = (
        f"{name} is still used: {amount(row.used, row.unit)} of it went in, by what is ticked. Leave it in the stock, for it tells what was"
    )
    says += " used; or first tick that work again as it is once it is made of another row."
    raise EntryRefused([Problem((), says)])


def _uses(job: Job, points: Collection[str], named: Collection[str]) -> Iterator[tuple[PathInFile, set[str]]]:
    """Who uses these points, in the job and in the layouts kept beside it, and which. A shot uses what it measures from, and whatever it
    names of those `named`."""
    for path, _, of in point_uses(job):
        used = set(points).intersection(_bases(job.shots[str(path[1])], named) if path[0] == "shots" else map(str, of))
        if used:
            yield path, used
    for name, other in job.alternatives.items():
        for path, _, of in point_uses(with_layout(job, other)):
            if path[0] in LAYOUT_TABLES and (used := set(points).intersection(of)):
                yield ("alternatives", name), used


def _bases(shot: Shot, named: Collection[str]) -> set[str]:
    """What a shot measures from; a tape and paces, which tell no side, measure from neither end."""
    ends = shot_points(shot)
    bases = () if shot.method in ("tape", "paces") else [ends[field] for field in ends if field not in ("point", "to_point")]
    return {*bases, *(end for end in ends.values() if end in named)}
