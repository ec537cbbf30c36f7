"""A repair years later: a new job that begins from what a signed one left standing."""
