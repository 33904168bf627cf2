"""A design as values: reading it, and what is said when it is faulty."""
