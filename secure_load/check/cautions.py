"""The cautions that go with every verdict, short and in place."""

from __future__ import annotations

INDICATIVE = (
    "Indicative only: this is arithmetic on what was entered, not a survey. Local codes, class rules and a "
    "qualified surveyor or shipwright come first."
)
ACCELERATIONS = (
    "No measured cabin accelerations of small yachts in a knockdown are published: the scenarios are choices, "
    "and hers may be harder."
)
CONDITION = (
    "Strengths are for sound timber and sound fastenings. Rot, wasted screws and chafed line are not seen here: "
    "look, probe and replace."
)
LEAD = (
    "Lead: molten lead and any moisture explode; keep dust and fume out of lungs and food; wash; keep children "
    "away. Lift with two: a 25 kg pig at arm's length strains a back."
)


def cautions() -> list[str]:
    """All of them, the gravest first."""
    return [INDICATIVE, ACCELERATIONS, CONDITION, LEAD]
