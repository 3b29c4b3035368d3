"""The lifting sheet: whether one person should lift that ingot into the bilge, and what it does if it is dropped.

Waters, Putz-Anderson and Garg, Applications Manual for the Revised NIOSH Lifting Equation, DHHS (NIOSH) 94-110,
1994 (rev. 9/2021). The equation is for two hands, standing, on a good floor: it does not apply to kneeling over a
bilge in a moving boat, which is worse than it says, and a height below the feet is outside it (taken as nil here, and
said so).
"""

from __future__ import annotations

from typing import Literal

from secure_load.afloat.models import Data
from secure_load.boat.floating import Lift
from secure_load.boat.hull import BoatParticulars
from secure_load.catalogue.assumed import assumed
from secure_load.catalogue.lookup import factor
from secure_load.catalogue.strengths import timber_strengths
from secure_load.strength.timber import plank_energy

MM = 1e-3
LOAD_CONSTANT = 23.0
"""kg: LC of the equation."""

# Table 5 of the manual, column V < 75 cm: lifts a minute -> multiplier for up to 1, 2 and 8 hours.
_FREQUENCY: tuple[tuple[float, float, float, float], ...] = (
    (0.2, 1.00, 0.95, 0.85),
    (0.5, 0.97, 0.92, 0.81),
    (1, 0.94, 0.88, 0.75),
    (2, 0.91, 0.84, 0.65),
    (3, 0.88, 0.79, 0.55),
    (4, 0.84, 0.72, 0.45),
    (5, 0.80, 0.60, 0.35),
    (6, 0.75, 0.50, 0.27),
    (7, 0.70, 0.42, 0.22),
    (8, 0.60, 0.35, 0.18),
    (9, 0.52, 0.30, 0.00),
    (10, 0.45, 0.26, 0.00),
    (11, 0.41, 0.00, 0.00),
    (12, 0.37, 0.00, 0.00),
)

Grip = Literal["good", "fair", "poor"]


class LiftingSheet(Data):
    """One lift, and a drop."""

    ingot_kg: float
    recommended_kg: float
    """Recommended weight limit, the lower of both ends of the lift."""
    index: float | None
    """Mass over the limit; above 1 the risk grows. Null where the reach allows no lift at all."""
    drop_J: float | None
    plank_absorbs_J: float | None
    """Null where the planking is not known."""
    through_mm: float | None = None
    """Height from which it may go through the planking, where that is known."""
    set_down_mm: float | None = None
    """Height from which it may safely be set down on it: a share of that."""
    words: list[str]
    cautions: list[str]


def horizontal_multiplier(hands_out_cm: float) -> float:
    """HM = 25/H, 1 below 25 cm, 0 beyond 63 cm."""
    return 1.0 if hands_out_cm <= 25.0 else 0.0 if hands_out_cm > 63.0 else 25.0 / hands_out_cm


def vertical_multiplier(height_cm: float) -> float:
    """VM = 1 - 0.003 |V - 75|, 0 above 175 cm; below the feet as at the feet."""
    return 0.0 if height_cm > 175.0 else 1.0 - 0.003 * abs(max(height_cm, 0.0) - 75.0)


def distance_multiplier(travel_cm: float) -> float:
    """DM = 0.82 + 4.5/D, 1 below 25 cm, 0 beyond 175 cm."""
    return 1.0 if travel_cm <= 25.0 else 0.0 if travel_cm > 175.0 else 0.82 + 4.5 / travel_cm


def twist_multiplier(degrees: float) -> float:
    """AM = 1 - 0.0032 A, 0 beyond 135 degrees."""
    return 0.0 if degrees > 135.0 else 1.0 - 0.0032 * degrees


def frequency_multiplier(per_minute: float, hours: float) -> float:
    """FM of table 5 for lifts from below 75 cm; between two rows the more frequent one."""
    column = 1 if hours <= 1.0 else 2 if hours <= 2.0 else 3
    return next((row[column] for row in _FREQUENCY if per_minute <= row[0] + 1e-9), 0.0)


def grip_multiplier(grip: Grip, height_cm: float) -> float:
    """CM of table 7: good 1; fair 0.95 below 75 cm, else 1; poor 0.90."""
    if grip == "good":
        return 1.0
    return 0.90 if grip == "poor" else 0.95 if height_cm < 75.0 else 1.0


def recommended_weight(
    hands_out_cm: float, height_cm: float, travel_cm: float, twist_deg: float, frequency: float, grip: float
) -> float:
    """Recommended weight limit RWL = LC HM VM DM AM FM CM. kg.

    hands_out_cm H, height_cm V, travel_cm D, twist_deg A; ``frequency`` and ``grip`` are the multipliers.

    >>> round(recommended_weight(50, 10, 60, 45, 1.0, 0.9), 2)
    6.38
    """
    return (
        LOAD_CONSTANT
        * horizontal_multiplier(hands_out_cm)
        * vertical_multiplier(height_cm)
        * distance_multiplier(travel_cm)
        * twist_multiplier(twist_deg)
        * frequency
        * grip
    )


def lifting_sheet(lift: Lift, ingot_kg: float, boat: BoatParticulars, struck_mm: float | None = None) -> LiftingSheet:
    """The sheet for one ingot.

    Args:
        lift: the reach.
        ingot_kg: its mass.
        boat: for her planking.
        struck_mm: width of planking a dropped ingot strikes, its least side; assumed unless given.

    Raises UnknownRow for a planking timber that is not in the catalogue.
    """
    frequency = frequency_multiplier(lift.lifts_per_minute, lift.hours)
    travel = abs(lift.to_height_mm - lift.from_height_mm) / 10.0
    limit = min(
        recommended_weight(
            lift.hands_out_mm / 10.0, v / 10.0, travel, lift.twist_deg, frequency, grip_multiplier(lift.grip, v / 10.0)
        )
        for v in (lift.from_height_mm, lift.to_height_mm)
    )
    index = ingot_kg / limit if limit > 0 else None
    words: list[str] = []
    if index is None:
        words.append(
            "So far out, so high or so often nobody should lift anything by hand: come nearer, or use a tackle."
        )
    elif index <= 1:
        words.append(f"One person may lift {ingot_kg:.1f} kg so: the limit is {limit:.1f} kg.")
    else:
        words.append(
            f"{ingot_kg:.1f} kg is {index:.1f} times what one person should lift so ({limit:.1f} kg): two people, a "
            "tackle, smaller ingots, or a nearer reach."
        )
    if lift.to_height_mm < 0:
        words.append(
            "The hands go below the feet, which is outside the equation's range: it was reckoned as at the feet."
        )
    drop, plank = _drop(lift, ingot_kg, boat, struck_mm)
    through = down = None
    if plank is not None:
        through = 1000.0 * plank / (ingot_kg * factor("g0"))
        down = assumed("set-down-share").number * through
        words.append(
            f"Over bare planking it is safe to set down from {0.1 * down:.1f} cm; from {0.1 * through:.1f} cm it may "
            "go through. Lay a pad or a board first."
        )
    if drop is not None and plank is not None:
        words.append(
            f"A {lift.drop_mm:g} mm drop: {drop:.0f} J; a sound plank between two frames takes {plank:.0f} J "
            + ("at most: it may go through." if drop > plank else "at most (indicative).")
        )
    elif drop is not None:
        words.append(f"A {lift.drop_mm:g} mm drop: {drop:.0f} J; her planking is not stated.")
    return LiftingSheet(
        ingot_kg=ingot_kg,
        recommended_kg=round(limit, 3),
        index=None if index is None else round(index, 3),
        drop_J=None if drop is None else round(drop, 1),
        plank_absorbs_J=None if plank is None else round(plank, 1),
        through_mm=None if through is None else round(through, 1),
        set_down_mm=None if down is None else round(down, 1),
        words=words,
        cautions=[
            "Two-person lifts: one calls, both know where it goes and where the feet and fingers are.",
            "Lay a board over the planking and the plumbing before anything heavy passes above them.",
        ],
    )


def _drop(
    lift: Lift, ingot_kg: float, boat: BoatParticulars, struck_mm: float | None
) -> tuple[float | None, float | None]:
    """Energy of the drop m g h and what a plank takes, J; None where not stated."""
    energy = None if lift.drop_mm is None else ingot_kg * factor("g0") * lift.drop_mm * MM
    planking = boat.known_planking
    if planking is None:
        return energy, None
    name, thickness_mm, spacing_mm = planking
    timber = timber_strengths(name, "wet" if boat.bilge == "wet" else "dry")
    work = timber.work_to_max_J_m3
    if work is None:
        # What a plank loaded in its middle takes up elastically, MOR^2 / (18 E) of its volume: less than it bears.
        work = timber.mor**2 / (18.0 * timber.moe)
    width = (struck_mm if struck_mm is not None else assumed("drop-width").number) * MM
    return energy, plank_energy(work, thickness_mm * MM, width, spacing_mm * MM)
