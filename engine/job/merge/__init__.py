"""Copies of one job that went different ways, made one: the same job whichever is named first.

`merge` joins log entries by id and takes every other fact from the side that changed it. What both did to one fact (a reading, a post, a
field, a plan that took out what the other touched) is asked, whatever the clock says; what isn't kept of the log is struck, and an
overruled reading goes into the log. Of two posts of one name the later one gets another, and so does
one of two things that were measured apart under one counted name (`records_apart`). What breaks a rule only once both are one is asked by
itself (`misfits`).
`versions.ancestors` finds the version both came from. Where that wasn't kept, `began` works it out of both logs; what only one copy has,
and no log tells of, stays and is told (`lone_facts`).
"""
