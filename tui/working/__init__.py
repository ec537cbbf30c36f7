"""The open job in hand and its way to the disk."""
