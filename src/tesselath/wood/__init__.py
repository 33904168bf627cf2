"""What wood does: moisture, movement, thickness, weight."""
