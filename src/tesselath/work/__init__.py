"""The work: what one order of work comes to, from the opening to the sticks."""
