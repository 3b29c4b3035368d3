"""From scenarios to load cases and their directions."""
