"""The document in words: its items, ticks and records, a sentence for each log entry, and what is wrong with a file."""
