"""The frame of the start screen, which is painted while its list is still being got ready."""

from __future__ import annotations

from textual.screen import Screen

WHAT = (
    "What holds the weights stowed in a small sailing boat when she is knocked flat or rolled over, and what goes "
    "first. Indicative only: it takes the place of no survey."
)


class StartFrame(Screen[None]):
    """A box ``#start`` with a title and a few words, and ``#keys`` at the foot; its sheet is ``start.tcss``."""
