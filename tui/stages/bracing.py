"""Bracing figures: pulls, braces and their feet."""

from collections.abc import Iterator

from engine.calc.force_words import pull_words, weight_words
from engine.calc.lengths import format_ft_in
from engine.calc.phrases import counted
from engine.job.model.job import Job
from engine.stages.bracing.lifts import up_or_down
from engine.stages.bracing.what_pulls import STATE_WORDS
from engine.walk import Walk
from tui.stages.figure_tables import table
from tui.widgets.figures import Figures

PURPOSE = "Brace every post that the cables would pull over."


def figures(_job: Job, walk: Walk) -> Iterator[Figures]:
    pulls = walk.bracing.pulls
    legs = [leg for pull in pulls.values() for leg in pull.legs]
    yield table(
        "Braces",
        "<brace|foot from post|length|<stock|push|uplift|level|ground holds|<foot clear|<when",
        (
            (
                leg.support,
                leg.id,
                format_ft_in(leg.foot_distance_ft),
                format_ft_in(leg.length_ft),
                "reaches" if leg.stock_reaches else "too short",
                pull_words(leg.axial_lbf),
                pull_words(leg.uplift_lbf),
                pull_words(leg.thrust_lbf),
                "" if leg.ground is None else pull_words(leg.ground.holds_lbf),
                "yes" if leg.clear else "no",
                STATE_WORDS[leg.state],
            )
            for leg in legs
        ),
        f"{counted(len(legs), 'brace')}. Forces are guidance; ground holds half of its last for good.",
    )
    yield table(
        "Pull on supports",
        "<id|turn|as pulled|most|<when|cables|lift|of yield|sleeve holds|braces|<why",
        (
            (
                name,
                name,
                f"{abs(walk.layout.supports[name].turn_deg):.0f}°",
                pull_words(pull.pull_lbf),
                pull_words(pull.worst_lbf),
                "" if pull.worst_in == "pulled" else STATE_WORDS[pull.worst_in],
                up_or_down(pull.lift_lbf),
                "" if pull.lift is None else up_or_down(pull.lift.most_lbf),
                "" if pull.share is None else f"{100 * pull.share:.0f} %",
                "" if pull.sleeve_holds_lbf is None else pull_words(pull.sleeve_holds_lbf),
                f"{pull.braces}" if pull.braces else "",
                pull.why,
            )
            for name, pull in pulls.items()
        ),
        "Cables: how much both lift (up) or press (down) as pulled; lift: the most, braces too. Only its weight holds a loose post down. "
        "Of yield: bending at the ground if it had no brace. Sleeve: what its ground holds of the most for good.",
    )
    yield table(
        "Gate posts under their leaf",
        "<id|<gate|leaf|each hinge|shut|open|leaf alone|braces",
        (
            (
                name,
                name,
                " ".join(load.gates),
                weight_words(load.weight_lb, 0),
                pull_words(load.hinge_pull_lbf),
                _share(load.shut_share),
                _share(load.open_share),
                _share(load.alone_share),
                f"{pull.braces}",
            )
            for name, pull in pulls.items()
            if (load := pull.leaf) is not None
        ),
        "Of yield, leaf shut and square open with the cables and no brace; with a brace the post carries the leaf alone. Guidance.",
    )


def _share(share: float | None) -> str:
    return "" if share is None else f"{100 * share:.0f} %"
