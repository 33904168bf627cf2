"""Frame and base: the members, the panel and the sheets it is sawn from."""
