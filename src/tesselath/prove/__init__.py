"""Proving: whether a pattern closes, and where it does not."""
