"""What a job file holds: frozen records, and the rules across them."""
