"""The field: the opening, and every strip laid, clipped and numbered in it."""
