"""At the bench: cards, sticks, saw, story stick, frame and glue-ups, drawn."""
