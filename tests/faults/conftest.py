"""Prints how many points saves were stopped at, in whichever process."""

from collections import Counter
from collections.abc import Callable, Iterator

import pytest

from tests.faults.points import points


@pytest.fixture(autouse=True)
def _points_of_this_test(record_property: Callable[[str, object], None]) -> Iterator[None]:
    points.clear()
    yield
    if points:
        record_property("points", dict(points))


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """One line a scenario, and the sum."""
    told: Counter[str] = Counter()
    for report in (report for reports in terminalreporter.stats.values() for report in reports):
        if getattr(report, "when", "") == "teardown":
            for name, counts in report.user_properties:
                told.update(counts if name == "points" else {})
    for scenario, count in told.items():
        terminalreporter.write_line(f"stopped and opened again: {count:6,} points, {scenario}")
    if told:
        terminalreporter.write_line(f"stopped and opened again: {told.total():6,} points in all")
