"""Stage 1: the survey."""
