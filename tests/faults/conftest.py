"""Prints how many points saves were stopped at."""

import pytest

from tests.faults.points import points


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """One line a scenario, and the sum."""
    for name, count in points.items():
        terminalreporter.write_line(f"stopped and opened again: {count:6,} points, {name}")
    if points:
        terminalreporter.write_line(f"stopped and opened again: {points.total():6,} points in all")
