"""The stowage record on the screen: what changed since the last one, what to look over, what to cut and buy."""
