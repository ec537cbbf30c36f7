"""The day before the job."""
