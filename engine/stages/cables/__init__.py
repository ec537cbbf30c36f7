"""Stage 5: cable loops."""
