"""Versions of one file: which came from which, and how the job in hand meets the one that stands in its file meanwhile.

A file names its `parent`, the first version of its last days (`earlier`) and how far it came on which `runs` of saves, so that `ancestors`
tells whether one came from another and finds among the backups the version both came from. `sharing` saves a job into a file that somebody
else may have saved, and `unsaved` finds work of this machine that its file doesn't hold; both join by `merge`.
"""
