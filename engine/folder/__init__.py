"""Many jobs at a glance."""
