"""Parts: which pieces are alike, and how one lies at the saw."""
