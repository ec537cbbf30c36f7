"""A job's ticks sorted by stage and by what they answer, once for the whole walk: a big job has a thousand, and a stage reads a few."""

from collections import defaultdict
from collections.abc import Mapping

from engine.calc.frozen import dataclass
from engine.calc.remember import remembered_of
from engine.job.model.checks import Tick
from engine.job.model.item_key import ItemKey

Ticks = Mapping[ItemKey, Tick]


@dataclass(frozen=True)
class SortedTicks:
    """Ticks by stage, and by what is asked, the word that their keys end with; both in the order of the job."""

    by_stage: Mapping[str, Ticks]
    by_what: Mapping[str, Ticks]

    def of(self, stage: str, what: str) -> dict[str, Tick]:
        """Ticks of one item of a stage, by subject."""
        return {key.subject: tick for key, tick in self.by_what.get(what, {}).items() if key.stage == stage}


@remembered_of
def sorted_ticks(checks: Ticks) -> SortedTicks:
    """A job's ticks, sorted."""
    by_stage: dict[str, dict[ItemKey, Tick]] = defaultdict(dict)
    by_what: dict[str, dict[ItemKey, Tick]] = defaultdict(dict)
    for key, tick in checks.items():
        stage, _, what = key
        by_stage[stage][key] = by_what[what][key] = tick
    return SortedTicks(dict(by_stage), dict(by_what))
