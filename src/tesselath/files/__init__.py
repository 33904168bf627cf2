"""A maker's files: read with line numbers, written whole or not at all."""
