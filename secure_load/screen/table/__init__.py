"""The table of weights with the heel strip in it."""
