"""A pattern as values: reading it, finding it, settling its sizes."""
