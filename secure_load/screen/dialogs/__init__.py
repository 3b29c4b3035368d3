"""Questions put to the owner over the other panes."""
