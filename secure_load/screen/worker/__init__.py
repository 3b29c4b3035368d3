"""The thread beside the screen that works out verdicts and drawings."""
