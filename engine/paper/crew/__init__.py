"""The sheets that a crew without a laptop works by, on paper: set out, ticked, cut and loaded by them."""
