"""Whether what is known of her makes sense: what is out of the usual band, and answers that hang on her flare."""

from __future__ import annotations

import math

from secure_load.afloat.models import Condition
from secure_load.afloat.vessel_data import Known
from secure_load.catalogue.assumed import assumed

TOO_LITTLE = (
    "Too little is known to say whether she is stiffer or more tender: it hangs on the flare of her sides. Her "
    "sections or an inclining test would tell."
)


def unusual(known: Known, before: Condition) -> list[str]:
    """What is out of the usual band, a question each."""
    breadth = known.shape.bwl
    said: list[str] = []
    for what, value, low, high in (
        ("GM is {:.2f} m", before.gm_m / breadth, "gm-over-breadth-least", "gm-over-breadth-most"),
        (
            "centre of gravity lies {:.2f} m over the designed waterline",
            known.own.at[2] / breadth,
            "centre-over-breadth-least",
            "centre-over-breadth-most",
        ),
    ):
        least, most = assumed(low).number, assumed(high).number
        if not least <= value <= most:
            said.append(
                f"Is that right? Her {what.format(value * breadth)}, {value:.2f} of her breadth; small sailing boats "
                f"have {least:g} to {most:g}. It rests on {known.rests_on}."
            )
    return said


def flare_decides(known: Known, before: Condition, after: Condition) -> bool:
    """Whether flare that nobody has measured turns the answer, stiffer or more tender, round.

    Known by her particulars she is taken as wall-sided. With sides that flare by an angle f she grows broader by
    2 tan(f) for each metre she sinks, and the second moment of her waterplane with the cube of her breadth.
    """
    if known.shape.hull is not None:
        return False
    early, late = (c.displacement_kg * c.gm_m for c in (before, after))
    sunk = 0.5 * (after.draught_fore_m + after.draught_aft_m - before.draught_fore_m - before.draught_aft_m)
    broader = 1.0 + 2.0 * math.tan(math.radians(assumed("flare").number)) * sunk / known.shape.bwl
    flared = late + after.displacement_kg * after.bm_m * (max(broader, 0.0) ** 3 - 1.0)
    return (late - early) * (flared - early) < 0.0
