"""What asks something over a screen and goes away: readings, choices, moves, new ways, sign-off."""
