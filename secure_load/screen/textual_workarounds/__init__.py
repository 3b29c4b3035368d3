"""What Textual does not do by itself."""
