"""Linewalk in the terminal: command line, screens, panes and widgets."""
