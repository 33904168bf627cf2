"""Fitting: layouts without slivers."""
