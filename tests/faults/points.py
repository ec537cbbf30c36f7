"""How many times a save was stopped, by where it was stopped; printed at the end of the run."""

from collections import Counter

points: Counter[str] = Counter()
