"""The verdict on the chosen weight."""
