"""The fields of the owner's own scenarios, and of what was found when she was looked over."""

from __future__ import annotations

from collections.abc import Sequence

from secure_load.boat.models import Finding, HeelRange, Scenario
from secure_load.screen.form.fields import Field, choice


def _of_heel(key: str, label: str) -> Field:
    return Field(("heel_deg", key), label, "number", "degrees", model=HeelRange)


def _several(key: str, label: str, unit: str) -> Field:
    return Field((key,), label, "numbers", unit, model=Scenario)


_MOTIONS = {
    "surge_g": ("boat speeds up forward: things go aft", "boat slows or speeds up aft: things go forward"),
    "sway_g": ("boat speeds up to port: things go to starboard", "boat speeds up to starboard: things go to port"),
    "heave_g": ("boat speeds up upward: things press down", "boat drops: things lift"),
}


def motion_sentence(key: str, values: Sequence[float]) -> str:
    """Which way things go, from the sign of the boat's own acceleration; empty where there is none."""
    ahead, back = _MOTIONS.get(key, ("", ""))
    return "; ".join(w for w, here in ((ahead, any(v > 0 for v in values)), (back, any(v < 0 for v in values))) if here)


SCENARIO: list[Field] = [
    Field(("name",), "Name", "text", model=Scenario),
    _of_heel("from", "Heel from"),
    _of_heel("to", "Heel to"),
    _of_heel("step", "Heel in steps of"),
    _several("load_factor", "Vertical load factor", ""),
    _several("surge_g", "Boat speeds up forward", "g"),
    _several("sway_g", "Boat speeds up to port", "g"),
    _several("heave_g", "Boat speeds up upward", "g"),
    _several("pitch_deg", "Bow down", "degrees"),
    Field(("both_sides",), "Both sides", "yesno", model=Scenario),
    _several("roll_rate_deg_s", "Roll rate", "deg/s"),
    _several("roll_acceleration_deg_s2", "Roll acceleration", "deg/s2"),
    Field(("one_at_a_time",), "One direction at a time", "yesno", model=Scenario),
    choice(("load_duration",), "Lasting at most", Scenario),
    Field(("only_if_trailered",), "Only on a trailer", "yesno", model=Scenario),
    Field(("pull_at_most_N",), "Force limit", "number", "N", model=Scenario),
    Field(("kinds",), "Only for", "words", model=Scenario),
    Field(("why",), "Why", "text", model=Scenario),
]

FINDING: list[Field] = [
    Field(("date",), "Date", "day", model=Finding),
    Field(("note",), "What was seen", "text", model=Finding),
    Field(("factor",), "Strength remaining", "percent", "% of what it was", model=Finding),
    Field(("fixed",), "Repaired", "yesno", model=Finding),
]
