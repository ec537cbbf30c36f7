"""Stage 9: the punch list."""
