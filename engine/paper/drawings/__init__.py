"""Plan and side drawings of the page, painted out of the drawing model at a scale."""
