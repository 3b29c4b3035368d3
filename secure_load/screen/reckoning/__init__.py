"""The working out, in a process of its own beside the screen, so that neither waits for the other."""
