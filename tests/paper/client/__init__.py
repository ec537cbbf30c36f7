"""The client's copy, against what was sealed and what a client may be told."""
