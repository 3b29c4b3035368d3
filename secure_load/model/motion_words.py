"""Which way a weight goes, and which way a direction points, in words."""

from __future__ import annotations

import numpy as np

from secure_load.solver.arrays import Array

NOTICEABLE = 0.35
"""Share of the whole below which a component is not worth a word."""

_AXES = (("forward", "aft"), ("to port", "to starboard"), ("up", "down"))
_TIPS = (("tips over to starboard", "tips over to port"), ("tips forward", "tips aft"))


def direction_words(vector: Array) -> str:
    """A direction of the boat in words, such as "to starboard and up"; empty for no direction. vector (3,)."""
    length = float(np.linalg.norm(vector))
    if length == 0.0:
        return ""
    unit = vector / length
    order = sorted(range(3), key=lambda axis: (axis != 1, axis))
    said = [_AXES[axis][0 if unit[axis] > 0 else 1] for axis in order if abs(unit[axis]) >= NOTICEABLE]
    return " and ".join(said) if len(said) < 3 else f"{said[0]}, {said[1]} and {said[2]}"


ON_HER_SIDE = 60.0
"""Degrees of heel beyond which what leaves its bed falls rather than lifts."""


def describe_motion(u: Array, heel_deg: float = 0.0) -> str:
    """How a free weight sets off, from its displacement (6,) with rotations multiplied by its own length.

    Rotation about +x takes the port side up, about +y the bow down.
    """
    shift, turn = u[:3], u[3:]
    if np.linalg.norm(turn) > 2.0 * np.linalg.norm(shift):
        axis = int(np.argmax(np.abs(turn)))
        if axis == 2:
            return "slews round where it stands"
        return _TIPS[axis][0 if turn[axis] > 0 else 1]
    where = direction_words(shift)
    unit = shift / max(float(np.linalg.norm(shift)), 1e-300)
    if unit[2] > 0.9:
        words = "lifts straight off its bed" if abs(heel_deg) < ON_HER_SIDE else "falls straight out of its bed"
    elif unit[2] > NOTICEABLE:
        lifts = "lifts and goes" if abs(heel_deg) < ON_HER_SIDE else "falls out of its bed,"
        words = f"{lifts} {where.replace(' and up', '').replace(', up', '')}"
    elif unit[2] < -0.9:
        words = "drops: nothing bears it"
    else:
        words = f"slides {where}"
    return f"{words}, tipping" if np.linalg.norm(turn) > 0.5 * np.linalg.norm(shift) else words


def format_heel(heel: float) -> str:
    """A heel in words: "upright", "34 degrees to starboard"."""
    if abs(heel) < 0.5:
        return "upright"
    return f"{abs(heel):.0f} degrees to {'starboard' if heel > 0 else 'port'}"


def listed(names: list[str]) -> str:
    """Names in a sentence.

    >>> listed(["a", "b", "c"])
    'a, b and c'
    """
    return " and ".join([", ".join(names[:-1]), names[-1]] if len(names) > 1 else names)


def gathered(warnings: list[str]) -> list[str]:
    """Warnings ("name: what") with those that say the same of several restraints made one, in their order.

    >>> gathered(["a: it is short", "b: it is loose", "c: it is short"])
    ['a, c: it is short', 'b: it is loose']
    """
    names: dict[str, list[str]] = {}
    for each in warnings:
        name, _, what = each.partition(": ")
        names.setdefault(what, []).append(name)
    return [f"{', '.join(who)}: {what}" if what else ", ".join(who) for what, who in names.items()]
