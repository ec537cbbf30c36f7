"""Between bytes on a disk and a job."""
