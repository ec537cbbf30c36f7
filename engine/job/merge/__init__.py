"""Copies of one job that went different ways, made one."""
