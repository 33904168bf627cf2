"""Gluing: the order, the glue-ups, what holds the pieces, the finish."""
