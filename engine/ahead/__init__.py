"""The day before the job: what it will take."""
