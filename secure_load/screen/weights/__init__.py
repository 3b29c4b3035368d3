"""The list of weights."""
