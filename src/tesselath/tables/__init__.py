"""Tables: what leaves as CSV."""
