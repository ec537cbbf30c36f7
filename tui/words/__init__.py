"""Words of the command line by what they are for: what each takes, and what it does."""
