"""The apron that the ground leaves along every bay, at every foot of the line and every break of the ground, and where it falls short."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import ceil, floor

import numpy as np

from engine.calc.ground import Profile, breaks_between, height_of_chord_ft
from engine.calc.lengths import format_ft_in, format_in
from engine.calc.remember import remembered
from engine.findings import Finding, Level
from engine.job.job import Job
from engine.stages.cables import Cables
from engine.stages.parts.bay_ground import BayGround
from engine.stages.posts import Posts

SLACK_IN = 0.01
"""An apron short of the rule by less than this isn't short."""
TAPE_IN = 1 / 16
"""Half of the smallest mark on a tape."""


@dataclass(frozen=True)
class BayApron:
    """What the ground leaves of the wire's lower edge along one bay, at every foot and every ground break.

    `stations_ft`, `height_in` (bottom cable over ground) and `apron_in` are parallel; a negative apron is a hole of that height under
    the wire. `least_*` is the worst spot; `short` are stretches under the rule as (from, to, least apron in). Stations run on past the
    line's ends where the bay does.
    """

    bay: str
    stations_ft: tuple[float, ...]
    height_in: tuple[float, ...]
    apron_in: tuple[float, ...]
    least_apron_in: float
    least_at_ft: float
    short: tuple[tuple[float, float, float], ...]
    infill_ft: float

    @property
    def hole_in(self) -> float:
        """Height of the worst hole under the wire, in; 0 where there is none that a tape shows."""
        return -self.least_apron_in if self.least_apron_in < -TAPE_IN else 0.0


def bay_aprons(job: Job, grounds: Mapping[str, BayGround], posts: Posts, cables: Cables, wire_in: float) -> dict[str, BayApron]:
    """The apron along every bay: the wire hangs plumb from the bottom cable, and what doesn't hang lies on the ground.

    The cable runs straight between the eyes, which stand at their height over the ground at both supports, less the bay's sag.
    Arguments: job, its rules; grounds, by bay, ft; posts, for the eyes; cables, for the sag; wire_in, the wire's width, in, above 0.
    Returns: BayApron by bay id, in the order of the grounds.
    Source: derived: see engine.calc.ground.
    Valid for: ground that runs evenly between shots and is level square to the line.
    """
    rule_in = job.rules.fabric.apron_min_in
    return {
        name: _apron(name, ground.profile, ground.start_ft, ground.end_ft, _eyes_ft(posts, ground), _sag_ft(cables, name), wire_in, rule_in)
        for name, ground in grounds.items()
    }


def _eyes_ft(posts: Posts, ground: BayGround) -> tuple[float, float]:
    low_a, low_b = (
        posts.work[name].eye_low_ft if name in posts.work else posts.eye_low_ft for name in (ground.bay.from_id, ground.bay.to_id)
    )
    return low_a, low_b


def _sag_ft(cables: Cables, bay: str) -> float:
    return cables.bays[bay].sag_in / 12 if bay in cables.bays else 0.0


@remembered
def _apron(
    bay: str, profile: Profile, start: float, end: float, eyes_ft: tuple[float, float], sag_ft: float, wire_in: float, rule_in: float
) -> BayApron:
    feet = range(ceil(start), floor(end) + 1)
    stations = sorted({start, end, *map(float, feet), *breaks_between(profile, start, end)})
    height_in = 12 * height_of_chord_ft(profile, start, end, *eyes_ft, stations, sag_ft)
    apron_in = wire_in - height_in
    worst = int(np.argmin(apron_in))
    aprons: list[float] = apron_in.tolist()
    short = tuple(_short(stations, aprons, rule_in)) if aprons[worst] < rule_in - SLACK_IN else ()
    return BayApron(
        bay=bay,
        stations_ft=tuple(stations),
        height_in=tuple(height_in.tolist()),
        apron_in=tuple(aprons),
        least_apron_in=aprons[worst],
        least_at_ft=stations[worst],
        short=short,
        infill_ft=sum(end - start for start, end, _ in short),
    )


def _short(stations: Sequence[float], aprons: Sequence[float], rule_in: float) -> Iterator[tuple[float, float, float]]:
    """Stretches under the rule, straight between samples: (from, to, least apron)."""
    stretch: tuple[float, float, float] | None = None
    for (before, apron_before), (after, apron_after) in pairwise(zip(stations, aprons, strict=True)):
        if min(apron_before, apron_after) >= rule_in:
            continue
        crosses = max(apron_before, apron_after) > rule_in
        edge = before + (after - before) * (rule_in - apron_before) / (apron_after - apron_before) if crosses else 0.0
        low = edge if apron_before > rule_in else before
        high = edge if apron_after > rule_in else after
        if stretch is not None and stretch[1] >= low:
            stretch = (stretch[0], high, min(stretch[2], apron_before, apron_after))
            continue
        if stretch is not None:
            yield stretch
        stretch = (low, high, min(apron_before, apron_after))
    if stretch is not None:
        yield stretch


def is_filled(job: Job, bay: str) -> bool:
    """Whether the crew has answered for a bay's short apron: an infill piece ringed in, or the dip filled.

    Arguments: job, its ticks; bay id.
    Source: derived: the ticks of stages 6 and 7.
    Valid for: any bay.
    """
    return f"fabric.{bay}.infill" in job.checks or f"staking.{bay}.dips_filled" in job.checks


def apron_findings(job: Job, grounds: Mapping[str, BayGround], aprons: Mapping[str, BayApron], *, holes_only: bool) -> Iterator[Finding]:
    """Holes under the wire, aprons under the rule, and cables that touch the ground; a bay that was filled is left out.

    Arguments: job; grounds and aprons by bay; holes_only where the wire is too narrow on level ground, told elsewhere.
    Returns: at most one finding on the apron and one on the cable for each bay.
    Source: derived: the job's rules.
    Valid for: any aprons.
    """
    for name, apron in aprons.items():
        ground = grounds[name]
        if apron.short and not is_filled(job, name) and (apron.hole_in or not holes_only):
            yield _short_finding(job, ground, apron)
        if min(apron.height_in) <= 0:
            at = format_ft_in(ground.shown_ft(apron.stations_ft[apron.height_in.index(min(apron.height_in))]))
            says = f"Between {ground.bay.from_id} and {ground.bay.to_id} the bottom cable touches the ground at {at}."
            yield _finding("cable_on_ground", "fix", name, says, "Add a post on the hump, or dig it down.")


def _short_finding(job: Job, ground: BayGround, apron: BayApron) -> Finding:
    rules = job.rules.fabric
    start, end, least_in = min(apron.short, key=lambda stretch: stretch[2])
    more = f"; {len(apron.short) - 1} more such in this bay" if len(apron.short) > 1 else ""
    where = f"Between {ground.bay.from_id} and {ground.bay.to_id} the"
    at = format_ft_in(ground.shown_ft(apron.least_at_ft))
    length = format_ft_in(ceil(12 * (end - start) - SLACK_IN) / 12, 1)
    if apron.hole_in:
        wide = format_in(rules.apron_min_in + apron.hole_in + rules.lap_in, 1)
        says = f"{where} wire hangs {format_in(apron.hole_in)} over the ground at {at}{more}."
        do = f"Ring in an infill piece {length} long and {wide} wide from {format_ft_in(ground.shown_ft(start), 1)}, or fill the dip."
        return _finding("hole_under_wire", "stop", apron.bay, says, do)
    says = f"{where} apron is {format_in(least_in)} at {at}, under the {format_in(rules.apron_min_in)} rule{more}."
    do = f"Ring in an infill piece {length} long from {format_ft_in(ground.shown_ft(start), 1)}, or fill the dip."
    return _finding("apron_short", "fix", apron.bay, says, do)


def _finding(code: str, level: Level, bay: str, says: str, do: str) -> Finding:
    return Finding(code, level, "fabric", (bay,), says, do)
