"""Pages that read a folder of jobs in a thread of their own."""
