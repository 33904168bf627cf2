"""Numbers as makers write and read them: lengths, angles, the tape, spelling, tolerances."""
