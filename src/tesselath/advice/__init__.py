"""Advice: everything that is said to a maker about a result."""
