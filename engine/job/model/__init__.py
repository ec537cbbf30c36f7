"""What a job file holds: frozen records, and the rules across them.

The log only grows: undo strikes what was on disk (`struck_at`), and readers ask `live` or `current_entries`. A post's place is its plan
plus the log since that plan was accepted. Sign-off writes `[record]` with a digest of everything else; the job is read-only until it is
reopened, which is logged.
"""

import sys
from types import ModuleType


def _without_plugins() -> None:
    """Pydantic looks for plugins among all that is installed. Its own switch spares the search, not what it imports for it: 10 ms."""
    none = ModuleType("pydantic.plugin._loader")
    none.get_plugins = tuple  # type: ignore[attr-defined]  # whoever asks is told of none
    sys.modules.setdefault(none.__name__, none)


_without_plugins()
