"""Rules across records: what must be put right before a job file can be read. Each problem says what to do, in one sentence."""

from collections.abc import Collection, Iterable, Iterator, Mapping
from itertools import chain, combinations, count, pairwise

from engine.calc.geometry.plane import distance_ft
from engine.calc.lengths import format_ft_in
from engine.calc.tolerances import EDGE_FT, SAME_SPOT_FT
from engine.job.errors import Problem, value_words
from engine.job.likely_name import nearest
from engine.job.model.fence import LAYOUT_TABLES, Gate, HeightChange, Surface
from engine.job.model.job import Job, with_layout
from engine.job.model.log_entries import (
    AddEntry,
    DeliveryEntry,
    DropEntry,
    LogEntry,
    MoveEntry,
    PlannedEntry,
    RerouteEntry,
    SwapEntry,
    current_entries,
    live,
)
from engine.job.model.logged_far_out import far_out, known_length_ft
from engine.job.model.rough import LONGEST_FT, SHORTEST_FT
from engine.job.model.shots import LevelShot, Shot
from engine.job.model.stock_table import stock_of

Path = tuple[str | int, ...]

NOUNS = {
    "shots": "Shot", "structures": "Structure", "trees": "Tree", "obstacles": "Obstacle", "utilities": "Utility",
    "boundaries": "Boundary", "decks": "Deck", "lines": "Line", "surfaces": "Hard stretch", "heights": "Change of height", "gates": "Gate",
    "yards": "Yard", "dogs": "Dog", "posts": "Post", "alternatives": "Alternative",
}  # fmt: skip
FENCE_KINDS = {
    "cable": "cable", "post": "post", "sleeve": "sleeve", "brace": "brace", "wire": "wire", "mesh": "mesh",
    "gate_tube": "gate tube",
}  # fmt: skip


def problems(job: Job) -> list[Problem]:
    """Every rule across records that a job breaks, in file order of the tables."""
    rules = (
        _points, _shots, _point_names, _site, _lines, _line_ends, _stretches, _gates, _gate_places, _dogs, _stock, _fence, _alternatives,
        _rough, _posts, _log,
    )  # fmt: skip
    return list(chain.from_iterable(rule(job) for rule in rules))


def point_names(job: Job) -> set[str]:
    """Names that stand for a point: the known ones, and every one that a shot measures to. A leg, tape or paces run from a new point to a
    known one (measured backwards) measures its first point."""
    names = set(job.points)
    for shot in job.shots.values():
        if shot.method == "tie" or shot.method == "offset":
            names.add(shot.point)
        elif shot.method != "level":
            names.add(shot.to_point)
            if shot.to_point in job.points:
                names.add(shot.from_point)
    return names


def shot_points(shot: Shot) -> dict[str, str]:
    """The points a shot names, by the field that names them."""
    if shot.method == "tie":
        return {"point": shot.point, "from_a": shot.from_a, "from_b": shot.from_b}
    if shot.method == "offset":
        return {"point": shot.point, "base_from": shot.base_from, "base_to": shot.base_to}
    return {} if shot.method == "level" else {"from_point": shot.from_point, "to_point": shot.to_point}


def gate_end_ft(gate: Gate, gap_in: float) -> float:
    """Station of a gate's far post: its near post's, the leaves, and the gap they hang in.

    Arguments: gate; gap_in, all gaps of the opening together, in, 0 or more.
    Source: common practice, no source: gate posts stand one leaf width plus 2 in apart.
    Valid for: leaves of one width.
    """
    return gate.station_ft + gate.leaves * gate.leaf_width_ft + gap_in / 12


def _points(job: Job) -> Iterator[Problem]:
    places = [(name, (point.east_ft, point.north_ft)) for name, point in job.points.items()]
    for (first, one), (second, other) in combinations(places, 2):
        if abs(one[0] - other[0]) < SAME_SPOT_FT and distance_ft(one, other) < SAME_SPOT_FT:
            says = f"Known points {first} and {second} are in the same place: correct one of them, or use one name for both."
            yield Problem(("points", second), says, second)


def _shots(job: Job) -> Iterator[Problem]:
    for name, shot in job.shots.items():
        if shot.method == "level":
            if shot.line not in job.lines:
                yield _unknown(("shots", name, "line"), shot.line, "line", job.lines)
            continue
        fields = shot_points(shot)
        if len({*fields.values()}) < len(fields):
            says = f"Shot {name} names the same point twice: give each of its ends its own point."
            twice = next(field for n, field in enumerate(fields) if fields[field] in list(fields.values())[:n])
            yield Problem(("shots", name), says, ", ".join(fields.values()), twice)
        if (shot.method == "tie" or shot.method == "offset") and shot.point in job.points:
            says = f"{shot.point} is a known point and shot {name} measures it too: take out one, or give the new point another name."
            yield Problem(("shots", name, "point"), says, shot.point)


def _point_names(job: Job) -> Iterator[Problem]:
    names = point_names(job)
    for path, fields, points in point_uses(job):
        if names.issuperset(points):
            continue
        for field, name in zip(fields, points, strict=False):
            if name not in names:
                near, at = nearest(name, names), (*path, field)
                do = f'did you mean "{near}"?' if near else "add a shot that measures it, or correct the name."
                yield Problem(at, f'{_label(at)} names the point "{name}", which is neither known nor measured: {do}', name)


def point_uses(job: Job) -> Iterator[tuple[Path, Iterable[str | int], Collection[str]]]:
    """Who names points, by which of its fields or in which place of a row, and which points."""
    for name, shot in job.shots.items():
        if points := shot_points(shot):
            yield ("shots", name), points, points.values()
    yield from ((("trees", name), ("point",), (tree.point,)) for name, tree in job.trees.items())
    for table in ("structures", "obstacles", "utilities", "boundaries", "decks", "lines"):
        for name, row in getattr(job, table).items():
            yield (table, name, "points"), count(), row.points
    yield from ((("yards", name), ("inside",), (yard.inside,)) for name, yard in job.yards.items() if yard.inside is not None)
    for index, entry in enumerate(job.log):
        if isinstance(entry, RerouteEntry) and entry.struck_at is None:
            yield ("log", index, "old_points"), count(), entry.old_points


def _site(job: Job) -> Iterator[Problem]:
    for name, obstacle in job.obstacles.items():
        if len(obstacle.points) == 2:
            says = f"Obstacle {name} has two points: give one point and a radius, or three or more corners."
            yield Problem(("obstacles", name, "points"), says, ", ".join(obstacle.points))
        elif len(obstacle.points) == 1 and obstacle.radius_ft == 0:
            says = f"Obstacle {name} is one point without a radius: give radius_ft, how far round it nothing may be driven."
            yield Problem(("obstacles", name, "radius_ft"), says, obstacle.radius_ft)


def _lines(job: Job) -> Iterator[Problem]:
    for name, line in job.lines.items():
        if len(set(line.points)) < (3 if line.closed else 2):
            says = f"Line {name} has too few different points: a line needs two, a closed one three."
            yield Problem(("lines", name, "points"), says, ", ".join(line.points))
        for index, (before, after) in enumerate(pairwise(line.points), 1):
            if before == after:
                says = f"Line {name} names {after} twice in a row: take one of the two out."
                yield Problem(("lines", name, "points", index), says, after)


def _line_ends(job: Job) -> Iterator[Problem]:
    tables: dict[str, Collection[str]] = {"structure": job.structures, "tree": job.trees, "line": job.lines}
    for name, line in job.lines.items():
        for end, meets, at in (("start", line.start_meets, line.start_at), ("end", line.end_meets, line.end_at)):
            if at is None or meets not in tables:
                continue
            path = ("lines", name, f"{end}_at")
            if at not in tables[meets]:
                yield _unknown(path, at, meets, tables[meets])
            elif meets == "line" and at == name:
                says = f'Line {name} meets itself at its {end}: name another line, or close it and write "itself" at both ends.'
                yield Problem(path, says, at)


def _stretches(job: Job) -> Iterator[Problem]:
    """Hard stretches and changes of height: each on a line, none over another of its table, and no surface called as a structure is."""
    tables: dict[str, Mapping[str, Surface | HeightChange]] = {"surfaces": job.surfaces, "heights": job.heights}
    for table, rows in tables.items():
        placed = sorted(rows.items(), key=lambda row: (row[1].line, row[1].from_ft))
        for name, row in placed:
            if row.line not in job.lines:
                yield _unknown((table, name, "line"), row.line, "line", job.lines)
        for (first, one), (second, other) in pairwise(placed):
            if one.line == other.line and one.to_ft > other.from_ft + EDGE_FT:
                runs = f"{NOUNS[table]} {first} runs to {format_ft_in(one.to_ft)} on line {one.line}"
                says = f"{runs} and {second} starts before that: correct one of them."
                yield Problem((table, second, "from_ft"), says, other.from_ft)
    for name in job.surfaces:
        if name in job.structures:
            says = f"A structure is called {name} already: give the hard stretch another name."
            yield Problem(("surfaces", name, "id"), says, name)


def _gates(job: Job) -> Iterator[Problem]:
    for name, gate in job.gates.items():
        line = job.lines.get(gate.line)
        if line is None:
            yield _unknown(("gates", name, "line"), gate.line, "line", job.lines)
            continue
        length_ft, opening_ft = known_length_ft(job, line), gate_end_ft(gate, job.rules.gate.gap_in) - gate.station_ft
        if length_ft is not None and opening_ft > length_ft:
            says = (
                f"Gate {name} needs {format_ft_in(opening_ft)} but line {gate.line} is {format_ft_in(length_ft)} long: "
                "make the gate narrower, or put it in another line."
            )
            yield Problem(("gates", name, "leaf_width_ft"), says, gate.leaf_width_ft)


def _gate_places(job: Job) -> Iterator[Problem]:
    placed = sorted(job.gates.items(), key=lambda row: (row[1].line, row[1].station_ft))
    for (first, one), (second, other) in pairwise(placed):
        if one.line != other.line:
            continue
        path, end_ft = ("gates", second, "station_ft"), gate_end_ft(one, job.rules.gate.gap_in)
        if other.station_ft == one.station_ft:
            says = f"Gates {first} and {second} are in the same place on line {one.line}: move one, or take it out."
            yield Problem(path, says, other.station_ft)
        elif end_ft > other.station_ft + EDGE_FT:
            says = f"Gate {first} reaches to {format_ft_in(end_ft)} on line {one.line} and gate {second} starts before that: move one."
            yield Problem(path, says, other.station_ft)


def _dogs(job: Job) -> Iterator[Problem]:
    for name, dog in job.dogs.items():
        if dog.yard is not None and dog.yard not in job.yards:
            yield _unknown(("dogs", name, "yard"), dog.yard, "yard", job.yards)


def _stock(job: Job) -> Iterator[Problem]:
    for name, row in stock_of(job.stock).items():
        if row.kind is None:
            near = nearest(name, stock_of({}))
            do = f', or did you mean "{near}"?' if near else "."
            says = f'Stock row {name} is new and doesn\'t say what it is: give it a kind, such as kind = "post"{do}'
            yield Problem(("stock", name, "kind"), says, None)


def _fence(job: Job) -> Iterator[Problem]:
    stock = stock_of(job.stock)
    for field, kind in FENCE_KINDS.items():
        chosen = getattr(job.fence, field)
        if chosen is None:
            continue
        fitting = [name for name, row in stock.items() if row.kind == kind]
        if chosen not in stock:
            yield _unknown(("fence", field), chosen, kind, fitting)
        elif chosen not in fitting and stock[chosen].kind is not None:
            says = f"The fence takes {chosen} for its {kind}, but that row is of kind {stock[chosen].kind}: choose {_one_of(fitting)}."
            yield Problem(("fence", field), says, chosen)
    post = stock.get(job.fence.post)
    if post and post.kind == "post" and post.length_ft is not None and post.length_ft < job.fence.height_ft:
        says = (
            f"A {format_ft_in(job.fence.height_ft)} fence is taller than its posts, {format_ft_in(post.length_ft)} long: "
            "choose a longer post or a lower fence."
        )
        yield Problem(("fence", "height_ft"), says, job.fence.height_ft)


def _rough(job: Job) -> Iterator[Problem]:
    rough = job.rough
    if rough is None:
        return
    length_ft, shortest_ft = rough.likely_ft(job.rules.survey.step_ft), rough.shortest_ft(job.rules.gate.gap_in)
    if not SHORTEST_FT <= length_ft <= LONGEST_FT:
        limits = f"{format_ft_in(SHORTEST_FT)} to {format_ft_in(LONGEST_FT)}"
        says = f"A fence of {format_ft_in(length_ft, 1)}, as it was said, can't be estimated: give {limits}."
        yield Problem(("rough", "paces" if rough.paces else "length_ft"), says, rough.length_ft or ", ".join(f"{n:g}" for n in rough.paces))
    elif length_ft < shortest_ft:
        what, field = ("gates", "gates_ft") if rough.gates_ft else ("stretches", "paces") if rough.paces else ("corners", "corners")
        room = f"for its {what}, which need {format_ft_in(shortest_ft, 1)}"
        says = f"A fence of {format_ft_in(length_ft, 1)}, as it was said, is too short {room}: correct one of them."
        yield Problem(("rough", field), says, value_words(getattr(rough, field)))
    post = stock_of(job.stock).get(job.fence.post)
    if post and post.length_ft is not None and rough.height_ft is not None and post.length_ft < rough.height_ft:
        says = f"{format_ft_in(rough.height_ft)} was said and the posts are {format_ft_in(post.length_ft)} long: choose a longer post."
        yield Problem(("rough", "height_ft"), says, rough.height_ft)


def _alternatives(job: Job) -> Iterator[Problem]:
    """What a layout that isn't the job's would break if it were."""
    rules = (_shots, _point_names, _lines, _line_ends, _stretches, _gates, _gate_places, _fence)
    for name, other in job.alternatives.items():
        for level in other.levels.keys() & {shot for shot, row in job.shots.items() if not isinstance(row, LevelShot)}:
            says = f"Alternative {name} has a level shot {level}, and the job another kind of shot of that name: give one another name."
            yield Problem(("alternatives", name, "levels", level, "id"), says, level)
        for problem in chain.from_iterable(rule(with_layout(job, other)) for rule in rules):
            table, *rest = problem.path
            if table in LAYOUT_TABLES or (table == "shots" and rest[0] in other.levels):
                path = ("alternatives", name, "levels" if table == "shots" else table, *rest)
                yield Problem(path, f"Alternative {name}: {problem.message}", problem.value, problem.field)


def _posts(job: Job) -> Iterator[Problem]:
    for name, post in job.posts.items():
        if post.line not in job.lines:
            yield _unknown(("posts", name, "line"), post.line, "line", job.lines)
        if post.support == "driven":
            continue
        table: Collection[str] = job.trees if post.support == "tree" else {**job.structures, **job.surfaces}
        if post.at is None:
            says = f"Post {name} is carried by a {post.support} but doesn't say which: name it in `at`."
            yield Problem(("posts", name, "at"), says, None)
        elif post.at not in table:
            yield _unknown(("posts", name, "at"), post.at, post.support, table)


def _log(job: Job) -> Iterator[Problem]:
    """Entries from before the plan was last accepted, or of another laptop that didn't know of it, may name posts that it doesn't have."""
    posts = {*job.posts, *(entry.post for entry in live(job.log) if isinstance(entry, AddEntry))}
    posts |= {name for entry in live(job.log) for name in _gone(entry)}
    current = {entry.id for entry in current_entries(job.log)}
    seen: set[str] = set()
    for index, entry in enumerate(job.log):
        if entry.id in seen:
            says = f"Two log entries are called {entry.id}: give the later one another id."
            yield Problem(("log", index, "id"), says, entry.id)
        seen.add(entry.id)
        if entry.struck_at is None:
            yield from _log_names(job, index, entry, posts, entry.id in current)
            yield from far_out(job, index, entry, entry.id in current)


def _gone(entry: LogEntry) -> tuple[str, ...]:
    return entry.out if isinstance(entry, RerouteEntry) else entry.gone if isinstance(entry, PlannedEntry) else ()


def _log_names(job: Job, index: int, entry: LogEntry, posts: set[str], current: bool) -> Iterator[Problem]:
    label = f"Log entry {entry.id}"
    line = vars(entry).get("line")
    if line is not None and line not in job.lines:
        yield _unknown(("log", index, "line"), line, "line", job.lines, label)
    if isinstance(entry, MoveEntry | SwapEntry | DropEntry) and current and entry.post not in posts:
        yield _unknown(("log", index, "post"), entry.post, "post", posts, label)
    if isinstance(entry, DeliveryEntry) and entry.stock not in (stock := stock_of(job.stock)):
        yield _unknown(("log", index, "stock"), entry.stock, "stock row", stock, label)
    if isinstance(entry, SwapEntry) and entry.tree not in job.trees:
        yield _unknown(("log", index, "tree"), entry.tree, "tree", job.trees, label)


def _unknown(path: Path, value: str, what: str, names: Iterable[str], label: str = "") -> Problem:
    near = nearest(value, names)
    do = f'did you mean "{near}"?' if near else f"correct the name, or add that {what}."
    return Problem(path, f'{label or _label(path)} names the {what} "{value}", and there is none of that name: {do}', value)


def _label(path: Path) -> str:
    if path[0] == "log":
        return f"Log entry {int(path[1]) + 1}"
    return "The fence" if path[0] == "fence" else f"{NOUNS[str(path[0])]} {path[1]}"


def _one_of(names: list[str]) -> str:
    return " or ".join(names[:3])
