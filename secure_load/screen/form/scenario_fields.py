"""The fields of the owner's own scenarios, and of what was found when she was looked over."""

from __future__ import annotations

from secure_load.boat.models import Finding, HeelRange, Scenario
from secure_load.screen.form.fields import Field, choice


def _of_heel(key: str, label: str) -> Field:
    return Field(("heel_deg", key), label, "number", "degrees", model=HeelRange)


def _several(key: str, label: str, unit: str) -> Field:
    return Field((key,), label, "numbers", unit, model=Scenario)


SCENARIO: list[Field] = [
    Field(("name",), "Name", "text", model=Scenario),
    _of_heel("from", "She heels from"),
    _of_heel("to", "She heels to"),
    _of_heel("step", "Heel in steps of"),
    _several("load_factor", "Times its weight", ""),
    _several("surge_g", "Thrown forward", "g"),
    _several("sway_g", "Thrown to port", "g"),
    _several("heave_g", "Thrown up", "g"),
    _several("pitch_deg", "Bow down", "degrees"),
    Field(("both_sides",), "To port as well", "yesno", model=Scenario),
    _several("roll_rate_deg_s", "She rolls at", "degrees a second"),
    _several("roll_acceleration_deg_s2", "The roll quickens", "degrees a second, each second"),
    Field(("one_at_a_time",), "One throw at a time", "yesno", model=Scenario),
    choice(("load_duration",), "Lasting at most", Scenario),
    Field(("only_if_trailered",), "Only on a trailer", "yesno", model=Scenario),
    Field(("pull_at_most_N",), "Pulled at most", "number", "N", model=Scenario),
    Field(("kinds",), "Only for", "words", model=Scenario),
    Field(("why",), "Why", "text", model=Scenario),
]

FINDING: list[Field] = [
    Field(("date",), "Day", "day", model=Finding),
    Field(("note",), "What was seen", "text", model=Finding),
    Field(("factor",), "Strength left", "percent", "% of what it was", model=Finding),
    Field(("fixed",), "Put right", "yesno", model=Finding),
]
