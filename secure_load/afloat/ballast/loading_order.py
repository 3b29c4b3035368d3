"""The order in which ingots are brought aboard: low first, port and starboard in turn, never all on one floor.

Common practice: lead on the keel first keeps her stiff while the rest comes aboard; a pair is put down port and
starboard by turns so that she never lists; half of each place first, so that ashore no floor between two chocks bears
all of it while its neighbours bear none.
"""

from __future__ import annotations

import math

from secure_load.boat.floating import StowagePlace

_ABREAST_M = 0.3
"""Distance along her and in height, and in distance off the centreline, up to which two places are a pair."""


def loading_order(places: list[StowagePlace], counts: list[int]) -> list[str]:
    """Steps in words for so many ingots at each place; empty places are left out. Two rounds, each low first."""
    stowed = [(p, n) for p, n in zip(places, counts, strict=True) if n]
    groups = _pairs([p for p, _ in stowed])
    number = {p.id: n for p, n in stowed}
    steps: list[str] = []
    for first in (True, False):
        for group in groups:
            parts: list[str] = []
            for place in group:
                half = math.ceil(number[place.id] / 2.0)
                count = half if first else number[place.id] - half
                if count:
                    parts.append(f"{place.id} {count}")
            if parts:
                steps.append(f"{' and '.join(parts)}{', by turns' if len(parts) > 1 else ''}")
    return steps


def _pairs(places: list[StowagePlace]) -> list[list[StowagePlace]]:
    """Places from the lowest up, those abreast of one another together; of a height the nearest to the keel first."""
    left = sorted(places, key=lambda p: (round(p.at_m[2], 2), abs(p.at_m[1]), p.at_m[0]))
    groups: list[list[StowagePlace]] = []
    while left:
        place = left.pop(0)
        twin = next((other for other in left if _abreast(place, other)), None)
        if twin is not None:
            left.remove(twin)
        groups.append([place] if twin is None else [place, twin])
    return groups


def _abreast(one: StowagePlace, other: StowagePlace) -> bool:
    (x, y, z), (a, b, c) = one.at_m, other.at_m
    return y * b < 0.0 and max(abs(x - a), abs(y + b), abs(z - c)) <= _ABREAST_M
