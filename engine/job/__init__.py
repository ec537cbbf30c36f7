"""The job document: models, file, edits."""
