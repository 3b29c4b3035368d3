"""How she floats: draught, trim, list and stiffness, before and after a change of what is stowed in her.

Sums, not a survey: nothing here says that a boat complies with any standard of stability.
"""
