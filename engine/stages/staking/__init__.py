"""Stage 7: staking."""
