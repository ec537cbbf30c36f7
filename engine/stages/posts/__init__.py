"""Stage 3: sleeves and posts."""
