"""What every pane stands on: themes, commands, the terminal, and work in a thread apart."""
