"""Drawings: the plan drawn on neutral sheets, and the writers that put sheets into files."""
