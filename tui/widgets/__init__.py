"""Small widgets the screens share."""
