"""The pane of drawings."""
