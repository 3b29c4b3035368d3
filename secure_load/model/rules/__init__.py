"""Rules that need no forces: distances of fastenings, ingots without a stack, figures that make no sense."""
