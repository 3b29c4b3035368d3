"""The application: keys, footer, themes, help."""
