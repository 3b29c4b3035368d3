"""Which way things go when the boat herself is moved."""

from __future__ import annotations

from collections.abc import Sequence

_MOTIONS = {
    "surge_g": ("boat speeds up forward: things go aft", "boat slows or speeds up aft: things go forward"),
    "sway_g": ("boat speeds up to port: things go to starboard", "boat speeds up to starboard: things go to port"),
    "heave_g": ("boat speeds up upward: things press down", "boat drops: things lift"),
}


def motion_sentence(key: str, values: Sequence[float]) -> str:
    """Which way things go, from the sign of the boat's own acceleration; empty where there is none."""
    ahead, back = _MOTIONS.get(key, ("", ""))
    return "; ".join(w for w, here in ((ahead, any(v > 0 for v in values)), (back, any(v < 0 for v in values))) if here)
