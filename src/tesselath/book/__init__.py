"""The book: the printable plan, its figures and its steps, all from one list of blocks."""
