"""The commands: what is typed in a terminal, and what it answers."""
