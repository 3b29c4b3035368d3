"""How she floats, before and after, and the sheets for her ballast: in words for the command, as a screen."""
