"""What is shown when no boat is open."""
