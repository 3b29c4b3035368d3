"""What may fail of a restraint, and how hard the forces in its springs work it."""
