"""Pictures in a terminal: a raster of characters, and the widgets that show it."""
