"""Everything worked out from a job: to read, and for other programs."""
