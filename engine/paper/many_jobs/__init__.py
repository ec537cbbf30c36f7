"""Many jobs on paper: a list of them, and what to load for a week of them."""
