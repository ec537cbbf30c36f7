"""Between bytes on a disk and a job. `store` is the only door: `load`, `save`, `new`; the screen saves through `versions.sharing`.

In: `file_text` (`toml.plain_toml` for what is written as we write, else limits first, then tomllib), `heading` (format), models,
`cross_checks`, then a `Job`, or `BadContent` with line, column and what to do; `toml.places` finds the line, `model.words.refusals` says
what pydantic meant. A file that can't be read is never written to.
Out: `record_texts`, where a record that didn't change since the version before keeps its text; read back, likewise; `replacing`: lock, the
bytes on disk must be those we read, backup, temp, fsync, rename, fsync the folder. The disk is an argument (`Disk`), so that tests fail any
step.
Records are tables keyed by id, so that two versions differ by records. `[end] complete = true` is the last table: a file cut short never
reads as a smaller job. The heading names the `runs` of saves that a version came from, so that one made from an older version is known when
it is put in its place. This machine's state folder holds backups, rescue copies of work that couldn't be saved, and the last version of
each run that was saved or opened here, until a file is opened that came from it.
"""
