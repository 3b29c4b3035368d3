"""A utilisation as a colour and as words, alike on screen, on the command line and in the record."""

from __future__ import annotations

from secure_load.catalogue.assumed import assumed
from secure_load.check.results import Colour

NO_STRENGTH = 1e6
"""A utilisation beyond this stands for a part that has no strength at all."""


def colour_of(utilisation: float) -> Colour:
    """Colour of a figure alone, by the limits in the catalogue; infinite is free to move."""
    if utilisation > assumed("red-over").number:
        return "red"
    return "amber" if utilisation > assumed("amber-over").number else "green"


def percent(utilisation: float | None) -> str:
    """A utilisation in words; a weight that is free to move has none.

    >>> percent(0.934), percent(1.0004), percent(None), percent(1e9)
    ('93 %', '>100 %', 'loose', 'no strength')
    """
    if utilisation is None:
        return "loose"
    if utilisation > NO_STRENGTH:
        return "no strength"
    rounded = f"{100 * utilisation:.0f} %"
    # one that has failed must not read as one that just holds
    return ">100 %" if utilisation > 1.0 and rounded == "100 %" else rounded
