"""How many times a save was stopped in the test that runs, by where it was stopped; printed at the end of the run."""

from collections import Counter

points: Counter[str] = Counter()
