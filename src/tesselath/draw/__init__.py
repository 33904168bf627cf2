"""Drawings: the plan on neutral sheets (paper), drawn from above (maps) and at work (bench)."""
