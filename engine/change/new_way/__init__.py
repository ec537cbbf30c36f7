"""A stretch of a line taken another way: what it gives up, what the rest keeps, what comes down, and the job as it is then."""
