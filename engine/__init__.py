"""Linewalk's engine: everything worked out from a job file, with no screen in it."""

__version__ = "0.1.0"
