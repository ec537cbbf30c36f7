"""What one change does: consequences, offers for a post that can't stay, a fresh layout, a new way."""
