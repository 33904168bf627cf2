"""The plan, and its file."""
