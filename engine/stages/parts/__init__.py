"""Parts of the stages, several files to a stage; the stage under its own name puts them together."""
