"""Gates in a fresh layout: what stands in their openings, and why one can't be set."""

from collections import Counter
from collections.abc import Iterator, Mapping

from engine.calc.lengths import format_ft_in
from engine.calc.phrases import listed, plural
from engine.calc.tolerances import ONE_SUPPORT_FT
from engine.findings import Finding
from engine.job.model.cross_checks import gate_end_ft
from engine.job.model.job import Job
from engine.stages.layout.fixed_supports import gate_spans
from engine.stages.layout.line_tracks import Track
from engine.stages.layout.stage import Layout


def in_openings(job: Job, layout: Layout, placed: Mapping[str, Track]) -> set[str]:
    """Posts along a line that stand in the opening of a gate of it, too far inside to be its post: no gate hangs with them there."""
    lines_of = Counter(name for line in layout.lines.values() for name in line.supports)
    own = [one for one in layout.supports.values() if (one.support, one.kind) == ("driven", "line") and lines_of[one.id] == 1]
    spans = [(line, *_opening(layout, gate, span)) for line, track in placed.items() for gate, span in gate_spans(job, track).items()]
    return {one.id for one in own for line, low, high in spans if one.line == line and low < one.station_ft < high}


def _opening(layout: Layout, gate: str, span: tuple[float, float]) -> tuple[float, float]:
    """Half a foot inside a gate's two posts where it has them, else inside where the survey has it."""
    pair = [one.station_ft for one in layout.supports.values() if one.gate == gate]
    low, high = (min(pair), max(pair)) if len(pair) == len(span) else span
    return low + ONE_SUPPORT_FT, high - ONE_SUPPORT_FT


def why_not_set(job: Job, today: Layout, after: Layout, placed: Mapping[str, Track]) -> Iterator[str]:
    """Why a layout won't do for a gate: a stop or fix of it that is new, an opening that its leaf doesn't fit, or a trunk beside it."""
    told = {(one.code, gate) for one in today.findings for gate in one.subjects}
    hung = {bay.gate: bay for bay in after.bays.values() if bay.gate is not None}
    hung_today = {bay.gate for bay in today.bays.values()}
    slack_ft, gap_in = job.rules.gate.opening_tolerance_in / 12, job.rules.gate.gap_in
    for gate in [gate for track in placed.values() for gate in gate_spans(job, track)]:
        new = [one for one in after.findings if gate in one.subjects and one.level != "note" and (one.code, gate) not in told]
        yield from dict.fromkeys(_in_todays_names(one, gate, today) for one in new)
        bay, asked = hung.get(gate), job.gates[gate]
        if bay is None or gate in hung_today:
            continue
        wanted_ft = gate_end_ft(asked, gap_in) - asked.station_ft
        if abs(bay.plan_ft - wanted_ft) > slack_ft:
            yield f"The posts of gate {gate} would stand {format_ft_in(bay.plan_ft)} apart, and {format_ft_in(wanted_ft)} is wanted."
        trunks = [
            one.subjects[-1] for one in after.findings if one.code == "through_trunk" and {bay.from_id, bay.to_id} & set(one.subjects)
        ]
        yield from (f"The fence beside gate {gate} would run through the trunk of tree {tree}." for tree in trunks)


def left_without_posts(after: Layout) -> list[str]:
    """Of each gate that a layout leaves without its two posts, that what stands beside its place stays."""
    gates = [one.subjects[0] for one in after.findings if one.code == "gate_without_posts"]
    return [f"Gate {gate} has no two posts then: what stands too near to where it begins or ends stays there." for gate in gates]


def _in_todays_names(found: Finding, gate: str, today: Layout) -> str:
    """A finding of a layout that is thrown away, by posts that stand today: nobody knows what the others are called."""
    posts = [name for name in found.subjects if name in today.supports]
    if found.code == "post_in_opening" and posts:
        stands = plural(len(posts), "stays where it stands", "stay where they stand")
        return f"{listed(posts)} {stands}, in the opening of gate {gate}."
    if found.code == "gate_post_off_line":
        return f"The posts of gate {gate} would stand off its line."
    return found.says
