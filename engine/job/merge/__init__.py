"""Copies of one job that went different ways, made one.

`merge` joins log entries by id and ticks by the newest, takes every other fact from the side that changed it, and asks where both did.
What came in is said, and undo ends there. A file names its `parent` and the first version of its last days (`earlier`), so that `ancestors`
finds among the backups the version both came from. Versions are ordered by revision and log; a clock only settles two ticks of one item.
"""
