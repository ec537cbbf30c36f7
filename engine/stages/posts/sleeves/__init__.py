"""Sleeves in the ground by their ticks: which were driven, which a post stands in, and which were given up."""
