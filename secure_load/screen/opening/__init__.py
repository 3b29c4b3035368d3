"""What is painted before anything is read."""
