"""Pure arithmetic on plain numbers and arrays; knows no job, no stage and no file."""
