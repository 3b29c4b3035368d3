"""Rules that need no forces: distances of fastenings, floors, metals in timber, ingots without a stack, odd figures."""
