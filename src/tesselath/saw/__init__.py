"""At the saw: set-ups and rips in the order of doing."""
