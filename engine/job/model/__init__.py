"""What a job file holds: frozen records, and the rules across them.

The log only grows: undo strikes what was on disk (`struck_at`), and readers ask `live` or `current_entries`. A post's place is its plan
plus the log since that plan was accepted. Sign-off writes `[record]` with a digest of everything else; the job is read-only until it is
reopened, which is logged.
"""
