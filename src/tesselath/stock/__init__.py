"""The stock: sticks, boards and leftovers, what each is cut into, and what to buy."""
