"""Accuracy: how errors add up."""
