"""One open boat: changes, undo, autosave, the worker beside the screen."""
