"""The form for the chosen weight and what holds it."""
