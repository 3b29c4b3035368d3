"""The main screen, that holds the panes."""
