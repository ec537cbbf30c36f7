"""What a change does, told before it is accepted: a post settled, a stretch that goes another way, and a page for all other kinds."""
