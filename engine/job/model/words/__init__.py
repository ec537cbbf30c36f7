"""The document in words: a sentence for each log entry, and what is wrong with a file."""
