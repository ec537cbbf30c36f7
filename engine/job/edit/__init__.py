"""Every way a job changes: from a job to a new job."""
