"""Forces in springs that hold rigid bodies; knows no boat."""
