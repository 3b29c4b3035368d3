"""Nothing is lost: unsaved work is kept beside the screen, and offered again after the program was ended."""
