"""The text of a job file as TOML: written, read fast where it is as we write it, its places found, its faults in plain words."""
