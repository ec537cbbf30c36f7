"""Stage 8: the gate."""
