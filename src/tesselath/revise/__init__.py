"""Revising: measured again, compared, spoiled; what reads an earlier plan."""
