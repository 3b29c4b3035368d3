"""The built-in scenarios, and which ones a check runs."""

from __future__ import annotations

import difflib
import tomllib
from functools import cache
from importlib import resources

from secure_load.boat.models import BoatFile, Scenario, Weight

COMMON = "common practice"


@cache
def builtin_scenarios() -> tuple[Scenario, ...]:
    """All built-in scenarios, in the order they are run."""
    table = tomllib.loads(
        resources.files("secure_load.catalogue").joinpath("scenarios.toml").read_text(encoding="utf-8")
    )
    note: str = table["note"]["choice"]
    found: list[Scenario] = []
    for row in table["scenario"]:
        scenario = Scenario.model_validate(row)
        if scenario.source and scenario.source.startswith(COMMON):
            scenario = scenario.model_copy(update={"why": f"{scenario.why} {note}"})
        found.append(scenario)
    return tuple(found)


def choose(boat: BoatFile, wanted: list[str] | None = None) -> list[Scenario]:
    """The scenarios to context: those asked for by id, or all built-in ones and the owner's own.

    Road scenarios are among all of them only where the boat says that she is trailered.
    An owner's scenario with a built-in's id takes its place. Raises LookupError, in one sentence, for an
    id that is nowhere.
    """
    known = {s.id: s for s in builtin_scenarios()}
    known.update({s.id: s for s in boat.scenario})
    if not wanted:
        return [s for s in known.values() if boat.boat.trailered or not s.only_if_trailered]
    chosen: list[Scenario] = []
    for each in dict.fromkeys(wanted):
        if each not in known:
            near = difflib.get_close_matches(each, list(known), n=2)
            hint = f"did you mean {' or '.join(repr(n) for n in near)}?" if near else "see secure-load list scenarios"
            raise LookupError(f"no scenario '{each}'; {hint}")
        chosen.append(known[each])
    return chosen


def applies(scenario: Scenario, weight: Weight) -> bool:
    """Whether a scenario is meant for this kind of weight."""
    return scenario.kinds is None or weight.kind in scenario.kinds
