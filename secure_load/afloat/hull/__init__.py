"""The hull as sections, and what floats it at any heel."""
